"""What is asked of each thing that was found: keys to touch, and none of them chosen beforehand.

A blank answer and *cannot see* mean the same: nobody looked, and what the register knows stays.
"""

from typing import Any, ClassVar

from django import forms
from django.db import models

from assets.engineering.words import (
    Condition,
    DriveLug,
    Fixings,
    Form,
    InsulationSide,
    MachineKind,
    Notches,
    Role,
)
from assets.forms import register_field
from assets.models import LostMotionFitting, Machine, Points, Position, Stretcher
from assets.models.fields import label_and_unit
from assets.plain_text import PlainText

NOT_SEEN = "unknown"
NOT_SEEN_KEY = (NOT_SEEN, "cannot see")
YES_NO = {True: "true", False: "false"}

# Where a key has less room than the word for it.
ON_A_KEY = {
    Fixings.SQUARE_HEAD: "square head",
    Fixings.FULL_AND_HALF_NUT: "full and half nut",
    Notches.NOT_A_LOCK: "no notches",
    Notches.UNCUT: "uncut",
    Notches.CUT: "cut",
    Condition.WORN: "worn",
}

_WITH_A_LUG = ("drive_lug", (DriveLug.PLAIN, DriveLug.THIN, DriveLug.RAISED_HEAD))
_WITH_A_STROKE = ("kind", (MachineKind.MOTOR, MachineKind.HAND_LEVER, MachineKind.SUPPLEMENTARY))

# A fact that is asked for only where another has one of these answers.
ONLY_IF: dict[str, tuple[str, tuple[Any, ...]]] = {
    "gooseneck_towards": ("form", (Form.GOOSENECK,)),
    "insulation_kind": (
        "insulation_side",
        (InsulationSide.LEFT, InsulationSide.RIGHT, InsulationSide.BOTH),
    ),
    "kicker_end": ("kicker", (True,)),
    "lug_end": _WITH_A_LUG,
    "lug_beyond": _WITH_A_LUG,
    "stroke_mm": _WITH_A_STROKE,
    "unlocking_stroke_mm": _WITH_A_STROKE,
    "internal_lost_motion_mm": _WITH_A_STROKE,
}
# Of what there is none, these have no end and no kind: told by the other fact, never asked.
NONE = "none"
NONE_IF_NONE = {"kicker_end", "lug_end", "insulation_kind"}

PLACE_FACTS = (
    "distance_mm",
    "role",
    "kicker_required",
    "chiselled",
    "space_ahead_mm",
    "space_behind_mm",
)
ROD_FACTS = (
    "generation",
    "adjustability",
    "form",
    "gooseneck_towards",
    "insulation_side",
    "insulation_kind",
    "left_shoe",
    "left_fixings",
    "right_shoe",
    "right_fixings",
    "kicker",
    "kicker_end",
    "drive_lug",
    "lug_end",
    "lug_beyond",
    "depth",
    "welded",
    "notches",
    "condition",
)
MACHINE_FACTS = (
    "kind",
    "stroke_mm",
    "unlocking_stroke_mm",
    "internal_lost_motion_mm",
    "drive_insulated",
    "condition",
)
LOST_MOTION_FACTS = ("kind", "lost_motion_min_mm", "lost_motion_max_mm", "condition")
TOE_FACTS = ("soleplate", "lock_casting", "machine_on", "detection_rods", "detector_on", "depth")
POINTS_FACTS = (*TOE_FACTS, "studs")
AT_THE_LOCK = "notches"  # asked at place 0 only


def key_field(db_field: models.Field) -> forms.Field:
    """A model's field as keys to touch, or as a box for a figure or words; never needed."""
    label = str(db_field.verbose_name).capitalize()
    if db_field.get_internal_type() == "BooleanField":
        return forms.TypedChoiceField(
            label=label,
            choices=[("true", "yes"), ("false", "no"), NOT_SEEN_KEY],
            coerce={"true": True, "false": False}.get,
            empty_value=None,
            required=False,
            widget=forms.RadioSelect,
        )
    if db_field.choices:
        words = [(v, ON_A_KEY.get(v, word)) for v, word in db_field.choices if v != NOT_SEEN]
        if db_field.name in NONE_IF_NONE:
            words = [(v, word) for v, word in words if v != NONE]
        return forms.ChoiceField(
            label=label, choices=[*words, NOT_SEEN_KEY], required=False, widget=forms.RadioSelect
        )
    field = register_field(db_field)
    field.required = False
    return field


