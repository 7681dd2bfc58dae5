"""Builds seasons, instruments, limits and visits of the demo from fixtures/demo/visits.json."""

from collections import defaultdict
from datetime import date
from functools import partial

from assets.models import Points, RailwayFigure
from config.reference import add_limit
from inspections.catalogue.looks import items_at, items_of_points
from inspections.catalogue.rod_places import rod_places_of
from inspections.catalogue.spots import spots_of
from inspections.models import Instrument, InstrumentCheck, Limit, Reading, Season
from inspections.recording.corrections import correct_reading
from inspections.recording.entries import ExaminationEntry, ReadingEntry
from inspections.recording.visit import record_inspection
from inspections.words import Look, QuantityCode, Reason

from . import files, people
from .days import Calendar, Happening
from .switches import Set

# Taken at every routine visit; the rest only when the whole set of points is gone through.
EVERY_TIME = {
    QuantityCode.SWITCH_OPENING,
    QuantityCode.TRACK_GAUGE,
    QuantityCode.FWC,
    QuantityCode.FWP,
    QuantityCode.RESIDUAL_OPENING,
    QuantityCode.KICKER_CLEARANCE,
    QuantityCode.LOCK_GO,
    QuantityCode.LOCK_NO_GO,
}


VISIT_AT_HOUR = 11
CORRECTED_AT_HOUR = 15


def prepare(calendar: Calendar) -> None:
    """What visits go by: seasons, instruments, figures of the railway and limits."""
    given = files.read("visits")
    _seasons(given["seasons"], calendar)
    for row in given["instruments"]:
        _instrument(row, calendar)
    _figures(given, calendar)
    _limits(given, calendar)


def happenings(calendar: Calendar) -> list[Happening]:
    """Every visit and correction, each to be recorded when its time comes."""
    return _Visits(files.read("visits"), calendar).happenings()


def _seasons(rows: list[list[int]], calendar: Calendar) -> None:
    for first, last in rows:
        first_use = calendar.day(first)
        Season.objects.create(
            name=f"Season from {first_use:%B %Y}",
            first_use=first_use,
            last_use=calendar.day(last),
        )


def _instrument(row: dict, calendar: Calendar) -> None:
    """An instrument with the checks it had, each done by the test house and entered that day."""
    fields = {key: value for key, value in row.items() if key != "checks"}
    instrument = Instrument(**{**fields, "check_due": calendar.day(row["check_due"])})
    instrument.full_clean()
    instrument.save()
    for given in row.get("checks", ()):
        due = given.get("next_due")
        check = InstrumentCheck(
            instrument=instrument,
            day=calendar.day(given["days_ago"]),
            by="Test house D",
            certificate=given["certificate"],
            passed=given.get("passed", True),
            found_error=given.get("found_error"),
            next_due=None if due is None else calendar.day(due),
            entered_by="Lineman A",
            entered_at=calendar.moment(given["days_ago"], CORRECTED_AT_HOUR),
        )
        check.full_clean()
        check.save()


def _figures(given: dict, calendar: Calendar) -> None:
    """The figures that the engineer has confirmed; the others are assumed."""
    by = given["confirmed"]["by"]
    account = people.by_name()[by]
    for row in given["figures"]:
        fields = {key: value for key, value in row.items() if key != "days_ago"}
        figure = RailwayFigure(
            **fields,
            confirmed_by=by,
            confirmed_on=calendar.day(row["days_ago"]),
            account=account,
        )
        figure._history_user = account
        figure._history_date = calendar.moment(row["days_ago"], CORRECTED_AT_HOUR)
        figure.full_clean()
        figure.save()


def _limits(given: dict, calendar: Calendar) -> None:
    """The railway's own limits, and those its engineer has confirmed."""
    first_day = calendar.day(given["confirmed"]["days_ago"])
    for row in given["own_limits"]:
        add_limit(row, first_day)
    for row in given["points_limits"]:
        points = Points.objects.by_key(row["points"])
        add_limit({**row, "scope": "points", "points": points}, first_day)
    engineer = people.by_name()[given["confirmed"]["by"]]
    for limit in Limit.objects.filter(quantity__in=given["confirmed"]["quantities"]):
        limit.confirmed_by = given["confirmed"]["by"]
        limit.confirmed_on = first_day
        limit._history_user = engineer
        limit.full_clean()
        limit.save()


