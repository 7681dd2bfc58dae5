"""The inspection form: just what one set of points needs, place by place from the toe."""

import json
import re
import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from assets.days import day
from assets.figure_fields import FigureField
from assets.models import Points
from assets.photographs.forms import CameraInput, PhotosField
from assets.plain_text import PlainText
from inspections.catalogue.looks import ITEMS, Item, items_at, items_of_points
from inspections.catalogue.quantities import LIES, QUANTITIES, Quantity
from inspections.catalogue.rod_places import RodPlace, rod_places_of
from inspections.catalogue.spots import Spot, spots_of
from inspections.latest.readings import last_readings
from inspections.models import Inspection, Instrument
from inspections.recording.entries import ExaminationEntry, ReadingEntry
from inspections.recording.visit import record_inspection
from inspections.verdicts.limits import QuantityLimits, limits_for
from inspections.words import ItemCode, Look, QuantityCode, Reason, Verdict

from .fields import MomentInput, box_for, why_not_field

_READING_NAME = re.compile(r"r-([a-z_]+)-(\d+)-([a-z]*)-([a-z_]*)")
_LOOK_NAME = re.compile(r"e-([a-z_]+)-(\d+)")


@dataclass
class Box:
    """One reading on the page: the box, and why it was not taken where that can be said."""

    value: forms.BoundField
    quantity: Quantity
    limits: QuantityLimits
    plausible: tuple[float, float]  # in the quantity's unit
    why_not: forms.BoundField | None = None

    @property
    def plausible_words(self) -> str:
        """ "1375 to 1495 mm"."""
        return self.quantity.limit_words(*self.plausible)

    @property
    def limits_as_json(self) -> str:
        """What the page judges by while somebody types, mildest first; ends included."""
        return json.dumps(
            [
                {
                    "verdict": bound.level.value,
                    "words": Verdict(bound.level.value).result,
                    "least": bound.minimum,
                    "most": bound.maximum,
                    "confirmed": bound.confirmed,
                }
                for bound in self.limits.levels
            ]
        )


@dataclass
class Row:
    """One quantity at one place, with a box for each lie or side."""

    quantity: Quantity
    boxes: list[Box] = field(default_factory=list)


@dataclass
class Looking:
    """One thing to look at."""

    item: Item
    found: forms.BoundField
    note: forms.BoundField
    photographs: forms.BoundField


@dataclass
class Group:
    """One place of the points as the page shows it."""

    heading: str
    anchor: str
    rod_place: RodPlace | None = None
    distances: list[forms.BoundField] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    looks: list[Looking] = field(default_factory=list)

    @property
    def main_rows(self) -> list[Row]:
        return [row for row in self.rows if row.quantity.code != QuantityCode.FWP]

    @property
    def checking_rows(self) -> list[Row]:
        """Readings across the track, which check the others: the page folds them away."""
        return [row for row in self.rows if row.quantity.code == QuantityCode.FWP]

    @property
    def checking_is_open(self) -> bool:
        return any(box.value.data for row in self.checking_rows for box in row.boxes)


class InstrumentsField(forms.ModelMultipleChoiceField):
    def label_from_instance(self, instrument: Instrument) -> str:
        return f"{instrument}, {instrument.check_words(timezone.localdate())}"


