"""What somebody gives for one visit, what is wrong with it, and the rows that it becomes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.utils import timezone

from assets.days import day
from assets.engineering.words import Lie, Side
from assets.models import Fitting, Position, Stretcher
from assets.photographs.keeping import Picture
from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES
from inspections.catalogue.rod_places import RodPlace, rod_places_of
from inspections.catalogue.where import Where
from inspections.models import Difference, Examination, Inspection, Instrument, Reading
from inspections.verdicts.limits import Limits, limits_for
from inspections.words import ItemCode, Look, QuantityCode


@dataclass(frozen=True)
class ReadingEntry:
    """One reading as somebody gives it: a value in the quantity's unit, or why there is none.

    ``position`` is where the rod is; a place between rods has ``at_mm`` from the toe instead, and
    neither means at the toe. ``name`` is what the giver calls the entry, for messages.
    """

    quantity: str
    value: float | None = None
    position: Position | None = None
    at_mm: float | None = None
    side: str = ""
    lie: str = ""
    not_taken_reason: str = ""
    instrument: Instrument | None = None
    name: str = ""

    @property
    def label(self) -> str:
        if self.name:
            return self.name
        return f"{self.quantity}, {self.where.words}"

    @property
    def where(self) -> Where:
        position = self.position
        name = position.name if position else ""
        return Where(None, position and position.pk, self.at_mm, self.side, self.lie, name=name)

    @property
    def place(self) -> tuple:
        """Two entries of one visit with the same place are the same reading twice."""
        return (self.quantity, self.where)


@dataclass(frozen=True)
class ExaminationEntry:
    """One thing looked at; no position means the points as a whole."""

    item: str
    found: str
    position: Position | None = None
    note: str = ""
    name: str = ""
    pictures: tuple[Picture, ...] = ()

    @property
    def label(self) -> str:
        if self.name:
            return self.name
        return f"{self.item}, {self.position.name}" if self.position else self.item

    @property
    def place(self) -> tuple:
        return (self.item, self.position.pk if self.position else None)


class VisitWriter:
    """Turns entries into rows of one visit; reads limits, rods and instruments once.

    ``rods_seen`` are the rods (by position id, None for none) on the form that was filled in,
    where it went out long before it came back: the readings are of those.
    """

    def __init__(
        self,
        visit: Inspection,
        instruments: Sequence[Instrument],
        entered_by: str,
        rods_seen: Mapping[int, int | None] | None = None,
    ):
        self.visit = visit
        self.instruments = instruments
        self._past_check: dict[int, bool] = {}
        self.entered_by = " ".join(entered_by.split())
        self.day = day_of(visit.at)
        self.limits: Limits = limits_for(visit.points, self.day)
        self.rod_places: dict[int, RodPlace] = {
            rod_place.position.pk: rod_place for rod_place in rod_places_of(visit.points, self.day)
        }

        self.differences = self._differences(rods_seen or {})
        self._rods_then = {found.position.pk: found.rod_then for found in self.differences}

    def _differences(self, rods_seen: Mapping[int, int | None]) -> list[Difference]:
        """Where the rod on the form is not the one recorded there on the day of the visit."""
        changed = {
            pk: rod
            for pk, rod in rods_seen.items()
            if pk in self.rod_places
            and rod != (self.rod_places[pk].rod.pk if self.rod_places[pk].rod else None)
        }
        # Only a rod that was there at some time can have been on the form.
        rods = {
            (fitting.position_id, fitting.stretcher_id): fitting.stretcher
            for fitting in Fitting.objects.filter(
                position__in=changed, stretcher__in=[rod for rod in changed.values() if rod]
            ).select_related("stretcher")
        }
        return [
            Difference(
                inspection=self.visit,
                position=self.rod_places[pk].position,
                rod_then=rods.get((pk, rod)),
                rod_now=self.rod_places[pk].rod,
            )
            for pk, rod in changed.items()
            if rod is None or (pk, rod) in rods
        ]

    def rod_at(self, position: Position | None) -> Stretcher | None:
        if position and position.pk in self._rods_then:
            return self._rods_then[position.pk]
        rod_place = self.rod_places.get(position.pk) if position else None
        return rod_place.rod if rod_place else None

    def errors_of_reading(self, entry: ReadingEntry, rod_known: bool = False) -> list[str]:
        if entry.quantity not in set(QuantityCode):
            return [f'"{entry.quantity}" is not a quantity that is measured.']
        quantity = QUANTITIES[QuantityCode(entry.quantity)]
        errors = self._errors_of_place(entry.position)
        if entry.side not in ("", Side.LEFT, Side.RIGHT):
            errors.append(f'"{entry.side}" is not a side: left or right.')
        if entry.lie not in ("", Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED):
            errors.append(f'"{entry.lie}" is not a lie: left_closed or right_closed.')
        wrong_place = quantity.refuses_place(entry.position, entry.at_mm, entry.side, entry.lie)
        if wrong_place:
            errors.append(wrong_place)
        length = self.visit.points.length_mm or 30_000
        if entry.at_mm is not None and not 0 <= entry.at_mm <= length:
            errors.append(
                f"{entry.at_mm:g} mm from the toe is not between toe and heel ({length:g} mm)."
            )
        if entry.value is None and not entry.not_taken_reason.strip():
            errors.append("Give a value, or say why it was not taken.")
        if entry.value is not None and entry.not_taken_reason.strip():
            errors.append("Give a value or say why it was not taken, not both.")
        if len(entry.not_taken_reason) > 120:
            errors.append("Say why it was not taken in 120 characters at most.")
        if entry.value is not None:
            implausible = quantity.refuses(entry.value, self.visit.points)
            errors += [implausible] if implausible else []
            if quantity.of_the_rod and not rod_known and not self.rod_at(entry.position):
                errors += self._no_rod(entry.position, quantity.label)
        return errors

    def errors_of_examination(self, entry: ExaminationEntry, rod_known: bool = False) -> list[str]:
        if entry.item not in set(ItemCode):
            return [f'"{entry.item}" is not an item that is examined.']
        if entry.found not in set(Look):
            return [f'"{entry.found}" is not a result: good, defective or not seen.']
        item = ITEMS[ItemCode(entry.item)]
        errors = self._errors_of_place(entry.position)
        if item.asked_at is None and entry.position is not None:
            errors.append(f"{item.label.capitalize()}: examined once for the whole set of points.")
        if item.asked_at is not None and entry.position is None:
            errors.append(f"{item.label.capitalize()}: say at which stretcher.")
        if len(entry.note) > 300:
            errors.append("Write the note in 300 characters at most.")
        if entry.position and not rod_known and not self.rod_at(entry.position):
            errors += self._no_rod(entry.position, item.label)
        return errors

    def differences_of(
        self, readings: Sequence[ReadingEntry], examinations: Sequence[ExaminationEntry]
    ) -> list[Difference]:
        """Those at places where something was entered: nothing is asked of the others."""
        entered = {e.position.pk for e in [*readings, *examinations] if e.position}
        return [found for found in self.differences if found.position.pk in entered]

    def reading(self, entry: ReadingEntry) -> Reading:
        judgement = self.limits.judge(entry.quantity, entry.value)
        instrument = entry.instrument or self._instrument_for(entry.quantity)
        return Reading(
            inspection=self.visit,
            quantity=entry.quantity,
            position=entry.position,
            at_mm=entry.at_mm,
            side=entry.side,
            lie=entry.lie,
            value=entry.value,
            not_taken_reason=entry.not_taken_reason.strip(),
            stretcher=self.rod_at(entry.position),
            instrument=instrument,
            instrument_past_check=instrument is not None and self._was_past_check(instrument),
            verdict=judgement.verdict.value,
            limit_id=judgement.bound.limit_id if judgement.bound else None,
            limit_confirmed=judgement.confirmed,
            way=judgement.way,
            entered_by=self.entered_by,
        )

    def examination(self, entry: ExaminationEntry) -> Examination:
        return Examination(
            inspection=self.visit,
            item=entry.item,
            position=entry.position,
            found=entry.found,
            note=entry.note.strip(),
            stretcher=self.rod_at(entry.position),
            entered_by=self.entered_by,
        )

    def _errors_of_place(self, position: Position | None) -> list[str]:
        if position is None or position.pk in self.rod_places:
            return []
        return [f"{position} is not a place of {self.visit.points.key}."]

    def _no_rod(self, position: Position | None, what: str) -> list[str]:
        if position is None or position.pk not in self.rod_places:
            return []  # said already, in better words
        return [
            (
                f"No stretcher is recorded at the {position.name} on {day(self.day)}, so it has no "
                f"{what}: record the stretcher that is there first, or leave this out."
            )
        ]

    def _was_past_check(self, instrument: Instrument) -> bool:
        """Its checks are looked at once a visit."""
        if instrument.pk not in self._past_check:
            self._past_check[instrument.pk] = instrument.past_check(self.day)
        return self._past_check[instrument.pk]

    def _instrument_for(self, quantity: str) -> Instrument | None:
        """The visit's one instrument that takes this quantity; None where that is not plain."""
        kind = QUANTITIES[QuantityCode(quantity)].instrument
        fitting = [instrument for instrument in self.instruments if instrument.kind == kind]
        return fitting[0] if len(fitting) == 1 else None


def day_of(at: datetime) -> date:
    """The railway's own calendar day of a moment."""
    return timezone.localdate(at)


def raise_any(errors: dict[str, list[str]]) -> None:
    """Raises one ValidationError with all messages, where there are any."""
    found = {name: messages for name, messages in errors.items() if messages}
    if found:
        raise ValidationError(found)
