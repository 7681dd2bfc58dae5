"""The sheets of visits: each visit, what was read, what was looked at.

What was measured is never changed by loading; a mistaken entry is corrected by a row of its own,
which has the next entry number and says why.
"""

import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError

from assets.engineering.words import Lie, Side
from assets.models import Fitting, Points, Position, Stretcher
from assets.sheets.columns import Link, clock_time, column, moment_of
from assets.sheets.happenings import Happening
from assets.sheets.loading import Choice, Loading
from assets.sheets.register import PART_LINKS, PLACE_HELP, POINTS_HELP, POINTS_LINK
from assets.workbook.columns import Column, Kind, Sheet, fold
from assets.workbook.planning import Key, Outcome, PlannedRow
from assets.workbook.reading import Row
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Examination, Inspection, Instrument, Reading
from inspections.recording.corrections import correct_examination, correct_reading
from inspections.recording.entries import ExaminationEntry, ReadingEntry
from inspections.recording.visit import record_inspection
from inspections.sheets.limits import INSTRUMENT_LINK, unit_of_quantity
from inspections.words import ItemCode, QuantityCode

STAYS = (
    "What was recorded stays as it was written: enter a correction in the program, or as a row of "
    "its own here with the next entry number and the reason."
)
VISIT_STAYS = (
    "A visit to these points at that moment is recorded already, and stays as it was. If this is "
    "another one, give it its own time, or the number 2 under Visit."
)
STRETCHER_LINK = PART_LINKS["stretcher"]
RANK_VISIT, RANK_CORRECTION = 0, 1  # and one more for each further correction


@dataclass(frozen=True)
class VisitSheet:
    """One of the three sheets; ``rows`` reads what is held, ``tidy`` evens out what is given."""

    sheet: Sheet
    rows: Callable[[Choice], Iterator[tuple[int, dict[str, Any]]]]
    tidy: Callable[[dict[str, Any]], None]
    link: Link | None = None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        return self.rows(choice)

    def prepare(self, row: Row) -> None:
        self.tidy(row.values)

    def changed_since(self, at: datetime) -> Mapping[Key, None]:
        """Nothing recorded ever changes."""
        return {}


# Columns


def _visit_columns(what: str) -> tuple[Column, ...]:
    return (
        Column("Points", "points", Kind.REFERENCE, refers_to="Points", key=True, help=POINTS_HELP),
        Column("When", "at", Kind.DATE_TIME, key=True, help="When the visit was made."),
        Column(
            "Visit",
            "visit",
            Kind.WHOLE,
            key=True,
            optional=True,
            help=f"Blank, or 2, 3 ... {what} further visits to the same points at that moment.",
        ),
    )


_PLACE = Column("Place", "order", Kind.WHOLE, key=True, optional=True, help=PLACE_HELP)
_ENTRY = Column(
    "Entry",
    "entry",
    Kind.WHOLE,
    key=True,
    optional=True,
    help="Blank for what was entered at the visit; 2, 3 ... for what corrects the entry before.",
)
_CORRECTION = (
    Column("Why corrected", "correction_reason", help="Needed from entry 2 on."),
    Column("Corrected by", "corrected_by", help="Needed from entry 2 on."),
    Column("Corrected at", "corrected_at", Kind.DATE_TIME, help="Blank: when it is loaded."),
)
_NAME = Column(
    "Name", "name", info=True, help="The sheets Defects and Events refer to the row by this."
)

VISITS = Sheet(
    "Visits",
    (
        *_visit_columns("for"),
        column(Inspection, "by"),
        column(Inspection, "reason"),
        Column("Instruments", "instruments", help="Their tags, separated by semicolons."),
        column(Inspection, "note"),
        Column(
            "Sending mark",
            "client_id",
            help="Made by the program, so that a visit sent twice is recorded once. Leave blank.",
        ),
    ),
    "One visit to one set of points.",
)

