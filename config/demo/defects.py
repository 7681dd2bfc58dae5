"""Builds the defects of the demo from fixtures/demo/defects.json, move by move."""

from collections.abc import Callable
from datetime import datetime
from functools import cached_property, partial

from assets.models import Points
from defects import proposals
from defects.models import Defect
from defects.moves import moves
from defects.moves.raising import found_by_hand, raise_defect
from defects.routing.routing import found_of
from inspections.models import Examination, Reading

from . import files, people
from .days import Calendar, Happening

RAISED_AT_HOUR = 12  # the visits are made at eleven
DETAILS = ("title", "description", "urgency", "mends", "checks")


def happenings(calendar: Calendar) -> list[Happening]:
    """Every raising, move and dismissal, each to be done when its time comes."""
    given = files.read("defects")
    builder = _Builder(calendar)
    found = []
    for row in given["defects"]:
        found.append(_happening(row, partial(builder.raise_, row)))
        found += [_happening(move, partial(builder.make, row, move)) for move in row["moves"]]
    found += [_happening(row, partial(builder.dismiss, row)) for row in given["dismissals"]]
    return found


def _happening(row: dict, do: Callable[[], None]) -> Happening:
    return Happening(row["days_ago"], row.get("hour", RAISED_AT_HOUR), do)


class _Builder:
    def __init__(self, calendar: Calendar):
        self.calendar = calendar
        self.defects: dict[int, Defect] = {}

    @cached_property
    def users(self) -> dict:
        return people.by_name()

    @cached_property
    def points(self) -> dict[str, Points]:
        return {points.key: points for points in Points.objects.select_related("location")}

    def raise_(self, row: dict) -> None:
        user, at = self.users[row["by"]], self._moment(row)
        if "on" in row:
            found = self._finding(row["points"], row["on"], proving=False)
            proposed = proposals.proposals_for(found.inspection)
            proposal = next(p for p in proposed if p.finding.entry == found)
            defect = proposals.confirm(proposal, user=user, at=at)
        else:
            given = {name: row[name] for name in DETAILS if name in row}
            points = self.points[row["points"]]
            finding = found_by_hand(points, found_of(row.get("found", "")))
            defect = raise_defect(finding, points=points, at=at, user=user, **given)
        if "comes_of" in row:
            cause = self._finding(row["points"], row["comes_of"], proving=False)
            defect = moves.link_cause(
                defect, user=user, at=at, cause=Defect.objects.get(examination=cause)
            )
        self.defects[id(row)] = defect

    def make(self, row: dict, move: dict) -> None:
        """One move, by the function of that name, with what the file says of it."""
        said = {
            name: value
            for name, value in move.items()
            if name not in ("move", "days_ago", "hour", "by", "on")
        }
        if "on" in move:
            proof = self._finding(row["points"], move["on"], proving=True)
            said["reading" if isinstance(proof, Reading) else "examination"] = proof
        self.defects[id(row)] = getattr(moves, move["move"])(
            self.defects[id(row)],
            user=self.users[move["by"]],
            at=self._moment(move),
            **said,
        )

    def dismiss(self, row: dict) -> None:
        proposals.dismiss(
            self._finding(row["points"], row["on"], proving=False),
            user=self.users[row["by"]],
            at=self._moment(row),
            reason=row["reason"],
        )

    def _moment(self, row: dict) -> datetime:
        return self.calendar.moment(row["days_ago"], row.get("hour", RAISED_AT_HOUR))

    def _finding(self, key: str, on: dict, proving: bool) -> Reading | Examination:
        model = Reading if "quantity" in on else Examination
        same = model.objects.filter(
            inspection__points=self.points[key],
            inspection__at__date=self.calendar.day(on["days_ago"]),
        ).select_related("inspection")
        if "order" in on:
            same = same.filter(position__order=on["order"])
        if model is Examination:
            return same.filter(item=on["item"], found="good" if proving else "defective").get()
        same = same.filter(quantity=on["quantity"], side=on.get("side", ""), lie=on.get("lie", ""))
        return (same.exclude(pk__in=same.out()) if proving else same.out()).get()
