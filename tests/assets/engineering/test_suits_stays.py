"""What suits, suits whatever is found out: filling in an unknown never takes a "suits" away.

Facts are filled in any way that does not contradict what is recorded already: a black stretcher
has no painted shoe, a shoe is made for a rail of its railway, nothing is of a second depth where
none is recorded, no straight stretcher has a gooseneck, a motor machine pulls the drive rod
itself, the nominal opening lies between the least and the greatest permitted. Behind the front
stretchers a kicker is required only where it is recorded so, so that nothing recorded is no unknown
there.

What suits is besides worked out here by itself: the throw of its drive, and the rod turned.
"""

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assets.engineering.facts import (
    Interval,
    LostMotionFacts,
    PlaceFacts,
    PositionFacts,
    RailFacts,
    ShoeFacts,
    StretcherFacts,
    Ticked,
)
from assets.engineering.suitability import (
    Outcome,
    assess,
    assess_lost_motion_fitting,
    assess_machine,
)
from assets.engineering.words import (
    Adjustability,
    Condition,
    Depth,
    DetectionRods,
    DetectorOn,
    DriveLug,
    Ends,
    Fixings,
    Footing,
    Form,
    Generation,
    InsulationKind,
    InsulationSide,
    MachineKind,
    Notches,
    Profile,
    Role,
    ShoeColour,
    Side,
    Soleplate,
    Towards,
)
from tests.assets.engineering.rods import (
    BULLHEAD_RAIL,
    LUGS,
    made_for,
    make_lock,
    make_machine,
    make_place,
    make_points,
    make_rod,
    takes,
)

pytestmark = pytest.mark.by_chance

CASES = 20_000  # one unknown found out each
ONE_SIDES = (InsulationSide.LEFT, InsulationSide.RIGHT, InsulationSide.BOTH)

# What each fact may be found to be. Those that suit in the place stand first, and are drawn more
# often, so that a good part of the cases suits.
ROD = {
    "generation": tuple(Generation)[:3],
    "adjustability": (Adjustability.ADJUSTABLE, Adjustability.FIXED),
    "form": (Form.STRAIGHT, Form.GOOSENECK),
    "gooseneck_towards": (Towards.TOE, Towards.HEEL),
    "insulation_side": (*ONE_SIDES, InsulationSide.NONE),
    "insulation_kind": tuple(k for k in InsulationKind if k is not InsulationKind.UNKNOWN),
    "kicker": (False, True),
    "kicker_end": (Ends.NONE, Ends.BOTH, Ends.LEFT, Ends.RIGHT),
    "depth": (Depth.FULL, Depth.SHALLOW),
    "drive_lug": (*LUGS, DriveLug.NONE),
    "lug_end": (Ends.LEFT, Ends.BOTH, Ends.RIGHT, Ends.NONE),
    "lug_beyond": (False, True),
    "left_fixings": tuple(f for f in Fixings if f is not Fixings.UNKNOWN),
    "right_fixings": tuple(f for f in Fixings if f is not Fixings.UNKNOWN),
    "torque_nm": (220.0, 150.0),
    "length_min_mm": (1290.0, 1317.0, 1321.0),
    "length_max_mm": (1350.0, 1333.0, 1325.0),
    "shim_left_mm": (2.0, 0.0),
    "shim_right_mm": (2.0, 6.0),
    "notches": (Notches.NOT_A_LOCK, Notches.CUT, Notches.UNCUT),
    "notch_distance_mm": (108.0, 96.0),
    "can_be_turned": (True, False),
    "condition": tuple(c for c in Condition if c is not Condition.UNKNOWN),
}
PLACE = {
    "space_ahead_mm": (100.0, 30.0, 10.0),
    "space_behind_mm": (100.0, 30.0, 10.0),
    "kicker_required": (False, True),
    "driven": (True, False),
    "drive_ratio": (1.0, 0.8),
    "separation": (Interval(1320.0, 1330.0), Interval(1325.0, 1325.0)),
    "travel_mm": (88.0,),
    "permitted_travel": (Interval(83.0, 98.0), Interval(88.0, 89.0)),
    "measured_travel": (Interval(108.0, 108.0), Interval(104.0, 108.0)),
    "chiselled": (False, True),
}
MACHINE = {
    "kind": tuple(k for k in MachineKind if k is not MachineKind.UNKNOWN),
    "stroke_mm": (160.0, 163.0, 200.0, 140.0),
    "unlocking_stroke_mm": (60.0, 0.0, 90.0),
    "internal_lost_motion_mm": (70.0, 40.0),
    "drive_insulated": (True, False),
    "lock_rod_insulated": (True, False),
    "condition": ROD["condition"],
}
FITTING = {
    "lost_motion_min_mm": (2.0, 35.0),
    "lost_motion_max_mm": (5.0, 40.0, 50.0),
    "condition": ROD["condition"],
}
POINTS = {
    "track_circuited": (True, False),
    "least_stretchers": (2, 4),
    "rail": (BULLHEAD_RAIL, RailFacts("113A", Profile.FLAT_BOTTOM, 69.85, 140.0)),
    "one_flat_bottom_family": (True, False),
    "one_depth": (True, False),
    "depth": (Depth.FULL, Depth.SHALLOW),
    "machine_side": (Side.LEFT, Side.RIGHT),
    "soleplate": (Soleplate.NONE, Soleplate.INSULATED, Soleplate.BARE),
    "lock_casting": tuple(f for f in Footing if f is not Footing.UNKNOWN),
    "machine_on": tuple(f for f in Footing if f is not Footing.UNKNOWN),
    "detection_rods": tuple(r for r in DetectionRods if r is not DetectionRods.UNKNOWN),
    "detector_on": tuple(d for d in DetectorOn if d is not DetectorOn.UNKNOWN),
}
SHOE = {"profile": (Profile.BULLHEAD, Profile.FLAT_BOTTOM), "foot_mm": (140.0, 150.0)}


