"""A kind of part is declared once: what is recorded of it is in its form, its sheet, its page and
the facts that the rules judge by, and one more thing to record has to be said nowhere else."""

import re
from dataclasses import asdict, fields, make_dataclass, replace
from pathlib import Path

import pytest
from django.conf import settings
from django.db import models
from django.test.utils import isolate_apps

from assets import kinds
from assets.engineering.facts import PlaceFacts, StretcherFacts
from assets.engineering.words import Notches, Towards
from assets.filters import PART_FILTERS
from assets.forms import part_form
from assets.kinds import BY_FIELD, KINDS, PartKind, kind_of
from assets.models import Stretcher
from assets.models.fields import coded, entered, measured
from assets.models.fittings import PART_FIELDS, PART_KINDS
from assets.models.parts import Part
from assets.register_facts import part_facts
from assets.sheets.register import SHEETS, part_sheet
from assets.workbook.columns import Kind
from config.points.part_page import recorded_of
from config.suiting.suits import JUDGES

# Recorded of a part, but no rule judges by it.
NO_FACTS = {
    **{(k, "kept_at"): "where it lies in the store" for k in PART_FIELDS},
    ("stretcher", "origin"): "where it came from tells nothing of the rod as it is",
    ("stretcher", "note"): "free words, for people",
    ("machine", "origin"): "as a stretcher's",
    ("machine", "note"): "as a stretcher's",
    ("lost_motion_fitting", "origin"): "as a stretcher's",
    ("lost_motion_fitting", "note"): "as a stretcher's",
    ("lost_motion_fitting", "kind"): "its figures and the lugs it suits decide, not its pattern",
}
# Boxes and words that one fact holds together.
TOGETHER = {
    **dict.fromkeys(("for_lock", "for_drive", "for_intermediate", "for_back"), "made_for"),
    **dict.fromkeys(("suits_plain", "suits_thin", "suits_raised_head"), "suits_lugs"),
    "left_shoe_colour": "left_shoe",
    "left_shoe_foot_mm": "left_shoe",
    "right_shoe_colour": "right_shoe",
    "right_shoe_foot_mm": "right_shoe",
}
# Not in the list on the page of a part: the tag is its heading, the note a paragraph below.
SHOWN_APART = {"tag", "note"}
# Decided by rules alone: no page, list or drawing shows it by name.
ONLY_RULES = ("can_be_turned", "torque_nm", "lock_rod_insulated")

each_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.field)


def entered_columns(kind: PartKind) -> list[str]:
    return [column.field for column in part_sheet(kind).columns if not column.info]


def labels_on_page(part: Part) -> list[str]:
    return [label for _, facts in recorded_of(part) for label, _ in facts]


def something_else(field: models.Field):
    """A value that a new part has not."""
    if field.choices:
        return next(word for word, _ in field.choices if word != field.default)
    return {"BooleanField": True, "FloatField": 7.0}.get(field.get_internal_type(), "X-1")


@each_kind
def test_everything_recorded_is_in_the_form_the_sheet_and_on_the_page(kind):
    every = [f for f in kind.model._meta.concrete_fields if not f.primary_key]
    assert {f.name for f in every} == set(kind.fields)
    assert list(part_form(kind).base_fields) == [*kind.fields, "seen"]
    assert entered_columns(kind) == kind.fields
    assert labels_on_page(kind.model(tag="X-1")) == [
        kind.model._meta.get_field(name).verbose_name
        for name in kind.fields
        if name not in SHOWN_APART
    ]


@each_kind
def test_every_heading_begins_with_a_field_and_no_field_is_left_out(kind):
    assert set(kind.model.sections) <= set(kind.fields)
    assert [name for _, names in kind.sections for name in names] == kind.fields
    assert all(names for _, names in kind.sections)


@each_kind
def test_everything_recorded_is_one_fact_for_the_rules(kind):
    """What is said of a part changes the fact of that name and no other."""
    plain = asdict(part_facts(kind.model()))
    for name in kind.fields:
        value = something_else(kind.model._meta.get_field(name))
        said = asdict(part_facts(kind.model(**{name: value})))
        changed = [fact for fact in said if said[fact] != plain[fact]]
        if (kind.field, name) in NO_FACTS:
            assert changed == [], name
        else:
            assert changed == [TOGETHER.get(name, name)], name
            assert value in (said[changed[0]], *_within(said[changed[0]])), name


def _within(fact) -> list:
    """What a fact holds that is several things together."""
    if not isinstance(fact, dict):
        return []
    return [True] if fact.get("yes") else list(fact.values())


@each_kind
def test_no_fact_is_left_at_its_default_for_want_of_a_field(kind):
    facts = {fact.name for fact in fields(kind.facts)} - {"open_defects"}
    recorded = {n for n in kind.fields if (kind.field, n) not in NO_FACTS}
    assert facts == {TOGETHER.get(name, name) for name in recorded}
    assert part_facts(kind.model(), ("Defect 1: bent.",)).open_defects == ("Defect 1: bent.",)


