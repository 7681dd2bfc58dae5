"""The one place where the register turns into facts for the rules.

What a model leaves blank stays unknown. The facts of a part are filled by name: a fact is a field
of the model and of the class of facts, and nothing has to be added here. Give these functions
points that were read with ``Points.objects.with_places()``: then nothing here asks the database.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from functools import cache
from operator import attrgetter
from typing import Any, get_args, get_origin, get_type_hints

from django.db.models import CharField, Value

from assets.engineering import facts
from assets.engineering import words as w
from assets.engineering.assumed import Assumed
from assets.engineering.circuit_faults import CircuitFound
from assets.engineering.rails import Feet
from assets.kinds import PartKind, kind_of
from assets.models import Points, Position, RailSection, RailwayFigure, Stretcher
from assets.models.parts import Part


def part_facts(part: Part, open_defects: tuple[str, ...] = ()) -> facts.PartFacts:
    """A part as it is, whatever its kind; ``open_defects`` is one sentence each."""
    kind = kind_of(part)
    known = {name: read(part) for name, read in _readers(kind).items()}
    return kind.facts(**known, open_defects=open_defects)


def fitted_facts(part: Part, open_defects: tuple[str, ...] = ()) -> facts.PartFacts:
    """A part as it is where it is fitted."""
    known = part_facts(part, open_defects)
    return known.as_set if isinstance(known, facts.LostMotionFacts) else known


@cache
def _readers(kind: PartKind) -> dict[str, Callable[[Part], Any]]:
    """How each fact of a kind is read from a part: by its own name, as its type says."""
    types = get_type_hints(kind.facts)
    return {
        fact.name: _reader(kind, fact.name, types[fact.name])
        for fact in fields(kind.facts)
        if fact.name != "open_defects"
    }


def _reader(kind: PartKind, name: str, kept_as: Any) -> Callable[[Part], Any]:
    if get_origin(kept_as) is facts.Ticked:
        [words] = get_args(kept_as)
        boxes = {word: kind.ticked[name] + word for word in words}
        asked = [(word, attrgetter(box)) for word, box in boxes.items() if box in kind.fields]
        return lambda part: facts.Ticked.of({word: answer(part) for word, answer in asked})
    if kept_as is facts.ShoeFacts:
        read = attrgetter(name, f"{name}_colour", f"{name}_foot_mm")

        def shoe(part: Part) -> facts.ShoeFacts:
            profile, colour, foot_mm = read(part)
            return facts.ShoeFacts(w.Profile(profile), w.ShoeColour(colour), foot_mm)

        return shoe
    if isinstance(kept_as, type) and issubclass(kept_as, w.Vocabulary):
        return lambda part: kept_as(getattr(part, name))
    return attrgetter(name)


def rail_facts(rail: RailSection | None) -> facts.RailFacts | None:
    if rail is None:
        return None
    return facts.RailFacts(
        code=rail.code,
        profile=w.Profile(rail.profile),
        head_mm=rail.head_mm,
        foot_mm=rail.foot_mm,
    )


@dataclass(frozen=True)
class RailwayFacts:
    """What is alike over the whole railway, so that one unknown fact of it does not matter."""

    feet: Feet  # of all flat-bottom rails in use, and of shoes made for one
    one_depth: bool  # no second depth of switch or stretcher is recorded


def railway_facts() -> RailwayFacts:
    """Of all points not lifted and all stretchers not scrapped; one query.

    Shoes made for another foot than that of the rails are of another family too.
    """
    in_use = Points.objects.exclude(service_state=w.ServiceState.LIFTED.value).order_by()
    rail = ("rail_section__profile", "rail_section__code", "rail_section__foot_mm")
    stretchers = Stretcher.objects.exclude(condition=w.Condition.SCRAP.value).order_by()
    no_code = Value("", CharField())
    rows = set(
        in_use.values_list("depth", *rail).union(
            *(
                stretchers.values_list("depth", shoe, no_code, f"{shoe}_foot_mm")
                for shoe in ("left_shoe", "right_shoe")
            )
        )
    )
    flat_bottom = [row for row in rows if row[1] == w.Profile.FLAT_BOTTOM.value]
    feet = {code: foot for _, _, code, foot in flat_bottom if code}
    shoes = [foot for _, _, code, foot in flat_bottom if not code and foot is not None]
    depths = {depth for depth, *_ in rows} - {w.Depth.UNKNOWN.value}
    return RailwayFacts(Feet.of([*feet.values(), *shoes]), len(depths) < 2)


def figures_in_force() -> Assumed:
    """The figures of the railway: its own where it has confirmed them, else assumed; one query."""
    rows = RailwayFigure.objects.order_by("code").values_list("code", "value", "source")
    return Assumed.with_own({code: (value, source) for code, value, source in rows})


def place_facts(
    position: Position,
    defects: Mapping[Part, tuple[str, ...]],
    needs: Mapping[int, facts.PlaceNeeds],
) -> facts.PlaceFacts:
    """A position with what is fitted there; ``defects`` by part, ``needs`` by position id.

    A separation measured on the ground comes before one worked out.
    """
    fitted = {}
    for fitting in position.current_fittings:
        part = fitting.part
        fitted[fitting.part_field] = fitted_facts(part, defects.get(part, ()))
    wanted = needs.get(position.pk, facts.PlaceNeeds())
    measured = position.separation_mm
    return facts.PlaceFacts(
        order=position.order,
        role=w.Role(position.role),
        distance_mm=position.distance_mm,
        space_ahead_mm=position.space_ahead_mm,
        space_behind_mm=position.space_behind_mm,
        kicker_required=position.kicker_required,
        driven=position.driven,
        drive_ratio=position.drive_ratio,
        chiselled=position.chiselled,
        separation=(wanted.separation if measured is None else facts.Interval(measured, measured)),
        separation_from=wanted.separation_from if measured is None else "measured here",
        travel_mm=wanted.travel_mm,
        permitted_travel=wanted.permitted_travel,
        measured_travel=wanted.measured_travel,
        measured_travel_from=wanted.measured_travel_from,
        **fitted,
    )


def points_facts(
    points: Points,
    defects: Mapping[Part, tuple[str, ...]],
    needs: Mapping[int, facts.PlaceNeeds],
    circuit: CircuitFound,
    railway: RailwayFacts,
    assumed: Assumed,
) -> facts.PointsFacts:
    """A set of points as the rules see it: nothing that a rule needs can be left out.

    ``defects`` are sentences by part, ``needs`` what the switch asks by position id, ``circuit``
    what visits found of the track circuit, ``assumed`` the figures of the railway.
    """
    return facts.PointsFacts(
        key=points.key,
        layout=w.Layout(points.layout),
        use=w.Use(points.use),
        rail=rail_facts(points.rail_section),
        one_flat_bottom_family=railway.feet.one_family(assumed.feet_agree_mm),
        one_depth=railway.one_depth,
        assumed=assumed,
        gauge_mm=points.gauge_mm,
        track_circuited=points.track_circuited,
        depth=w.Depth(points.depth),
        soleplate=w.Soleplate(points.soleplate),
        lock_casting=w.Footing(points.lock_casting),
        machine_on=w.Footing(points.machine_on),
        detection_rods=w.DetectionRods(points.detection_rods),
        detector_on=w.DetectorOn(points.detector_on),
        studs_mm=points.studs_mm,
        machine_side=w.Side(points.machine_side),
        normal_lie=w.Lie(points.normal_lie),
        least_stretchers=points.design.least_stretchers if points.design else None,
        places=tuple(place_facts(position, defects, needs) for position in points.positions.all()),
        contacts=circuit.contacts,
        failed_insulations=circuit.failed_insulations,
    )