def is_unknown(value) -> bool:
    return value is None or str(value) == "unknown"


def blank(thing, names):
    """The same facts with some of them unknown, as if nobody had looked."""
    defaults = {fact.name: fact.default for fact in fields(thing)}
    return replace(thing, **{name: defaults[name] for name in names})


def some(chance: random.Random, facts: dict, count: int) -> dict:
    """So many facts that may be other than those that suit."""
    names = chance.sample(sorted(facts), count)
    return {name: chance.choice(facts[name]) for name in names}


def varied(chance: random.Random, thing, facts: dict, most_unknown: int = 4):
    """A thing that suits with a fact or none changed, and some facts unknown."""
    changed = replace(thing, **some(chance, facts, chance.choice([0, 0, 0, 1])))
    unknown = chance.sample(sorted(facts), chance.randint(0, min(most_unknown, len(facts))))
    return blank(changed, unknown)


def any_shoe(chance: random.Random) -> ShoeFacts:
    profile = chance.choice([*SHOE["profile"], Profile.BULLHEAD, Profile.UNKNOWN])
    colour = {Profile.BULLHEAD: ShoeColour.ORANGE, Profile.FLAT_BOTTOM: ShoeColour.YELLOW}
    painted = colour.get(profile, ShoeColour.UNKNOWN)
    shoe = ShoeFacts(profile, chance.choice([painted, ShoeColour.NONE, ShoeColour.UNKNOWN]))
    foot = chance.choice([None, 140.0]) if profile is Profile.FLAT_BOTTOM else None
    return replace(shoe, foot_mm=foot)


def any_rod(chance: random.Random, order: int) -> StretcherFacts:
    role = (Role.LOCK, Role.DRIVE, Role.BACK)[order]
    rod = make_lock() if order == 0 else make_rod(made_for=made_for(role))
    if chance.random() < 0.3:
        rod = replace(rod, made_for=Ticked(frozenset({role})))
    if chance.random() < 0.2:
        rod = replace(rod, left_shoe=any_shoe(chance), right_shoe=any_shoe(chance))
    return varied(chance, rod, ROD, chance.choice([0, 1, 1, 2, 4]))


def any_place(chance: random.Random, order: int) -> PlaceFacts:
    machine = fitting = None
    if order == 1 and chance.random() < 0.9:
        machine = varied(chance, make_machine(condition=Condition.GOOD), MACHINE, 1)
    if order == 1 and chance.random() < 0.4:
        fitting = any_fitting(chance)
        if chance.random() < 0.5:  # too far for no fitting: between 32 and 47 mm are wanted
            far = make_machine(condition=Condition.GOOD, stroke_mm=200.0)
            machine = varied(chance, far, MACHINE, chance.choice([0, 1]))
    place = make_place(order, machine=machine, lost_motion_fitting=fitting, drive_ratio=1.0)
    lock, other = {"travel_mm", "permitted_travel"}, {"measured_travel"}
    left_out = {0: lock, 1: other}.get(order, lock | other)
    facts = {name: values for name, values in PLACE.items() if name not in left_out}
    return varied(chance, place, facts, chance.choice([0, 1, 1, 2]))


def any_fitting(chance: random.Random) -> LostMotionFacts:
    lugs = takes(*LUGS) if chance.random() < 0.7 else Ticked(frozenset({DriveLug.PLAIN}))
    least, most = chance.choice([(2.0, 5.0), (35.0, 40.0)])
    fitting = LostMotionFacts("LM-1", least, most, suits_lugs=lugs, condition=Condition.GOOD)
    return varied(chance, fitting, FITTING, chance.choice([0, 1]))