def in_words(thing: models.Model, name: str) -> str:
    """What the register says of a fact, in words; "" where it is not known."""
    value = getattr(thing, name)
    if value in (None, "", NOT_SEEN):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g} {label_and_unit(thing._meta.get_field(name))[1]}".strip()
    return str(getattr(thing, f"get_{name}_display", lambda: value)())


class FoundForm(forms.Form):
    """Facts of things in the register: ``facts`` names them, ``things`` has what is known of them.

    Things are given by the name of their model, None for what the register does not have.
    """

    facts: ClassVar[dict[type[models.Model], tuple[str, ...]]] = {}

    def __init__(self, *args, things: dict[type[models.Model], Any], **kwargs):
        super().__init__(*args, **kwargs)
        self.things = things
        for model, names in self.facts.items():
            for name in names:
                self.fields[name] = key_field(model._meta.get_field(name))

    def clean_tag(self) -> str:
        return " ".join(self.cleaned_data["tag"].split())

    def answers(self, model: type[models.Model]) -> dict[str, Any]:
        """What was looked at, by the name of the fact."""
        return {
            name: self.cleaned_data[name]
            for name in self.facts[model]
            if name in self.fields and self.cleaned_data.get(name) not in (None, "", NOT_SEEN)
        }

    def clean(self):
        """Refuses an answer to what does not arise: which way a straight rod's gooseneck stands."""
        super().clean()
        for model in self.facts:
            given = self.answers(model)
            for name in given.keys() & ONLY_IF.keys():
                other, values = ONLY_IF[name]
                says = given.get(other, getattr(self.things[model], other, None))
                if says not in (None, "", NOT_SEEN, *values):
                    asked = self.fields[other].label
                    self.add_error(name, f"This does not go with what is said of: {asked}.")
        return self.cleaned_data

    def contradictions(self) -> list[tuple[str, str]]:
        """Facts that the register knows otherwise, each with what the register says."""
        found = []
        for model, thing in self.things.items():
            if thing is None or thing.pk is None:
                continue
            for name, value in self.answers(model).items():
                says = in_words(thing, name)
                # The condition of a part changes with time: that contradicts nothing.
                if says and name != "condition" and getattr(thing, name) != value:
                    found.append((name, says))
        return found

    def asked(self, *names: str) -> list[dict[str, Any]]:
        """Boxes for a template, with what the register says and when each is asked."""
        boxes = []
        for name in names:
            if name not in self.fields:
                continue
            other, values = ONLY_IF.get(name, ("", ()))
            thing = next((self.things[m] for m, facts in self.facts.items() if name in facts), None)
            boxes.append(
                {
                    "name": name,
                    "field": self[name],
                    "keys": isinstance(self.fields[name].widget, forms.RadioSelect),
                    "says": in_words(thing, name) if thing is not None else "",
                    "known": _as_key(getattr(thing, name, None)),
                    "other": other,
                    "values": " ".join(str(_as_key(value)) for value in values),
                }
            )
        return boxes


def _as_key(value: Any) -> Any:
    return YES_NO.get(value, value) if isinstance(value, bool) else value