READINGS = Sheet(
    "Readings",
    (
        *_visit_columns("for readings of"),
        column(Reading, "quantity", key=True),
        _PLACE,
        column(Reading, "at_mm", key=True, optional=True, help="Between stretchers only."),
        Column(
            "Side",
            "side",
            Kind.CHOICE,
            choices=tuple((s.value, s.label) for s in Side if s != Side.UNKNOWN),
            key=True,
            optional=True,
        ),
        Column(
            "Lie",
            "lie",
            Kind.CHOICE,
            choices=tuple((lie.value, lie.label) for lie in Lie if lie != Lie.UNKNOWN),
            key=True,
            optional=True,
        ),
        _ENTRY,
        Column(
            "Value",
            "value",
            Kind.NUMBER,
            help="A lock test: 1 locked, 0 not locked.",
            unit_in_row=unit_of_quantity,
        ),
        Column("Unit", "unit", info=True),
        column(Reading, "not_taken_reason", "Why it was not taken"),
        Column(
            "Instrument",
            "instrument",
            Kind.REFERENCE,
            refers_to="Instruments",
            help="Blank: the visit's instrument for it.",
        ),
        Column(
            "Rod",
            "rod",
            Kind.REFERENCE,
            refers_to="Stretchers",
            help="Blank: the stretcher that is recorded there on that day.",
        ),
        *_CORRECTION,
        Column("Verdict", "verdict", info=True),
        Column("Limit confirmed", "limit_confirmed", Kind.YES_NO, info=True),
        Column("Instrument past its check", "past_check", Kind.YES_NO, info=True),
        _NAME,
    ),
    "A value of one quantity at one place. Place and distance both blank: at the toe.",
)

EXAMINATIONS = Sheet(
    "Examinations",
    (
        *_visit_columns("for what was seen on"),
        column(
            Examination,
            "item",
            "Thing looked at",
            key=True,
            former=(
                ("welds on adjustable rods", "weld"),
                ("ballast behind the rods", "ballast"),
                ("timber fouling the rods", "timber_fouling"),
            ),
        ),
        _PLACE,
        _ENTRY,
        column(Examination, "found"),
        column(Examination, "note"),
        Column(
            "Rod",
            "rod",
            Kind.REFERENCE,
            refers_to="Stretchers",
            help="Blank: the stretcher that is recorded there on that day.",
        ),
        *_CORRECTION,
        _NAME,
    ),
    "One item examined. Place blank: the points as a whole.",
)


# What is held


def _visit_numbers(choice: Choice) -> dict[int, int]:
    """Number, from 2, of visits made to the same points at the same moment as others."""
    numbers: dict[int, int] = {}
    seen: dict[tuple, int] = defaultdict(int)
    visits = _chosen(Inspection.objects.order_by("points_id", "at", "pk"), choice, "points")
    for points, at, pk in visits.values_list("points_id", "at", "pk").iterator():
        place = (points, clock_time(at))
        seen[place] += 1
        if seen[place] > 1:
            numbers[pk] = seen[place]
    return numbers


def _entry_numbers(model, choice: Choice) -> dict[int, int]:
    """Number, from 2, of entries that correct others."""
    corrections = model.objects.filter(corrects__isnull=False)
    chosen = _chosen(corrections, choice, "inspection__points")
    corrects = dict(chosen.values_list("pk", "corrects_id"))
    numbers = {}
    for pk in corrects:
        above, number = pk, 1
        while above in corrects:
            above, number = corrects[above], number + 1
        numbers[pk] = number
    return numbers


def _chosen(rows, choice: Choice, path: str):
    return rows if choice.points is None else rows.filter(**{f"{path}__in": choice.points})


_KEY_OF_POINTS = ("points__location__code", "points__number")