def fittings_found(fitting: LostMotionFacts) -> Iterator[LostMotionFacts]:
    yield from answers(fitting, FITTING)
    lugs = fitting.suits_lugs
    for lug in LUGS:
        if lugs.answer(lug) is None:
            yield replace(fitting, suits_lugs=Ticked(lugs.yes | {lug}, lugs.no))
            yield replace(fitting, suits_lugs=Ticked(lugs.yes, lugs.no | {lug}))


def any_position(chance: random.Random) -> PositionFacts:
    places = []
    for order in range(3):
        place = any_place(chance, order)
        fitted = any_rod(chance, order) if chance.random() < 0.5 else None
        places.append(replace(place, stretcher=fitted))
    points = varied(chance, make_points(*places), POINTS, chance.choice([0, 1, 1, 3]))
    return PositionFacts(points, chance.choice([0, 1, 1, 1, 2]))


def answers(thing, facts: dict) -> Iterator:
    """The thing with one unknown fact found out, in every way it may be."""
    for name, values in facts.items():
        if is_unknown(getattr(thing, name)):
            for value in values:
                found = replace(thing, **{name: value})
                if possible(found):
                    yield found


def possible(thing) -> bool:
    """Whether the facts may all be true together."""
    if isinstance(thing, StretcherFacts):
        painted = {thing.left_shoe.colour, thing.right_shoe.colour} - {
            ShoeColour.NONE,
            ShoeColour.UNKNOWN,
        }
        least, most = thing.length_min_mm, thing.length_max_mm
        in_order = least is None or most is None or least <= most
        fixed = thing.adjustability is Adjustability.FIXED
        one_length = not fixed or least is None or most is None or least == most
        insulated = (thing.insulation_side is InsulationSide.NONE) == (
            thing.insulation_kind is InsulationKind.NONE
        )
        open_question = InsulationKind.UNKNOWN is thing.insulation_kind or (
            thing.insulation_side is InsulationSide.UNKNOWN
        )
        return (
            not (painted and thing.generation is Generation.BLACK)
            and in_order
            and one_length
            and (insulated or open_question)
            and carried(thing.kicker, thing.kicker_end)
            and not (thing.form is Form.STRAIGHT and thing.gooseneck_towards is not Towards.UNKNOWN)
            and carried(thing.drive_lug is not DriveLug.NONE, thing.lug_end)
        )
    if isinstance(thing, PlaceFacts) and thing.order > 1 and thing.kicker_required:
        return False
    if isinstance(thing, PlaceFacts) and thing.machine:  # which is told as an assumption
        return thing.machine.kind is not MachineKind.MOTOR or thing.drive_ratio in (None, 1.0)
    if isinstance(thing, LostMotionFacts):
        least, most = thing.lost_motion_min_mm, thing.lost_motion_max_mm
        return least is None or most is None or least <= most
    return True


def carried(has: bool | None, end: Ends) -> bool:
    """Whether the end that carries a thing agrees with whether there is one."""
    return has is None or end is Ends.UNKNOWN or has == (end is not Ends.NONE)


def of_one_depth(points, rod) -> bool:
    """Whether nothing is of a second depth where the railway has none."""
    depths = {points.depth, rod.depth} - {Depth.UNKNOWN}
    depths |= {p.stretcher.depth for p in points.places if p.stretcher} - {Depth.UNKNOWN}
    return not points.one_depth or len(depths) < 2


def rods_found(rod: StretcherFacts, one_family: bool | None) -> Iterator[StretcherFacts]:
    yield from answers(rod, ROD)
    for role in Role:
        if rod.made_for.answer(role) is None:
            yield replace(rod, made_for=Ticked(rod.made_for.yes | {role}, rod.made_for.no))
            yield replace(rod, made_for=Ticked(rod.made_for.yes, rod.made_for.no | {role}))
    for end in ("left_shoe", "right_shoe"):
        shoe = getattr(rod, end)
        known = {"profile": SHOE["profile"]}
        if shoe.profile is Profile.FLAT_BOTTOM:
            known["foot_mm"] = (140.0,) if one_family else SHOE["foot_mm"]
        if shoe.colour in (ShoeColour.NONE, ShoeColour.UNKNOWN) or shoe.profile is not (
            Profile.UNKNOWN
        ):
            for found in answers(shoe, known):
                yield replace(rod, **{end: found})