class FoundPlace(FoundForm):
    """A place with the rod found there; a blank tag means that there is no rod."""

    facts: ClassVar = {Position: PLACE_FACTS, Stretcher: ROD_FACTS}
    tag = PlainText(label="Tag of the stretcher", max_length=20, required=False)

    def __init__(self, *args, order: int, **kwargs):
        super().__init__(*args, **kwargs)
        self.order = order
        if order == 0:
            del self.fields["role"]  # the place at the toe is the lock stretcher's
        else:
            del self.fields[AT_THE_LOCK]
            self.fields["role"].choices = [
                (role.value, role.label) for role in Role if role is not Role.LOCK
            ]
        self.fields["distance_mm"].label = "Distance from the toe (mm)"
        position = self.things[Position]
        if position is not None:
            self.initial |= {
                name: getattr(position, name)
                for name in ("distance_mm", "role", "space_ahead_mm", "space_behind_mm")
            }
        rod = self.things[Stretcher]
        self.initial.setdefault("tag", rod.tag if rod else "")

    @property
    def unknown(self) -> int:
        """How many facts of the rod that is there the register does not know."""
        boxes = [box for _, group in self.groups for box in group]
        known = {box["name"]: str(box["known"]) for box in boxes}
        asked = [b for b in boxes if not b["other"] or known[b["other"]] in b["values"].split()]
        return sum(not box["says"] for box in asked)

    @property
    def is_open(self) -> bool:
        """Whether it is shown unfolded: there is something to fill in, or to correct."""
        if self.errors or self.things[Stretcher] is None:
            return bool(self.errors) or self.order <= 2 or self.things[Position] is not None
        return self.unknown > 0

    @property
    def role(self) -> str:
        return Role.LOCK.value if self.order == 0 else self.cleaned_data.get("role", "")

    @property
    def is_there(self) -> bool:
        """Whether there is such a place: at the toe anything seen there says so."""
        if self.order:
            return bool(self.role)
        tag = self.cleaned_data.get("tag")
        return bool(tag or self.answers(Position) or self.things[Position])

    def clean(self):
        cleaned = super().clean()
        seen = cleaned.get("tag") or self.answers(Position)
        if self.order and seen and not cleaned.get("role"):
            self.add_error("role", "Say what the stretcher does here, since one was found.")
        if self.answers(Stretcher) and not cleaned.get("tag") and "tag" not in self.errors:
            self.add_error("tag", "Give the tag of the stretcher of which this was seen.")
        return cleaned

    @property
    def groups(self) -> list[tuple[str, list]]:
        """The boxes in the order in which a person standing there answers them."""
        return [
            ("What it is", self.asked("generation", "adjustability", "form", "gooseneck_towards")),
            ("Insulation", self.asked("insulation_side", "insulation_kind")),
            ("Left end", self.asked("left_shoe", "left_fixings")),
            ("Right end", self.asked("right_shoe", "right_fixings")),
            (
                "Kicker and drive lug",
                self.asked("kicker", "kicker_end", "drive_lug", "lug_end", "lug_beyond"),
            ),
            ("Its state", self.asked("notches", "condition")),
            ("Make", self.asked("depth", "welded")),
        ]

    @property
    def place_boxes(self) -> list:
        return self.asked("role", "distance_mm")

    @property
    def room_boxes(self) -> list:
        return self.asked("kicker_required", "chiselled", "space_ahead_mm", "space_behind_mm")


class FoundMachine(FoundForm):
    """The machine, and the place at which its drive rod takes hold."""

    facts: ClassVar = {Machine: MACHINE_FACTS}
    tag = PlainText(label="Tag of the machine", max_length=20, required=False)
    at = forms.TypedChoiceField(
        label="Its drive rod takes hold at place",
        coerce=int,
        empty_value=None,
        required=False,
        widget=forms.RadioSelect,
    )
    noun = "machine"

    def __init__(self, *args, places: int, present_at: int | None, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["at"].choices = [(n, str(n)) for n in range(places)]
        self.initial |= {"tag": str(self.thing or ""), "at": present_at}

    @property
    def thing(self):
        return next(iter(self.things.values()))

    def clean(self):
        cleaned = super().clean()
        model = next(iter(self.facts))
        if cleaned.get("tag") and cleaned.get("at") is None and "at" not in self.errors:
            self.add_error("at", f"Say at which place the {self.noun} takes hold.")
        if self.answers(model) and not cleaned.get("tag") and "tag" not in self.errors:
            self.add_error("tag", f"Give the tag of the {self.noun} of which this was seen.")
        return cleaned

    @property
    def boxes(self) -> list:
        return self.asked(*next(iter(self.facts.values())))


class FoundLostMotion(FoundMachine):
    """The lost-motion fitting, and the place at whose drive it is."""

    facts: ClassVar = {LostMotionFitting: LOST_MOTION_FACTS}
    tag = PlainText(label="Tag of the lost-motion fitting", max_length=20, required=False)
    noun = "lost-motion fitting"

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["at"].label = "It is at the drive of place"


class FoundPoints(FoundForm):
    """What is of the points and not of a place."""

    facts: ClassVar = {Points: POINTS_FACTS}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial["studs"] = self.things[Points].studs

    @property
    def toe_boxes(self) -> list:
        return self.asked(*TOE_FACTS)

    @property
    def heel_boxes(self) -> list:
        return self.asked("studs")