class VisitForm(forms.Form):
    """Boxes are named after quantity, place, side and lie, so an old page still finds them.

    ``queued``: the form waited on a phone until there was signal, and nobody stands before it now.
    """

    at = forms.DateTimeField(label="When", widget=MomentInput)
    by = PlainText(label="Who", max_length=80)
    reason = forms.ChoiceField(label="Why", choices=Reason.choices())
    instruments = InstrumentsField(
        queryset=Instrument.objects.with_checks(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Instruments used",
    )
    note = PlainText(
        label="Note on the visit", required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    client_id = forms.UUIDField(widget=forms.HiddenInput)
    rods = PlainText(required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        points: Points,
        data=None,
        files=None,
        *,
        by: str = "",
        reason: str = "",
        begin_at: str = "",
        queued: bool = False,
    ):
        now = timezone.localtime()
        self.queued = queued
        self.points = points
        self.rod_places = rod_places_of(points, now.date())
        self.fitted_now = ",".join(
            f"{rod_place.position.pk}:{rod_place.rod.pk if rod_place.rod else ''}"
            for rod_place in self.rod_places
        )
        initial = {
            "at": now.replace(second=0, microsecond=0, tzinfo=None),
            "by": by,
            "reason": reason or Reason.ROUTINE.value,
            "client_id": uuid.uuid4(),
            "rods": self.fitted_now,
        }
        super().__init__(data, files, initial=initial)
        self.spots = {_reading_name(spot): spot for spot in spots_of(points, self.rod_places)}
        self.lookings = {
            _look_name(item, rod_place): (item, rod_place)
            for rod_place in [*self.rod_places, None]
            for item in (items_at(rod_place) if rod_place else items_of_points())
        }
        self.lost = list(self._written_for_places_that_changed())
        self._limits = limits_for(points, now.date())
        self._last = last_readings(points)
        self._add_fields()
        self._begin_at(begin_at)

    def _begin_at(self, asked: str) -> None:
        """Puts the cursor in the first box of "quantity/place/lie": "fwc/1/left_closed", "weld/2".

        The place is the stretcher's number, nothing for the toe or the points as a whole.
        """
        code, order, lie = [*asked.split("/"), "", "", ""][:3]
        for name, (what, rod_place) in [
            *((name, (spot.quantity, spot.rod_place)) for name, spot in self.spots.items()),
            *self.lookings.items(),
        ]:
            here = str(rod_place.position.order) if rod_place else ""
            on = name not in self.spots or lie in ("", self.spots[name].lie)
            if (what.code.value, here) == (code, order) and on:
                self.fields[name].widget.attrs["autofocus"] = True
                return

    def _written_for_places_that_changed(self) -> Iterator[str]:
        """Keeps boxes of an older page that were filled in; yields what has no place any more."""
        rod_places = {rod_place.position.pk: rod_place for rod_place in self.rod_places}
        for name, written in self.data.items():
            if not written or name in self.spots or name in self.lookings:
                continue
            reading, look = _READING_NAME.fullmatch(name), _LOOK_NAME.fullmatch(name)
            code = (reading or look)[1] if reading or look else None
            rod_place = rod_places.get(int((reading or look)[2])) if code else None
            if rod_place and reading and code in set(QuantityCode):
                quantity = QUANTITIES[QuantityCode(code)]
                self.spots[name] = Spot(quantity, rod_place, reading[3], reading[4])
            elif rod_place and look and code in set(ItemCode):
                self.lookings[name] = (ITEMS[ItemCode(code)], rod_place)
            elif code:
                yield f"{code.replace('_', ' ')}: {written}"

    def _add_fields(self) -> None:
        for name, spot in self.spots.items():
            label = _box_label(spot)
            self.fields[name] = box_for(
                spot.quantity, self.points, label=label, help_text=self._beside(spot)
            )
            if not spot.between:
                what = f"{spot.quantity.label}, {label}"
                self.fields[_why_not_name(name)] = why_not_field(what)
        for lie in LIES:
            self.fields[_distance_name(lie)] = FigureField(
                unit="mm", label=f"From the toe, {lie.label} (mm)", required=False
            )
        for name, (item, _) in self.lookings.items():
            self.fields[name] = forms.ChoiceField(
                label=item.label.capitalize(),
                help_text=item.how,
                choices=Look.choices(),
                required=False,
                widget=forms.RadioSelect,
            )
            self.fields[_note_name(name)] = PlainText(
                label="Note",
                required=False,
                max_length=300,
                widget=forms.TextInput(attrs={"aria-label": f"Note on {item.label}"}),
            )
            self.fields[_photo_name(name)] = PhotosField(
                label="Photograph",
                required=False,
                widget=CameraInput(**{"aria-label": f"Photograph of {item.label}"}),
            )

    def _beside(self, spot: Spot) -> str:
        """The limit and the last reading, to stand beside the box."""
        bound = self._limits.of(spot.quantity.code).mildest
        words = ["no limit"]
        if bound:
            words = [spot.quantity.limit_words(bound.minimum, bound.maximum)]
            words += [] if bound.confirmed else ["limit not confirmed"]
        last = self._last.get(spot.place_key)
        if last:
            read_on = day(last.inspection.at)
            words.append(f"last {spot.quantity.written(last.value)}, {read_on}")
            if Verdict(last.verdict).is_out:
                words.append("out of limits then")
        return " · ".join(words)

    def groups(self) -> list[Group]:
        """The page from the toe to the heel, then between the rods, then the points as a whole."""
        toe = Group("At the toe", "toe")
        at_rods = {
            rod_place.position.pk: Group(
                rod_place.name.capitalize(), f"place-{rod_place.position.order}", rod_place
            )
            for rod_place in self.rod_places
        }
        between = Group(
            "Narrowest place between the stretchers",
            "between",
            distances=[self[_distance_name(lie)] for lie in LIES],
        )
        whole = Group("The points as a whole", "whole")
        for name, spot in self.spots.items():
            group = at_rods[spot.rod_place.position.pk] if spot.rod_place else between
            if not spot.rod_place and not spot.between:
                group = toe
            why_not = None if spot.between else self[_why_not_name(name)]
            limits = self._limits.of(spot.quantity.code)
            plausible = spot.quantity.plausible(self.points)
            box = Box(self[name], spot.quantity, limits, plausible, why_not)
            _row_of(group, spot.quantity).boxes.append(box)
        for name, (item, rod_place) in self.lookings.items():
            group = at_rods[rod_place.position.pk] if rod_place else whole
            group.looks.append(
                Looking(item, self[name], self[_note_name(name)], self[_photo_name(name)])
            )
        return [toe, *at_rods.values(), between, whole]

    def clean(self) -> dict:
        if self.lost and not self.queued:
            self.add_error(
                None,
                "These places are no longer on the points, so these entries cannot be recorded: "
                + "; ".join(self.lost),
            )
        seen = self.cleaned_data.get("rods", "")
        if seen != self.fitted_now and not self.queued:
            self.add_error(None, self._what_changed(seen))
            # Said once: what is fitted now is what the next saving goes by.
            self.data = self.data.copy()
            self.data["rods"] = self.fitted_now
        for lie in LIES:
            self._check_distance(lie)
        for name in self.lookings:
            beside = {"note": _note_name(name), "photograph": _photo_name(name)}
            for what, given in beside.items():
                if self.cleaned_data.get(given) and not self.cleaned_data.get(name):
                    self.add_error(name, f"Choose what was found: the {what} belongs to it.")
        return self.cleaned_data

    def _what_changed(self, seen: str) -> str:
        before = set(seen.split(","))
        changed = [
            f"{rod_place.name}: now {rod_place.rod or 'no stretcher'}"
            for rod_place, now in zip(self.rod_places, self.fitted_now.split(","), strict=False)
            if now not in before
        ]
        return (
            "What is fitted has changed since this page was opened: "
            f"{'; '.join(changed) or 'a place was removed'}. "
            "Not saved yet: check that each reading is of the stretcher now fitted, and save."
        )

    def _check_distance(self, lie: str) -> None:
        name = _distance_name(lie)
        taken = any(
            self.cleaned_data.get(_reading_name(spot)) is not None
            for spot in self.spots.values()
            if spot.between and spot.lie == lie
        )
        if taken and self.cleaned_data.get(name) is None and name not in self.errors:
            self.add_error(name, "Say how far from the toe it was measured.")

    @property
    def quantities(self) -> list[Quantity]:
        """What is measured on this form, each once."""
        return list(dict.fromkeys(spot.quantity for spot in self.spots.values()))

    def readings(self) -> list[ReadingEntry]:
        """What was filled in, as entries that carry the name of their box."""
        filled = self.cleaned_data
        return [
            ReadingEntry(
                quantity=spot.quantity.code.value,
                value=filled[name],
                position=spot.position,
                at_mm=filled[_distance_name(spot.lie)] if spot.between else None,
                side=str(spot.side),
                lie=str(spot.lie),
                not_taken_reason=filled.get(_why_not_name(name), ""),
                name=name,
            )
            for name, spot in self.spots.items()
            if filled[name] is not None or filled.get(_why_not_name(name))
        ]

    def examinations(self) -> list[ExaminationEntry]:
        filled = self.cleaned_data
        return [
            ExaminationEntry(
                item=item.code.value,
                found=filled[name],
                position=rod_place.position if rod_place else None,
                note=filled[_note_name(name)],
                name=name,
                pictures=tuple(filled[_photo_name(name)]),
            )
            for name, (item, rod_place) in self.lookings.items()
            if filled[name]
        ]

    def save(self, user) -> Inspection | None:
        """The recorded visit; None, with the errors beside the boxes, where it was refused."""
        filled = self.cleaned_data
        try:
            return record_inspection(
                points=self.points,
                at=filled["at"],
                by=filled["by"],
                user=user,
                reason=filled["reason"],
                readings=self.readings(),
                examinations=self.examinations(),
                instruments=filled["instruments"],
                note=self._note(),
                client_id=filled["client_id"],
                rods_seen=self._rods_seen() if self.queued else None,
            )
        except ValidationError as refused:
            self.add_error(None, refused)
            return None

    def _note(self) -> str:
        """The note on the visit, with what was entered at places that are there no more."""
        written = self.cleaned_data["note"]
        if not self.lost:
            return written
        lost = "Entered at places that are no longer on the points: " + "; ".join(self.lost)
        return f"{written}\n\n{lost}".strip()

    def _rods_seen(self) -> dict[int, int | None]:
        """Position to rod, as they were on the form that was filled in."""
        pairs = re.findall(r"(\d+):(\d*)", self.cleaned_data["rods"])
        return {int(position): int(rod) if rod else None for position, rod in pairs}


def _row_of(group: Group, quantity: Quantity) -> Row:
    row = next((row for row in group.rows if row.quantity is quantity), None)
    if row is None:
        row = Row(quantity)
        group.rows.append(row)
    return row


def _box_label(spot: Spot) -> str:
    """What tells the boxes of one quantity apart."""
    lie = spot.lie.label if spot.lie else ""
    side = f"{spot.side} side" if spot.side else ""
    return (lie or side or "reading").capitalize()


def _reading_name(spot: Spot) -> str:
    place = spot.position.pk if spot.position else "between" if spot.between else "toe"
    return f"r-{spot.quantity.code.value}-{place}-{spot.side}-{spot.lie}"


def _why_not_name(name: str) -> str:
    return f"w{name[1:]}"


def _distance_name(lie: str) -> str:
    return f"at-{lie}"


def _look_name(item: Item, rod_place: RodPlace | None) -> str:
    return f"e-{item.code.value}-{rod_place.position.pk if rod_place else 'points'}"


def _note_name(name: str) -> str:
    return f"n{name[1:]}"


def _photo_name(name: str) -> str:
    return f"p{name[1:]}"
