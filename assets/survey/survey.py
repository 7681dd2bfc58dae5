"""The whole form of a set of points as found, and what the register says otherwise."""

from functools import cached_property
from typing import Any

from assets.forms import DayForm
from assets.models import (
    Fitting,
    LostMotionFitting,
    Machine,
    Points,
    Position,
    Stretcher,
)

from .questions import FoundForm, FoundLostMotion, FoundMachine, FoundPlace, FoundPoints

PLACES = 7  # asked for, unless the points have more


class Survey:
    """The day, the points, each place with its rod, the machine and the lost-motion fitting.

    ``data`` is what was sent, or None to ask. What contradicts the register is refused once, with
    what the register says beside each box; sent again as it stands, it corrects the register.
    """

    def __init__(self, points: Points, data=None, by: str = ""):
        self.data = data
        self.told = data.get("told", "") if data else ""
        positions = {p.order: p for p in points.positions.all()}
        present = Fitting.objects.current().filter(position__points=points)
        there: dict[tuple[int, type], Any] = {}
        for fitting in present.select_related(
            "position", "stretcher", "machine", "lost_motion_fitting"
        ):
            there[fitting.position.order, type(fitting.part)] = fitting.part
        places = max([PLACES, *(order + 1 for order in positions)])
        self.day = DayForm(data, initial={"by": by})
        self.points = FoundPoints(data, prefix="points", things={Points: points})
        self.places = [
            FoundPlace(
                data,
                prefix=f"rods-{order}",
                order=order,
                things={
                    Position: positions.get(order),
                    Stretcher: self._part(
                        Stretcher, f"rods-{order}", there.get((order, Stretcher))
                    ),
                },
            )
            for order in range(places)
        ]
        self.machine = self._at_a_place(FoundMachine, Machine, "machine", there, places)
        self.lost_motion = self._at_a_place(
            FoundLostMotion, LostMotionFitting, "lost_motion", there, places
        )

    def _at_a_place(self, form, model, prefix: str, there: dict, places: int) -> FoundMachine:
        at = min((order for order, kind in there if kind is model), default=None)
        part = self._part(model, prefix, there.get((at, model)))
        return form(self.data, prefix=prefix, things={model: part}, places=places, present_at=at)

    def _part(self, model, prefix: str, present):
        """The part that is meant: the one with the tag that was sent, else the one fitted."""
        if not self.data:
            return present
        tag = " ".join(self.data.get(f"{prefix}-tag", "").split())
        if present is not None and present.tag.casefold() == tag.casefold():
            return present
        return model.objects.filter(tag__iexact=tag).first()

    @property
    def forms(self) -> list[FoundForm]:
        return [self.points, *self.places, self.machine, self.lost_motion]

    def is_valid(self) -> bool:
        """Whether all of it can be recorded; what is wrong is put beside the boxes."""
        right = [form.is_valid() for form in (self.day, *self.forms)]
        return all(right) and self._no_tag_twice() and self._told_of_contradictions()

    def _no_tag_twice(self) -> bool:
        seen: set[str] = set()
        for place in self.places:
            tag = place.cleaned_data["tag"].casefold()
            if tag and tag in seen:
                place.add_error(
                    "tag",
                    f"{place.cleaned_data['tag']} is entered twice: a stretcher is in one place.",
                )
            seen.add(tag)
        return not any(place.errors for place in self.places)

    def _told_of_contradictions(self) -> bool:
        found = [(form, name, says) for form in self.forms for name, says in form.contradictions()]
        before = set(self.told.split("|"))
        now = [f"{form.add_prefix(name)}={form.cleaned_data[name]}" for form, name, _ in found]
        self.told = "|".join(now)
        if set(now) <= before:
            return True
        for form, name, says in found:
            form.add_error(name, f"The register says {says}. Look again.")
        return False

    @cached_property
    def contradicts(self) -> bool:
        """Whether what stops it is only that the register says otherwise."""
        return bool(self.told)
