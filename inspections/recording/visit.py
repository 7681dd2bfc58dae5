"""Recording a visit: the one way in for the form, the workbook, the visit sheet and the demo.

All of a visit is written, or nothing. Each reading is judged by the limits in force on its day, and
notes the rod that was there then. What is wrong with an entry is said under the entry's name, so
that a form shows it beside the box and a workbook beside the cell.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError
from django.utils import timezone

from assets.models import Points
from assets.photographs.keeping import files_go_with_the_rows, keep
from assets.register_facts import figures_in_force
from inspections.catalogue.rod_places import RodPlace
from inspections.catalogue.spots import asked_of, place_key_of
from inspections.models import (
    Difference,
    Examination,
    ExaminationPhoto,
    Inspection,
    Instrument,
    Reading,
)
from inspections.recording.entries import ExaminationEntry, ReadingEntry, VisitWriter, raise_any
from inspections.words import Reason

CLOCKS_DIFFER = timedelta(minutes=10)  # a phone's clock may run ahead of the server's
EARLIEST = datetime(1950, 1, 1, tzinfo=UTC)  # a visit before this is a slip in the year


def record_inspection(
    *,
    points: Points,
    at: datetime,
    by: str,
    user,
    reason: str,
    readings: Sequence[ReadingEntry],
    examinations: Sequence[ExaminationEntry],
    instruments: Iterable[Instrument] = (),
    note: str = "",
    client_id: UUID | None = None,
    now: datetime | None = None,
    rods_seen: Mapping[int, int | None] | None = None,
) -> Inspection:
    """Records one visit whole. The same ``client_id`` again gives the visit recorded first.

    ``rods_seen`` (position id to rod id) are the rods on a form that went out before: where
    another rod is recorded on the day, the readings are of the one on the form, and a Difference
    puts the question to a person.

    ``at`` is aware of its time zone. Raises ValidationError with the messages under the names of
    the entries, or under "at", "by", "reason", "note", "client_id" and "__all__". The number of
    queries does not grow with the entries.
    """
    client_id = client_id or uuid4()
    earlier = _recorded_before(points, client_id)
    if earlier:
        return earlier
    visit = Inspection(
        points=points,
        at=at,
        by=" ".join(by.split()),
        recorded_by=user,
        reason=reason,
        note=note.strip(),
        client_id=client_id,
    )
    instruments = list(instruments)
    writer = VisitWriter(visit, instruments, entered_by=visit.by, rods_seen=rods_seen)
    errors = _errors_of_visit(visit, readings, examinations, now or timezone.now())
    for entry in readings:
        errors[entry.label] += writer.errors_of_reading(entry)
    for entry in examinations:
        errors[entry.label] += writer.errors_of_examination(entry)
    for entry in _twice(readings) + _twice(examinations):
        errors[entry.label].append("This is entered twice: leave one of them out.")
    raise_any(errors)
    answered = _answered(writer.rod_places.values(), points, readings, examinations)
    visit.partial = answered < figures_in_force().visit_share
    try:
        with files_go_with_the_rows() as photos:
            visit.save()
            visit.instruments.set(instruments)
            Reading.objects.bulk_create(writer.reading(entry) for entry in readings)
            looks = Examination.objects.bulk_create(map(writer.examination, examinations))
            Difference.objects.bulk_create(writer.differences_of(readings, examinations))
            for look, entry in zip(looks, examinations, strict=True):
                for picture in entry.pictures:
                    photos.append(keep(picture, by=visit.by, user=user, caption=str(look)[:200]))
                    ExaminationPhoto.objects.create(photo=photos[-1], examination=look)
    except IntegrityError:
        # The same visit sent twice at once: the other one was quicker.
        earlier = _recorded_before(points, client_id)
        if earlier is None:
            raise
        return earlier
    return visit


def _recorded_before(points: Points, client_id: UUID) -> Inspection | None:
    earlier = Inspection.objects.filter(client_id=client_id).first()
    if earlier is not None and earlier.points_id != points.pk:
        raise ValidationError(
            {"client_id": "This form was already sent for other points: start a new one."}
        )
    return earlier


def _answered(
    rod_places: Iterable[RodPlace],
    points: Points,
    readings: Iterable[ReadingEntry],
    examinations: Iterable[ExaminationEntry],
) -> float:
    """The share (0 to 1) of what the form asks of these points that was answered.

    A reading with the reason why it was not taken answers, and so does a thing not seen.
    """
    readings_asked, looks_asked = asked_of(points, list(rod_places))
    asked = readings_asked | looks_asked
    given = {place_key_of(entry) for entry in readings} | {entry.place for entry in examinations}
    return len(asked & given) / len(asked)


def _errors_of_visit(
    visit: Inspection,
    readings: Sequence[ReadingEntry],
    examinations: Sequence[ExaminationEntry],
    now: datetime,
) -> dict[str, list[str]]:
    errors: dict[str, list[str]] = defaultdict(list)
    if visit.at > now + CLOCKS_DIFFER:
        errors["at"].append("A visit cannot be in the future.")
    if visit.at < EARLIEST:
        errors["at"].append("A visit cannot be that long ago: check the year.")
    if not visit.by:
        errors["by"].append("Say who made the visit.")
    if len(visit.by) > 80:
        errors["by"].append("Name who made the visit in 80 characters at most.")
    if visit.reason not in set(Reason):
        errors["reason"].append(f'"{visit.reason}" is not a reason for a visit.')
    if not readings and not examinations:
        errors[NON_FIELD_ERRORS].append(
            "Nothing was measured or examined: enter at least one reading or examination."
        )
    return errors


def _twice(entries: Sequence) -> list:
    """The entries that give a place given before."""
    seen: set[tuple] = set()
    return [entry for entry in entries if entry.place in seen or seen.add(entry.place)]