def _held_visits(choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
    numbers, tags = _visit_numbers(choice), defaultdict(list)
    used = Inspection.instruments.through.objects.order_by("instrument__tag")
    for visit, tag in used.values_list("inspection_id", "instrument__tag"):
        tags[visit].append(tag)
    rows = _chosen(Inspection.objects.order_by("at", "pk"), choice, "points")
    names = ("by", "reason", "note", "client_id")
    for pk, code, number, at, *rest in rows.values_list("pk", *_KEY_OF_POINTS, "at", *names):
        values = dict(zip(names, rest, strict=True))
        values["client_id"] = str(values["client_id"])
        yield (
            pk,
            {
                "points": f"{code} {number}",
                "at": clock_time(at),
                "visit": numbers.get(pk),
                "instruments": "; ".join(tags.get(pk, ())),
                **values,
            },
        )


def _held_entries(model, choice: Choice, own: tuple[str, ...]) -> Iterator[tuple[int, dict]]:
    """What readings and examinations have in common, with their own fields after it."""
    visits, entries = _visit_numbers(choice), _entry_numbers(model, choice)
    rows = model.objects.order_by("inspection__at", "inspection", "pk")
    rows = _chosen(rows, choice, "inspection__points")
    common = (
        "inspection_id",
        *(f"inspection__{path}" for path in _KEY_OF_POINTS),
        "inspection__at",
        "position__order",
        "stretcher__tag",
        "correction_reason",
        "entered_by",
        "entered_at",
    )
    for pk, visit, code, number, at, order, rod, why, by, when, *rest in rows.values_list(
        "pk", *common, *own
    ).iterator():
        entry = entries.get(pk)
        yield (
            pk,
            {
                "points": f"{code} {number}",
                "at": clock_time(at),
                "visit": visits.get(visit),
                "order": order,
                "entry": entry,
                "rod": rod,
                "correction_reason": why,
                "corrected_by": by if entry else "",
                "corrected_at": clock_time(when) if entry else None,
                **dict(zip(own, rest, strict=True)),
            },
        )


def _held_readings(choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
    own = (
        "quantity", "at_mm", "side", "lie", "value", "not_taken_reason", "instrument__tag",
        "verdict", "limit_confirmed", "instrument_past_check",
    )  # fmt: skip
    verdicts = dict(Reading._meta.get_field("verdict").flatchoices)
    for pk, values in _held_entries(Reading, choice, own):
        values["instrument"] = values.pop("instrument__tag")
        values["past_check"] = values.pop("instrument_past_check")
        values["verdict"] = verdicts[values["verdict"]]
        values["unit"] = QUANTITIES[QuantityCode(values["quantity"])].unit
        values["name"] = reading_name(values)
        yield pk, values


def _held_examinations(choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
    for pk, values in _held_entries(Examination, choice, ("item", "found", "note")):
        values["name"] = examination_name(values)
        yield pk, values


def reading_name(values: Mapping[str, Any]) -> str:
    """A reading as other sheets refer to it, unambiguous among those of its points."""
    lie = Lie(values["lie"]).label if values["lie"] else ""
    side = f"{values['side']} side" if values["side"] else ""
    return _name(values, QuantityCode(values["quantity"]).label, side, lie)


def examination_name(values: Mapping[str, Any]) -> str:
    """An examination as other sheets refer to it, unambiguous among those of its points."""
    return _name(values, ItemCode(values["item"]).label)


def _name(values: Mapping[str, Any], what: str, *more: str) -> str:
    at = values["at"]
    words = [f"{at:%d %b %Y %H:%M:%S}" if at.second else f"{at:%d %b %Y %H:%M}", what]
    if values["order"] is not None:
        words.append(f"place {values['order']}")
    if values.get("at_mm") is not None:
        words.append(f"at {values['at_mm']!r} mm")
    words += [word for word in more if word]
    words += [f"{word} {values[word]}" for word in ("visit", "entry") if values[word]]
    return ", ".join(words)


# What is given


def _tidy_number(values: dict[str, Any], name: str) -> None:
    """The first is left blank, so that 1 and blank are the same."""
    if values.get(name) == 1:
        values[name] = None


def _leave_unsaid(values: dict[str, Any], *names: str) -> None:
    """Blank says nothing here, so it takes nothing away."""
    for name in names:
        if values.get(name) in (None, ""):
            values.pop(name, None)


def _tidy_visit(values: dict[str, Any]) -> None:
    _tidy_number(values, "visit")
    _leave_unsaid(values, "client_id")
    if "instruments" in values:
        tags = (" ".join(tag.split()) for tag in re.split("[;\n]", values["instruments"]))
        values["instruments"] = "; ".join(sorted(filter(None, tags)))


def _tidy_entry(values: dict[str, Any]) -> None:
    _tidy_number(values, "visit")
    _tidy_number(values, "entry")
    _leave_unsaid(values, "instrument", "rod", "corrected_at")


# Loading


def happenings(loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> list[Happening]:
    """The new visits and corrections, each to be entered when its time comes."""
    rows = {name: list(_new(planned.get(name, []), stays)) for name, stays in _STAYS.items()}
    entries, refused = defaultdict(list), set()
    for name in ("Readings", "Examinations"):
        refused |= {_visit_key(row) for row in planned.get(name, []) if row.refusals}
    found = []
    for name in ("Readings", "Examinations"):
        for row in rows[name]:
            if row.values.get("entry"):
                found.append(_correction(loading, row))
            else:
                entries[_visit_key(row)].append(row)
    for row in rows["Visits"]:
        key = _visit_key(row)
        if key in entries or key not in refused:
            found.append(_visit(loading, row, entries.pop(key, [])))
        else:
            row.refuse(_PART_REFUSED)
    for key, left in entries.items():
        for row in left:
            row.refuse(_WHOLE if key in visit_ids(loading) else _NO_VISIT)
    return found


def visit_ids(loading: Loading) -> dict[Key, int]:
    """Primary key of each visit by its key in the sheet; those entered meanwhile are added."""
    if "visits" not in loading.kept:
        held = _held_visits(Choice())
        loading.kept["visits"] = {VISITS.key_of(values): pk for pk, values in held}
    return loading.kept["visits"]


_STAYS = {"Visits": VISIT_STAYS, "Readings": STAYS, "Examinations": STAYS}
_WHOLE = (
    "That visit is recorded already, and nothing is added to it afterwards: record another visit, "
    "or give this row the next entry number and say what it corrects."
)
_NO_VISIT = (
    "There is no visit to these points at that moment, in the register or among the rows of the "
    "sheet Visits that can be entered."
)


def _new(rows: list[PlannedRow], stays: str) -> Iterator[PlannedRow]:
    """The new rows; those that would change what was recorded are refused."""
    for row in rows:
        if row.outcome is Outcome.CHANGED:
            row.refuse(stays, row.changes[0].column.field)
        elif row.outcome is Outcome.NEW:
            yield row


def _visit_key(row: PlannedRow) -> Key:
    return VISITS.key_of(row.values)


def _visit(loading: Loading, row: PlannedRow, entries: list[PlannedRow]) -> Happening:
    at = moment_of(row.values["at"])
    return Happening(at, RANK_VISIT, row, partial(_record, loading, row, at, entries))


def _record(loading: Loading, row: PlannedRow, at: datetime, entries: list[PlannedRow]) -> None:
    values = row.values
    refuse_unshown_time(values["at"], "at")
    points = points_of(loading, values["points"])
    mark = _mark(values.get("client_id"))
    if mark and Inspection.objects.filter(client_id=mark).exists():
        raise ValidationError({"client_id": "Another visit has been sent with this mark."})
    by_name = {f"row {id(entry)}": entry for entry in entries}
    given = {name: _entry(loading, points, name, entry) for name, entry in by_name.items()}
    rods = _rods_seen(loading, points, given, by_name)
    if None in given.values() or any(entry.refusals for entry in entries):
        raise ValidationError(_PART_REFUSED)
    try:
        visit = record_inspection(
            points=points,
            at=at,
            by=values.get("by", ""),
            user=loading.account,
            reason=values.get("reason") or "",
            instruments=_instruments(loading, values.get("instruments", "")),
            note=values.get("note", ""),
            client_id=mark,
            readings=[entry for entry in given.values() if isinstance(entry, ReadingEntry)],
            examinations=[e for e in given.values() if isinstance(e, ExaminationEntry)],
            rods_seen=rods,
        )
    except ValidationError as wrong:
        raise _said_to_the_rows(wrong, by_name) from wrong
    visit_ids(loading)[VISITS.key_of(values)] = visit.pk


_PART_REFUSED = "One of its readings or examinations is refused."


def _entry(loading: Loading, points: Points, name: str, row: PlannedRow):
    """A row as an entry of a visit; None, with the row refused, where it cannot be one."""
    values = row.values
    place = _place(points, row)
    if place is None and values.get("order") is not None:
        row.refuse(f"{points.key} has no place {values['order']} in the sheet Places.", "order")
        return None
    if values.get("correction_reason"):
        row.refuse("Give the correction its entry number: 2, or the next one.", "entry")
        return None
    if row.sheet is EXAMINATIONS:
        note = values.get("note", "")
        return ExaminationEntry(values["item"], values["found"], place, note, name)
    instrument = values.get("instrument")
    return ReadingEntry(
        quantity=values["quantity"],
        value=values.get("value"),
        position=place,
        at_mm=values.get("at_mm"),
        side=values.get("side") or "",
        lie=values.get("lie") or "",
        not_taken_reason=values.get("not_taken_reason", ""),
        instrument=_instruments(loading, instrument)[0] if instrument else None,
        name=name,
    )


def _rods_seen(loading: Loading, points: Points, given, by_name) -> dict[int, int | None]:
    """Rods that the rows name, by the key of their place; one that was never there is refused."""
    found = {}
    for name, entry in given.items():
        row = by_name[name]
        tag = row.values.get("rod")
        if entry is None or entry.position is None or not tag:
            continue
        rod = loading.pk_of(STRETCHER_LINK, tag)
        if (entry.position.pk, rod) not in _ever_fitted(loading, points):
            row.refuse(f"{tag} was never recorded at the {entry.position.name}.", "rod")
        found[entry.position.pk] = rod
    return found


def _ever_fitted(loading: Loading, points: Points) -> set[tuple[int, int]]:
    """Place and rod of every fitting there ever was at these points; read once."""
    known = loading.kept.setdefault("ever fitted", {})
    if points.pk not in known:
        fittings = Fitting.objects.filter(position__points=points)
        known[points.pk] = set(fittings.values_list("position_id", "stretcher_id"))
    return known[points.pk]


def _said_to_the_rows(wrong: ValidationError, by_name) -> ValidationError:
    """Tells each entry's row what is wrong with it; what is left is the visit's own."""
    own: dict[str, list[str]] = {}
    for field, sentences in wrong.message_dict.items():
        row = by_name.get(field)
        if row is None:
            own[field] = sentences
            continue
        for sentence in sentences:
            row.refuse(sentence, "value" if row.sheet is READINGS else "found")
    return ValidationError(own or _PART_REFUSED)


def _correction(loading: Loading, row: PlannedRow) -> Happening:
    at = moment_of(row.values.get("corrected_at")) or loading.now
    rank = RANK_CORRECTION + row.values["entry"]
    return Happening(at, rank, row, partial(_correct, loading, row, at))


def _correct(loading: Loading, row: PlannedRow, at: datetime) -> None:
    """Enters a correction of the entry numbered one less."""
    values = row.values
    if at > loading.now:
        raise ValidationError({"corrected_at": "That time is in the future."})
    mistaken = _entry_before(loading, row)
    if mistaken is None:
        raise ValidationError({"entry": f"There is no entry {values['entry'] - 1} to correct."})
    if values.get("instrument") and not _same_instrument(mistaken, values["instrument"]):
        raise ValidationError({"instrument": "A correction must name the same instrument."})
    rod = loading.pk_of(STRETCHER_LINK, values["rod"]) if values.get("rod") else None
    about = {
        "by": values.get("corrected_by", ""),
        "reason": values.get("correction_reason", ""),
        "stretcher": Stretcher.objects.get(pk=rod) if rod else None,
        "at": at,
    }
    if not about["by"].strip():
        raise ValidationError({"corrected_by": "Say who corrected it."})
    try:
        if row.sheet is READINGS:
            not_taken = values.get("not_taken_reason", "")
            value = values.get("value")
            correct_reading(mistaken, value=value, not_taken_reason=not_taken, **about)
        else:
            note = values.get("note", "")
            correct_examination(mistaken, found=values["found"], note=note, **about)
    except ValidationError as wrong:
        raise _in_own_columns(wrong) from wrong


def _same_instrument(mistaken: Reading, tag: str) -> bool:
    return mistaken.instrument is not None and fold(mistaken.instrument.tag) == fold(tag)


def _in_own_columns(wrong: ValidationError) -> ValidationError:
    if not hasattr(wrong, "error_dict"):
        return wrong
    columns = {"reason": "correction_reason"}
    return ValidationError({columns.get(k, k): v for k, v in wrong.message_dict.items()})


def _entry_before(loading: Loading, row: PlannedRow):
    """The entry that this row corrects, or None."""
    values = row.values
    visit = visit_ids(loading).get(VISITS.key_of(values))
    points = points_of(loading, values["points"])
    if row.sheet is READINGS:
        place = {
            "quantity": values["quantity"],
            "at_mm": values.get("at_mm"),
            "side": values.get("side") or "",
            "lie": values.get("lie") or "",
        }
        found = Reading.objects.select_related("instrument")
    else:
        place, found = {"item": values["item"]}, Examination.objects
    same = found.select_related("inspection__points", "position", "stretcher").filter(
        inspection=visit, position=_place(points, row), corrects__isnull=True, **place
    )
    entry = same.first()
    for _ in range(values["entry"] - 2):
        entry = getattr(entry, "correction", None)
    return entry


def points_of(loading: Loading, key: str) -> Points:
    """The points of that name with their places, read once; ValidationError where refused."""
    known = loading.kept.setdefault("points", {})
    if key not in known:
        pk = loading.pk_of(POINTS_LINK, key)
        if pk is None:
            raise ValidationError({"points": "The row of these points is refused."})
        queryset = Points.objects.select_related("location", "design", "rail_section")
        known[key] = queryset.prefetch_related("positions").get(pk=pk)
        for place in known[key].positions.all():
            place.points = known[key]
    return known[key]


def _place(points: Points, row: PlannedRow) -> Position | None:
    order = row.values.get("order")
    return next((place for place in points.positions.all() if place.order == order), None)


def _instruments(loading: Loading, tags: str) -> list[Instrument]:
    known = loading.kept.setdefault("instruments", {})
    found = []
    for tag in filter(None, tags.split("; ")):
        pk = loading.pk_of(INSTRUMENT_LINK, tag)
        if pk is None:
            message = f'There is no instrument "{tag}" in the sheet Instruments.'
            raise ValidationError({"instruments": message})
        if pk not in known:
            known[pk] = Instrument.objects.with_checks().get(pk=pk)
        found.append(known[pk])
    return found


def _mark(text: str | None) -> UUID | None:
    if not text:
        return None
    try:
        return UUID(text)
    except ValueError:
        wrong = "Leave this blank: it is not a mark made by the program."
        raise ValidationError({"client_id": wrong}) from None


def refuse_unshown_time(shown: datetime, field: str) -> None:
    """Refuses a time that the clocks passed over when they were put forward."""
    if clock_time(moment_of(shown)) != shown:
        raise ValidationError({field: "The clocks were put forward then: there was no such time."})


def names_of_findings(choice: Choice) -> dict[type, dict[int, str]]:
    """Name of each reading and examination by its model and primary key."""
    return {
        Reading: {pk: values["name"] for pk, values in _held_readings(choice)},
        Examination: {pk: values["name"] for pk, values in _held_examinations(choice)},
    }


def findings_at(points: int) -> dict[str, tuple[type, int]]:
    """Model and primary key of each reading and examination there, by ``fold`` of its name."""
    here = Choice(points=frozenset([points]))
    found = {fold(values["name"]): (Reading, pk) for pk, values in _held_readings(here)}
    return found | {
        fold(values["name"]): (Examination, pk) for pk, values in _held_examinations(here)
    }


BOUND = (
    VisitSheet(VISITS, _held_visits, _tidy_visit),
    VisitSheet(READINGS, _held_readings, _tidy_entry),
    VisitSheet(EXAMINATIONS, _held_examinations, _tidy_entry),
)
