"""Builds the register of the demo railway from fixtures/demo/register.json."""

from assets import fitting
from assets.kinds import KINDS
from assets.models import (
    Location,
    Points,
    Position,
    RailSection,
    SwitchDesign,
    SwitchOffset,
    WheelStandard,
)

from . import files, people
from .days import Calendar

PART_OF_PLACE = ("rod", "machine", "lost_motion")  # what a place may hold, in the file


def build(calendar: Calendar) -> None:
    given = files.read("register")
    _Builder(given, calendar).build()


class _Builder:
    def __init__(self, given: dict, calendar: Calendar):
        self.given, self.calendar = given, calendar
        self.users = people.by_name()
        self.survey = given["surveyed"]
        self.parts: dict[str, object] = {}

    def build(self) -> None:
        for row in self.given["locations"]:
            self._keep(Location(**row))
        for kind in KINDS:
            for row in self.given[f"{kind.field}s"]:
                self.parts[row["tag"]] = self._keep(kind.model(**self._with_patterns(row)))
        wheels = WheelStandard.objects.get(name=self.given["wheels_in_force"])
        wheels.in_force = True
        self._keep(wheels, by="Engineer C")
        self._points()
        for change in self.given["changes"]:
            self._change(change)

    def _keep(self, thing, days_ago: int | None = None, by: str | None = None):
        """Saves a thing as a person did it on that day (the survey's, unless given)."""
        when = self.survey["days_ago"] if days_ago is None else days_ago
        thing._history_user = self.users[by or self.survey["by"]]
        thing._history_date = self.calendar.moment(when, 16)
        thing.full_clean(validate_constraints=False)  # which the database checks itself
        thing.save()
        return thing

    def _with_patterns(self, row: dict) -> dict:
        """The row with what it is "like" filled in, its own words going before."""
        like = row.get("like", [])
        fields: dict = {}
        for name in [like] if isinstance(like, str) else like:
            fields |= self._with_patterns(self.given["patterns"][name])
        return fields | {key: value for key, value in row.items() if key != "like"}

    def _points(self) -> None:
        locations = {location.code: location for location in Location.objects.all()}
        designs = {design.code: design for design in SwitchDesign.objects.all()}
        rails = {rail.code: rail for rail in RailSection.objects.all()}
        for row in self.given["points"]:
            fields = {k: v for k, v in row.items() if k not in ("places", "offsets")}
            fields["location"] = locations[row["location"]]
            fields["rail_section"] = rails[row["rail_section"]]
            fields["design"] = designs.get(row.get("design"))
            points = self._keep(Points(**fields))
            for distance, offset in self.given["switch_offsets"].get(row.get("offsets"), []):
                self._keep(SwitchOffset(points=points, distance_mm=distance, offset_mm=offset))
            for place in row["places"]:
                self._place(points, place)

    def _place(self, points: Points, row: dict) -> None:
        fields = {k: v for k, v in row.items() if k not in PART_OF_PLACE}
        position = self._keep(Position(points=points, **fields))
        for kind in PART_OF_PLACE:
            if row.get(kind):
                fitting.fit(
                    self.parts[row[kind]],
                    position,
                    on=self.calendar.day(self.survey["days_ago"]),
                    by=self.survey["by"],
                    found=True,
                )

    def _change(self, change: dict) -> None:
        """One thing done since the survey: a part fitted, taken out, or seen to be otherwise."""
        if "part" in change:
            part = self.parts[change["part"]]
            for field, value in change["set"].items():
                setattr(part, field, value)
            self._keep(part, change["days_ago"])
            return
        position = Position.objects.at(Points.objects.by_key(change["points"]), change["order"])
        done = {
            "on": self.calendar.day(change["days_ago"]),
            "by": change["by"],
            "reason": change["reason"],
        }
        if "fit" in change:
            fitting.fit(self.parts[change["fit"]], position, **done)
        else:
            present = position.fittings.current().filter(**{f"{change['take_out']}__isnull": False})
            fitting.take_out(present.get(), **done)
