"""The register's part of what the switch arithmetic starts from: shape, rods, stiffness, wheels.

Give these functions points that were read with ``Points.objects.with_places()``.
"""

from dataclasses import dataclass

from assets.engineering.cannot_say import CannotSay
from assets.engineering.facts import Interval
from assets.engineering.rails import stiffness_range
from assets.engineering.shape import Shape, drawn
from assets.engineering.switch_inputs import Rod
from assets.engineering.wheels import Wheels
from assets.engineering.words import Adjustability, Form, Role, ShapeKind
from assets.models import Points, Position, WheelStandard


@dataclass(frozen=True)
class KnownShape:
    """The shape of a switch, or what has to be looked at before it is known."""

    shape: Shape | None
    missing: str = ""


def shape_of(points: Points) -> KnownShape:
    """The shape as measured on the ground where it was, else as the design draws it."""
    offsets = [(offset.distance_mm, offset.offset_mm) for offset in points.offsets.all()]
    design = points.design
    head = design.head_mm if design else None
    if head is None and points.rail_section:
        head = points.rail_section.head_mm
    kind = ShapeKind.MEASURED if offsets or design is None else ShapeKind(design.shape)
    try:
        shape = drawn(
            kind,
            head,
            points.length_mm,
            slope=design.slope if design else None,
            planing_mm=design.planing_mm if design else None,
            radius_mm=design.radius_mm if design else None,
            divergence_mm=design.heel_divergence_mm if design else None,
            offsets=offsets,
        )
    except CannotSay as lacking:
        return KnownShape(None, str(lacking))
    return KnownShape(shape)


def rod_of(position: Position) -> Rod | None:
    """The stretcher at a position as far as setting it goes; None where no rod is fitted."""
    stretcher = next((f.stretcher for f in position.current_fittings if f.stretcher), None)
    if stretcher is None:
        return None
    form = Form(stretcher.form)
    shims = (stretcher.shim_left_mm, stretcher.shim_right_mm)
    return Rod(
        order=position.order,
        role=Role(position.role),
        distance_mm=position.distance_mm,
        adjustability=Adjustability(stretcher.adjustability),
        thread_pitch_mm=stretcher.thread_pitch_mm,
        shims_mm=None if None in shims else sum(shims),
        driven=position.driven,
        gooseneck=None if form == Form.UNKNOWN else form == Form.GOOSENECK,
        length_min_mm=stretcher.length_min_mm,
        length_max_mm=stretcher.length_max_mm,
    )


def rods_of(points: Points) -> tuple[Rod, ...]:
    """The fitted stretchers, from the toe."""
    rods = (rod_of(position) for position in points.positions.all())
    return tuple(rod for rod in rods if rod is not None)


def stiffness_of(points: Points) -> Interval | None:
    """E·Iyy of the switch rail (N·mm²) as a range; None where the section says nothing."""
    rail = points.rail_section
    if rail is None:
        return None
    return stiffness_range(rail.iyy_cm4, rail.iyy_least_cm4, rail.iyy_most_cm4)


def wheels_in_force() -> Wheels | None:
    """The least wheelset allowed, or None where the railway has not said; one query."""
    standard = WheelStandard.objects.filter(in_force=True).first()
    if standard is None:
        return None
    return Wheels(standard.back_to_back_mm, standard.flange_mm, standard.front_to_front_mm)
