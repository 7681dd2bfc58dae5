"""Any register that the models allow goes out and comes back; any cells are loaded or refused."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from hypothesis import HealthCheck, assume, given, reject, settings
from hypothesis import strategies as st

from assets.models import Location, Points, Position, SwitchOffset
from assets.models.studs import Studs
from assets.sheets import register
from assets.sheets.columns import Link
from assets.workbook.texts import plain
from tests import workbooks

pytestmark = pytest.mark.django_db

quietly = settings(
    max_examples=15,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
# Every form refuses the null character; line ends are kept as plain ones.
TEXT = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cs"], exclude_characters="\0\r"), max_size=20
)
NAME = st.text("ABZ019 -.'=+@#_äß", min_size=1, max_size=8).map(lambda s: " ".join(s.split()))


def values_of(field: models.Field):
    """Anything that a field may hold."""
    if field.choices:
        return st.sampled_from([value for value, _ in field.flatchoices])
    if isinstance(field, models.BooleanField):
        return st.sampled_from([True, False, *([None] if field.null else [])])
    if isinstance(field, models.FloatField):
        number = st.floats(0, 50, allow_nan=False) | st.sampled_from([0.1 + 0.2, 1e-9, 44.45])
        return number | st.none() if field.null else number
    if isinstance(field, models.IntegerField):
        return st.integers(1, 8) | (st.none() if field.null else st.nothing())
    if isinstance(field, models.DateField):
        return st.dates()
    if isinstance(field, Studs):
        return st.sampled_from(["", "none", "2600", "2600; 3400", "8 ft 6 in; 3 m"])
    return TEXT.map(_without_blank_ends).map(lambda text: text[: field.max_length or 200])


def _without_blank_ends(text: str) -> str:
    """As forms and cells give a text; a control character left out may bare a blank at an end."""
    kept = plain(text.strip())
    return text.strip() if kept == kept.strip() else kept.strip()


def things(model, **given_fields):
    """Rows of a model with every field drawn by chance; some the model refuses."""
    own = {"id", "number_order"}
    fields = [
        f
        for f in model._meta.concrete_fields
        if f.name not in own and not f.is_relation and f.name not in given_fields
    ]
    return st.fixed_dictionaries({f.name: values_of(f) for f in fields} | given_fields)


def keep(model, values: dict) -> None:
    """Saves the row if the model allows it."""
    thing = model(**values)
    try:
        with transaction.atomic():
            thing.full_clean()
            thing.save()
    except (ValidationError, IntegrityError):
        return


def forget(*kinds) -> None:
    """Takes the rows away with their histories, as in a new database."""
    for model in kinds:
        model.history.all()._raw_delete("default")
        model.objects.all()._raw_delete("default")


KEYED = [
    (sheet, key)
    for sheet in (
        register.LOCATIONS, register.RAIL_SECTIONS, register.SWITCH_DESIGNS, register.STRETCHERS,
        register.MACHINES, register.LOST_MOTION_FITTINGS,
    )
    for key in [sheet.sheet.keys[0].field]
]  # fmt: skip


@pytest.mark.parametrize(("bound", "key"), KEYED, ids=[bound.name for bound, _ in KEYED])
@quietly
@given(data=st.data())
def test_whatever_the_models_allow_survives_the_way_out_and_back(bound, key, data):
    rows = data.draw(
        st.lists(things(bound.model, **{key: NAME}), max_size=4, unique_by=lambda r: r[key].lower())
    )
    with transaction.atomic():
        for row in rows:
            keep(bound.model, row)
        before = workbooks.records_of(bound.model)
        assume(before)
        file = workbooks.saved_sheets(bound)
        assert workbooks.load(file).rows == []
        forget(bound.model)
        assert workbooks.refusals(workbooks.load(file)) == []
        assert workbooks.records_of(bound.model) == before
        transaction.set_rollback(True)


@quietly
@given(data=st.data())
def test_points_with_their_places_and_offsets_survive_too(data):
    with transaction.atomic():
        location = Location.objects.create(code=data.draw(st.sampled_from("ABC")), name="x")
        drawn = data.draw(
            things(
                Points,
                number=st.sampled_from(["1", "12A", "=7", "0x1"]),
                gauge_mm=st.none() | st.floats(300, 1700),
                heel_mm=st.none() | st.floats(1000, 30_000),
                inspection_interval_days=st.none() | st.integers(1, 1100),
            )
        )
        points = Points(**drawn, location=location)
        try:
            with transaction.atomic():
                points.save()
        except IntegrityError:
            reject()  # nothing is bolted to a soleplate that is not there
        for bound in (register.PLACES, register.OFFSETS):
            for row in data.draw(st.lists(things(bound.model), max_size=5)):
                keep(bound.model, {**row, "points": points})
        kinds = (SwitchOffset, Position, Points, Location)
        before = [workbooks.records_of(model) for model in kinds]
        file = workbooks.saved_sheets(
            register.LOCATIONS, register.POINTS, register.PLACES, register.OFFSETS
        )
        assert workbooks.load(file).rows == []
        forget(*kinds)
        assert workbooks.refusals(workbooks.load(file)) == []
        assert [workbooks.records_of(model) for model in kinds] == before
        transaction.set_rollback(True)


CELL = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(allow_nan=False, allow_infinity=False, width=32),
    TEXT.map(lambda text: "".join(c for c in text if c.isprintable())),
    st.datetimes(),
    st.sampled_from(
        ["yes", "n/k", "=1+1", "-", "4 1/4 in", "SKB 12", "left", "#REF!", "3 May 2021"]
    ),
)


@pytest.mark.parametrize("bound", register.SHEETS, ids=[bound.name for bound in register.SHEETS])
@quietly
@given(data=st.data())
def test_any_cells_are_loaded_or_refused_and_never_half(bound, data):
    headings = [column.title for column in bound.sheet.columns if not column.info]
    rows = data.draw(
        st.lists(st.lists(CELL, min_size=len(headings), max_size=len(headings)), max_size=4)
    )
    with transaction.atomic():
        plan = workbooks.load({bound.name: [headings, *rows]})
        kept = bound.model.objects.count()
        assert kept == (plan.totals["new"] if plan.can_be_applied else 0)
        assert all(refusal.reason for refusal in plan.refusals)
        transaction.set_rollback(True)


def test_a_link_names_a_row_as_the_sheets_do():
    link = Link("Points", Points, ("location__code", "number"))
    assert link.ids() == {}
