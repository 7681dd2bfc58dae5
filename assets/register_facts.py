"""The one place where the register turns into facts for the rules.

What a model leaves blank stays unknown. Give these functions points that were read with
``Points.objects.with_places()``: then nothing here asks the database.
"""

from collections.abc import Mapping

from assets.engineering import facts
from assets.engineering import words as w
from assets.engineering.circuit_faults import CircuitFound
from assets.models import LostMotionFitting, Machine, Points, Position, RailSection, Stretcher
from assets.models.parts import Part


def stretcher_facts(
    stretcher: Stretcher, open_defects: tuple[str, ...] = ()
) -> facts.StretcherFacts:
    """A stretcher as it is; ``open_defects`` is one sentence each."""
    roles = {
        w.Role.LOCK: stretcher.for_lock,
        w.Role.DRIVE: stretcher.for_drive,
        w.Role.INTERMEDIATE: stretcher.for_intermediate,
        w.Role.BACK: stretcher.for_back,
    }
    return facts.StretcherFacts(
        tag=stretcher.tag,
        made_for=facts.Ticked.of(roles),
        generation=w.Generation(stretcher.generation),
        adjustability=w.Adjustability(stretcher.adjustability),
        form=w.Form(stretcher.form),
        gooseneck_towards=w.Towards(stretcher.gooseneck_towards),
        insulation_side=w.InsulationSide(stretcher.insulation_side),
        insulation_kind=w.InsulationKind(stretcher.insulation_kind),
        left_shoe=facts.ShoeFacts(
            w.Profile(stretcher.left_shoe), w.ShoeColour(stretcher.left_shoe_colour)
        ),
        right_shoe=facts.ShoeFacts(
            w.Profile(stretcher.right_shoe), w.ShoeColour(stretcher.right_shoe_colour)
        ),
        kicker=stretcher.kicker,
        drive_lug=w.DriveLug(stretcher.drive_lug),
        fixings=w.Fixings(stretcher.fixings),
        torque_nm=stretcher.torque_nm,
        length_min_mm=stretcher.length_min_mm,
        length_max_mm=stretcher.length_max_mm,
        thread_pitch_mm=stretcher.thread_pitch_mm,
        shim_left_mm=stretcher.shim_left_mm,
        shim_right_mm=stretcher.shim_right_mm,
        notches=w.Notches(stretcher.notches),
        notch_distance_mm=stretcher.notch_distance_mm,
        can_be_turned=stretcher.can_be_turned,
        condition=w.Condition(stretcher.condition),
        quarantined=stretcher.quarantined,
        open_defects=open_defects,
    )


def machine_facts(machine: Machine, open_defects: tuple[str, ...] = ()) -> facts.MachineFacts:
    return facts.MachineFacts(
        tag=machine.tag,
        kind=w.MachineKind(machine.kind),
        stroke_mm=machine.stroke_mm,
        unlocking_stroke_mm=machine.unlocking_stroke_mm,
        internal_lost_motion_mm=machine.internal_lost_motion_mm,
        lever_ratio=machine.lever_ratio,
        drive_insulated=machine.drive_insulated,
        lock_rod_insulated=machine.lock_rod_insulated,
        condition=w.Condition(machine.condition),
        quarantined=machine.quarantined,
        open_defects=open_defects,
    )


def lost_motion_facts(
    fitting: LostMotionFitting, open_defects: tuple[str, ...] = ()
) -> facts.LostMotionFacts:
    lugs = {
        w.DriveLug.PLAIN: fitting.suits_plain,
        w.DriveLug.THIN: fitting.suits_thin,
        w.DriveLug.RAISED_HEAD: fitting.suits_raised_head,
    }
    return facts.LostMotionFacts(
        tag=fitting.tag,
        lost_motion_min_mm=fitting.lost_motion_min_mm,
        lost_motion_max_mm=fitting.lost_motion_max_mm,
        suits_lugs=facts.Ticked.of(lugs),
        condition=w.Condition(fitting.condition),
        quarantined=fitting.quarantined,
        open_defects=open_defects,
    )


FACTS_OF = {
    Stretcher: stretcher_facts,
    Machine: machine_facts,
    LostMotionFitting: lost_motion_facts,
}


def rail_facts(rail: RailSection | None) -> facts.RailFacts | None:
    if rail is None:
        return None
    return facts.RailFacts(
        code=rail.code,
        profile=w.Profile(rail.profile),
        head_mm=rail.head_mm,
        foot_mm=rail.foot_mm,
    )


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
        fitted[fitting.part_field] = FACTS_OF[type(part)](part, defects.get(part, ()))
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
        separation=(wanted.separation if measured is None else facts.Interval(measured, measured)),
        travel_mm=wanted.travel_mm,
        stretcher=fitted.get("stretcher"),
        machine=fitted.get("machine"),
        lost_motion=fitted.get("lost_motion_fitting"),
    )


def points_facts(
    points: Points,
    defects: Mapping[Part, tuple[str, ...]],
    needs: Mapping[int, facts.PlaceNeeds],
    circuit: CircuitFound,
) -> facts.PointsFacts:
    """A set of points as the rules see it: nothing that a rule needs can be left out.

    ``defects`` are sentences by part, ``needs`` what the switch asks by position id, ``circuit``
    what visits found of the track circuit.
    """
    return facts.PointsFacts(
        key=points.key,
        layout=w.Layout(points.layout),
        use=w.Use(points.use),
        rail=rail_facts(points.rail_section),
        gauge_mm=points.gauge_mm,
        track_circuited=points.track_circuited,
        machine_side=w.Side(points.machine_side),
        normal_lie=w.Lie(points.normal_lie),
        least_stretchers=points.design.least_stretchers if points.design else None,
        places=tuple(place_facts(position, defects, needs) for position in points.positions.all()),
        contacts=circuit.contacts,
        failed_insulations=circuit.failed_insulations,
    )