def positions_found(position: PositionFacts) -> Iterator[PositionFacts]:
    """The place with one thing more known: of it, the points, or a part fitted there."""
    one_family = position.points.one_flat_bottom_family
    for found in answers(position.points, POINTS):
        yield replace(position, points=found)
    for place in position.points.places:
        changes = [{"place": found} for found in answers(place, PLACE)]
        if place.machine is not None:
            changes += [{"machine": found} for found in answers(place.machine, MACHINE)]
        if place.lost_motion_fitting is not None:
            found_fittings = fittings_found(place.lost_motion_fitting)
            changes += [{"lost_motion_fitting": found} for found in found_fittings]
        if place.stretcher is not None:
            found_rods = rods_found(place.stretcher, one_family)
            changes += [{"stretcher": found} for found in found_rods]
        for change in changes:
            now = change.get("place") or replace(place, **change)
            places = tuple(now if p.order == place.order else p for p in position.points.places)
            yield replace(position, points=replace(position.points, places=places))


def check(judge, part, position, parts_found) -> int:
    """Every way of finding out one thing more of what suits; how many there are."""
    if judge(part, position).outcome is not Outcome.SUITS:
        return 0
    tried = 0
    for found in parts_found:
        if judge is assess and not of_one_depth(position.points, found):
            continue
        assessment = judge(found, position)
        assert assessment.outcome is Outcome.SUITS, told(part, assessment)
        tried += 1
    for found in positions_found(position):
        if judge is assess and not of_one_depth(found.points, part):
            continue
        assessment = judge(part, found)
        assert assessment.outcome is Outcome.SUITS, told(part, assessment)
        tried += 1
    return tried


def told(part, assessment) -> str:
    wrong = [one for one in assessment.answers if one.outcome is not Outcome.SUITS]
    return f"{part} suited, and now {wrong}"


def drive_matches(rod: StretcherFacts, position: PositionFacts) -> None:
    """The throw of what suits, from the figures alone, is between least and greatest movement."""
    place, machine, fitting = position.place, position.place.machine, None
    if not place.driven or assess(rod, position).outcome is not Outcome.SUITS:
        return
    slack = {0.0}
    fitting = place.lost_motion_fitting
    if fitting is not None:
        slack = {fitting.lost_motion_min_mm, fitting.lost_motion_max_mm} - {None}
    ratio = 1.0 if place.drive_ratio is None else place.drive_ratio
    moved = machine.stroke_mm - machine.internal_lost_motion_mm - machine.end_lost_motion_mm
    permitted = place.permitted_travel or Interval()
    least = place.travel_mm if permitted.least is None else permitted.least
    greatest = place.travel_mm if permitted.most is None else permitted.most
    for lost in slack:
        throw = ratio * moved - lost
        assert least - 1e-9 <= throw, f"{rod} suits, and is moved {throw} mm of {least}"
        if greatest is not None:
            assert throw <= greatest + 1e-9, f"{rod} suits, and is moved {throw} mm of {greatest}"


def turned_rod_passes(rod: StretcherFacts, position: PositionFacts) -> None:
    """What is to be turned fails nothing once it is turned, and is work."""
    before = assess(rod, position)
    if before["turning end for end"].outcome is Outcome.SUITS:
        return
    assert before.outcome is not Outcome.SUITS
    if before["turning end for end"].outcome is Outcome.SUITS_AFTER_WORK:
        after = assess(rod.turned, position)
        assert after["turning end for end"].outcome is Outcome.SUITS
        failing = [one for one in after.answers if one.outcome is Outcome.DOES_NOT_SUIT]
        assert failing == []


def suit_and_are_filled(chance: random.Random) -> Counter[str]:
    """A random rod, machine and fitting at a random place; the cases of each that came of it."""
    position = any_position(chance)
    place, one_family = position.place, position.points.one_flat_bottom_family
    rod = any_rod(chance, position.order)
    tried = Counter({"rod": check(assess, rod, position, rods_found(rod, one_family))})
    if assess(rod, position).outcome is not Outcome.DOES_NOT_SUIT:
        drive_matches(rod, position)
        turned_rod_passes(rod, position)
    if place.machine is not None:
        found = answers(place.machine, MACHINE)
        tried["machine"] = check(assess_machine, place.machine, position, found)
    fitting = place.lost_motion_fitting
    if fitting is not None:
        found = fittings_found(fitting)
        tried["fitting"] = check(assess_lost_motion_fitting, fitting, position, found)
    return tried


def test_filling_in_an_unknown_never_takes_a_suits_away():
    chance, tried = random.Random(1884), Counter()
    while tried.total() < CASES:
        tried.update(suit_and_are_filled(chance))
    assert min(tried[kind] for kind in ("rod", "machine", "fitting")) >= 100  # none goes untried


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.randoms(use_true_random=False))
def test_it_holds_for_railways_that_are_looked_for(chance):
    suit_and_are_filled(chance)