@each_kind
def test_a_fact_is_filled_by_a_word_of_its_vocabulary(kind):
    facts = part_facts(kind.model())
    for field in kind.model._meta.concrete_fields:
        if field.choices and (kind.field, field.name) not in NO_FACTS:
            fact = getattr(facts, TOGETHER.get(field.name, field.name))
            assert hasattr(fact, "label") or hasattr(fact, "profile"), field.name


def test_every_kind_has_its_sheet_its_place_its_filter_and_its_judge():
    assert {kind.field: kind.model for kind in KINDS} == PART_KINDS
    assert tuple(kind.field for kind in KINDS) == PART_FIELDS
    places = {field.name for field in fields(PlaceFacts)}
    sheets = {sheet.name: sheet.model for sheet in SHEETS}
    for kind in KINDS:
        assert kind_of(kind.model()) is kind
        assert kind.field in places
        assert kind.field in JUDGES
        assert kind in PART_FILTERS
        assert sheets[kind.sheet] is kind.model
        assert set(kind.columns) | set(kind.narrowed_by) <= set(kind.fields)


@pytest.fixture
def longer(monkeypatch) -> PartKind:
    """Stretchers of which three things more are recorded, said in model and facts only."""
    own = [name for name in entered(Stretcher) if name not in entered(Part)]
    with isolate_apps("assets"):
        model = type(
            "LongerStretcher",
            (Part,),
            {
                "__module__": __name__,
                "Meta": type("Meta", (), {"app_label": "assets"}),
                **{name: Stretcher._meta.get_field(name).clone() for name in own},
                "eye_wear_mm": measured("wear of the eyes"),
                "marked_end": coded(Towards, "marked end towards the"),
                "repainted": models.BooleanField(null=True, blank=True),
            },
        )
    facts = make_dataclass(
        "LongerFacts",
        [
            ("eye_wear_mm", float | None, None),
            ("marked_end", Towards, Towards.UNKNOWN),
            ("repainted", bool | None, None),
        ],
        bases=(StretcherFacts,),
        frozen=True,
    )
    kind = replace(BY_FIELD["stretcher"], model=model, facts=facts)
    monkeypatch.setitem(kinds.BY_MODEL, model, kind)
    return kind


MORE = ["eye_wear_mm", "marked_end", "repainted"]


def test_one_more_thing_to_record_needs_only_the_model_and_the_facts(longer):
    usual = BY_FIELD["stretcher"].fields
    common = usual.index("condition")
    expected = [*usual[:common], *MORE, *usual[common:]]

    form = part_form(longer)
    assert list(form.base_fields) == [*expected, "seen"]
    assert form.base_fields["eye_wear_mm"].clean("1/4 in") == pytest.approx(6.35)
    assert form.base_fields["repainted"].clean("false") is False

    sheet = part_sheet(longer).sheet
    assert entered_columns(longer) == expected
    wear, end, repainted = (sheet.by_field[name] for name in MORE)
    assert (wear.title, wear.kind) == ("Wear of the eyes (mm)", Kind.NUMBER)
    assert (end.kind, end.choices) == (Kind.CHOICE, tuple(Towards.choices()))
    assert (repainted.kind, repainted.blank) == (Kind.YES_NO, None)

    rod = longer.model(tag="ST-1", eye_wear_mm=0.5, marked_end="heel", notches="cut")
    page = {label: value for _, facts in recorded_of(rod) for label, value in facts}
    assert (page["wear of the eyes (mm)"], page["marked end towards the"]) == (0.5, "heel")
    assert page["repainted"] is None

    facts = part_facts(rod)
    assert (facts.eye_wear_mm, facts.marked_end, facts.repainted) == (0.5, Towards.HEEL, None)
    assert facts.notches is Notches.CUT


@pytest.mark.parametrize("name", ONLY_RULES)
def test_a_fact_for_the_rules_is_named_by_its_model_and_the_rules_alone(name):
    """Nobody who adds one has to look for a list to put it in."""
    named = {
        path.relative_to(settings.BASE_DIR).as_posix()
        for app in ("assets", "config", "defects", "inspections")
        for path in Path(settings.BASE_DIR, app).rglob("*")
        if path.suffix in (".py", ".html", ".js")
        and "migrations" not in path.parts
        and re.search(rf"\b{name}\b", path.read_text(encoding="utf-8"))
    }
    assert "assets/models/parts.py" in named
    assert "assets/engineering/facts.py" in named
    others = named - {"assets/models/parts.py"}
    assert [path for path in sorted(others) if not path.startswith("assets/engineering/")] == []