class _Visits:
    def __init__(self, given: dict, calendar: Calendar):
        self.given, self.calendar = given, calendar
        self.instruments = list(Instrument.objects.with_checks())
        self.users = people.by_name()
        self.seasons = list(Season.objects.all())
        self.points = {
            points.key: points
            for points in Points.objects.select_related(
                "location", "design", "rail_section"
            ).prefetch_related("positions", "offsets")
        }
        self.found: dict[tuple[str, int], list[dict]] = defaultdict(list)
        for row in given["found"]:
            if "why" not in row:
                self.found[row["points"], row["days_ago"]].append(row)

    def happenings(self) -> list[Happening]:
        routine = [
            Happening(row["days_ago"], VISIT_AT_HOUR, partial(self._routine, key, number, row))
            for key in self.points
            for number, row in self._rounds_of(key)
        ]
        extra = [
            Happening(row["days_ago"], VISIT_AT_HOUR, partial(self._extra, row))
            for row in self.given["found"]
            if "why" in row
        ]
        corrections = [
            Happening(row["days_ago"], CORRECTED_AT_HOUR, partial(self._correct, row))
            for row in self.given["corrections"]
        ]
        return routine + extra + corrections

    def _rounds_of(self, key: str) -> list[tuple[int, dict]]:
        """Number and row of each round that goes to these points."""
        row = self.given["rounds"][key.split()[0]]
        step = 2 if key in self.given["every_second_round"] else 1
        rounds = range(row["first"], row.get("last", 0) - 1, -row["every"])
        return [
            (number, {**row, "days_ago": days_ago})
            for number, days_ago in enumerate(rounds)
            if number % step == 0
        ]

    def _routine(self, key: str, round_number: int, row: dict) -> None:
        points, days_ago = self.points[key], row["days_ago"]
        rod_places = rod_places_of(points, self.calendar.day(days_ago))
        setting = Set(points, self.given["set"][key], round_number)
        whole = round_number % self.given["whole_once_in"] == 0
        found = self.found[key, days_ago]
        out = {self._place(points, r): r["value"] for one in found for r in one.get("readings", [])}
        entries = {
            (spot.quantity.code, spot.position, spot.side, spot.lie): setting.reads(spot, days_ago)
            for spot in spots_of(points, rod_places)
            if not spot.between and (whole or spot.quantity.code in EVERY_TIME)
        } | out
        self._record(
            points,
            row | {"by": next((one["by"] for one in found if "by" in one), row["by"])},
            reason=self._reason(self.calendar.day(days_ago)),
            readings=[
                ReadingEntry(quantity=q, position=p, side=side, lie=lie, value=value)
                for (q, p, side, lie), value in entries.items()
                if value is not None
            ],
            examinations=self._looks(points, rod_places, found),
        )

    def _place(self, points: Points, row: dict) -> tuple:
        position = next((p for p in points.positions.all() if p.order == row.get("order")), None)
        return QuantityCode(row["quantity"]), position, row.get("side", ""), row.get("lie", "")

    def _looks(self, points: Points, rod_places: list, found: list[dict]) -> list[ExaminationEntry]:
        """Everything good, but for what was found defective."""
        bad = {
            (look["item"], look.get("order")): look
            for one in found
            for look in one.get("examinations", [])
        }
        wanted = [(item, None) for item in items_of_points()]
        wanted += [
            (item, rod_place.position) for rod_place in rod_places for item in items_at(rod_place)
        ]
        return [self._look(item.code, position, bad) for item, position in wanted]

    @staticmethod
    def _look(item: str, position, bad: dict) -> ExaminationEntry:
        row = bad.get((item, position.order if position else None), {})
        return ExaminationEntry(
            item=item,
            position=position,
            found=row.get("found", Look.GOOD),
            note=row.get("note", ""),
        )

    def _extra(self, row: dict) -> None:
        points = self.points[row["points"]]
        readings = []
        for reading in row["readings"]:
            quantity, position, side, lie = self._place(points, reading)
            readings.append(
                ReadingEntry(
                    quantity=quantity,
                    position=position,
                    side=side,
                    lie=lie,
                    value=reading["value"],
                )
            )
        self._record(points, row, reason=row["why"], readings=readings, examinations=[])

    def _correct(self, row: dict) -> None:
        points = self.points[row["points"]]
        quantity, position, side, lie = self._place(points, row)
        mistaken = Reading.objects.get(
            inspection__points=points,
            inspection__at__date=self.calendar.day(row["days_ago"]),
            quantity=quantity,
            position=position,
            side=side,
            lie=lie,
        )
        correct_reading(mistaken, by=row["by"], reason=row["reason"], value=row["value"])

    def _reason(self, day: date) -> str:
        in_season = any(season.first_use <= day <= season.last_use for season in self.seasons)
        return Reason.ROUTINE if in_season else Reason.BEFORE_USE

    def _record(self, points: Points, row: dict, **what) -> None:
        record_inspection(
            points=points,
            at=self.calendar.moment(row["days_ago"], VISIT_AT_HOUR),
            by=row["by"],
            user=self.users[row["by"].split(" with ")[0]],
            instruments=self.instruments,
            note=row.get("note", ""),
            **what,
        )
