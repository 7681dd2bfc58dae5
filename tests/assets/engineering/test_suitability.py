"""What a signalling technician of long practice would say of a rod and a place.

The cases are common practice in the trade, no source, except where a source is named beside them.
"""

import subprocess
import sys
from dataclasses import dataclass, field, replace

import pytest

from assets.engineering.facts import (
    Interval,
    LostMotionFacts,
    MachineFacts,
    PlaceFacts,
    PointsFacts,
    PositionFacts,
    RailFacts,
    ShoeFacts,
    StretcherFacts,
    Ticked,
)
from assets.engineering.suitability import (
    RULES,
    Outcome,
    assess,
    rank_positions,
    rank_spares,
)
from assets.engineering.words import (
    Adjustability,
    Condition,
    Depth,
    DriveLug,
    Ends,
    Fixings,
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
    Towards,
    Use,
)
from tests.assets.engineering.rods import (
    BULLHEAD_SHOE,
    FLAT_BOTTOM_RAIL,
    FLAT_BOTTOM_SHOE,
    made_for,
    make_lock,
    make_machine,
    make_place,
    make_points,
    make_position,
    make_rod,
    takes,
)

SUITS, WORK, UNSURE, MISFIT = Outcome
LEFT, RIGHT, BOTH, BARE, UNKNOWN_SIDE = InsulationSide
BLACK, YELLOW, RED, NO_PAINT = Generation
FIXED, ADJUSTABLE, UNKNOWN_ADJUSTABILITY = Adjustability
DRIVEN_BY = {kind: {"machine": make_machine(kind=kind)} for kind in MachineKind}
FLAT_BOTTOM = {"rail": FLAT_BOTTOM_RAIL}
SHOE_113A = ShoeFacts(Profile.FLAT_BOTTOM, ShoeColour.YELLOW, foot_mm=140.0)
RAIL_60E1 = RailFacts("60E1", Profile.FLAT_BOTTOM, 72.0, 150.0)
NO_CIRCUIT = {"track_circuited": False}
CIRCUIT_UNKNOWN = {"track_circuited": None}
AT_LOCK = {"order": 0}


def others(*sides: InsulationSide) -> tuple[StretcherFacts, ...]:
    return tuple(make_rod(insulation_side=side) for side in sides)


def recorded(*roles: Role, no: tuple[Role, ...] = ()) -> Ticked[Role]:
    """Recorded as made for some and not for others; nobody has said of the rest."""
    return Ticked(frozenset(roles), frozenset(no))


@dataclass(frozen=True)
class Case:
    """One rod at one place: what is changed from a pair that suits, and what must be said."""

    name: str
    rule: str
    outcome: Outcome
    says: str
    remedy: str = ""
    rod: dict = field(default_factory=dict)
    lock: bool = False  # the rod offered is a lock stretcher
    position: dict = field(default_factory=dict)

    def assess(self):
        rod = (make_lock if self.lock else make_rod)(**self.rod)
        return assess(rod, make_position(**self.position))


CONTRADICTIONS = [
    Case("a bullhead shoe recorded for the foot of a flat-bottom rail", "left shoe", UNSURE,
         "yet the shoe is recorded as made for a foot of 140 mm and the rail's is 69.8 mm",
         "the left shoe: measure the foot it fits",
         {"left_shoe": replace(BULLHEAD_SHOE, foot_mm=140.0)}),
    Case("a bullhead shoe recorded for the foot of the rail", "left shoe", SUITS, "Bullhead shoe",
         rod={"left_shoe": replace(BULLHEAD_SHOE, foot_mm=69.85)}),
    Case("a straight stretcher of which a gooseneck is recorded all the same", "timber space",
         UNSURE, "there is 25 mm ahead", "whether the stretcher has a gooseneck",
         {"form": Form.STRAIGHT, "gooseneck_towards": Towards.TOE},
         position={"place": {"space_ahead_mm": 25.0, "space_behind_mm": 25.0}}),
]  # fmt: skip
ROLE = [
    Case("a drive rod at a driven place", "role", SUITS, "Made for drive; the place needs drive."),
    Case(
        "a stretcher nobody knows the purpose of", "role", UNSURE, "made for is not known",
        "go and check: the stretcher's length, lock notches and drive lug",
        {"made_for": recorded()},
    ),
    Case(
        "an intermediate stretcher where the lock stretcher goes", "role", MISFIT,
        "Made for intermediate; the place is for the lock stretcher", "use a lock stretcher",
        {"made_for": made_for(Role.INTERMEDIATE)}, position=AT_LOCK,
    ),
    Case(
        "a lock stretcher at a driven place", "role", MISFIT, "A lock stretcher; the place needs",
        "use a stretcher made for drive", lock=True,
    ),
    Case(
        "a back stretcher without a lug at a driven place", "role", MISFIT,
        "Made for back; the place needs drive", "use a stretcher made for drive",
        {"made_for": made_for(Role.BACK), "drive_lug": DriveLug.NONE},
    ),
    Case(
        "a stretcher recorded as back that has a drive lug all the same", "role", UNSURE,
        "made for back, yet it has a drive lug", "fitted later", {"made_for": made_for(Role.BACK)},
    ),
    Case(
        "a stretcher recorded for the drive alone, where the lock stretcher goes", "role", UNSURE,
        "recorded as made for drive; whether it was made for lock, intermediate and back is not "
        "known; the place needs lock", "go and check: the stretcher's length",
        {"made_for": recorded(Role.DRIVE)}, position=AT_LOCK,
    ),
    Case(
        "a stretcher known not to be for the lock, the rest not said", "role", MISFIT,
        "Made for no kind of place; the place is for the lock stretcher", "use a lock stretcher",
        {"made_for": recorded(no=(Role.LOCK,))}, position=AT_LOCK,
    ),
    Case(
        "a stretcher recorded for this place, the rest not said", "role", SUITS,
        "Made for drive; the place needs drive.", rod={"made_for": recorded(Role.DRIVE)},
    ),
    Case(
        "a lock stretcher that may be made for the back too", "role", UNSURE,
        "recorded as made for lock; whether it was made for drive, intermediate and back is not",
        "", {"made_for": recorded(Role.LOCK)},
        position={"place": {"role": Role.BACK, "driven": False}},
    ),
    Case(
        "a stretcher known not to be made for the drive, without a lug", "role", MISFIT,
        "the place needs drive", "use a stretcher made for drive",
        {"made_for": recorded(Role.BACK, no=(Role.LOCK, Role.DRIVE)), "drive_lug": DriveLug.NONE},
    ),
    Case(
        "a stretcher that may be made for the drive", "role", UNSURE,
        "whether it was made for lock, drive and intermediate is not known; the place needs drive",
        "", {"made_for": recorded(Role.BACK)},
    ),
    Case(
        "a drive rod in the middle, the rest not said", "role", SUITS, "with its lug not used",
        rod={"made_for": recorded(Role.DRIVE)},
        position={"place": {"role": Role.INTERMEDIATE, "driven": False}},
    ),
    Case(
        "a stretcher said to be made for no place at all", "role", UNSURE,
        "recorded as made for no kind of place", "to find out what it was made for",
        {"made_for": recorded(no=tuple(Role))},
        position={"place": {"role": Role.BACK, "driven": False}},
    ),
    Case(
        "a drive rod in the middle", "role", SUITS, "with its lug not used",
        position={"place": {"role": Role.INTERMEDIATE, "driven": False}},
    ),
    Case(
        "a drive rod at the back", "role", WORK, "Made for drive; the place needs back",
        "check that its shoes seat on the switch rail",
        position={"place": {"role": Role.BACK, "driven": False}},
    ),
]  # fmt: skip

SHOES = [
    Case("bullhead shoe on bullhead rail", "left shoe", SUITS,
         "Bullhead shoe on the left; the rail is bullhead."),
    Case(
        "flat-bottom shoe of a yellow stretcher on bullhead rail", "left shoe", WORK,
        "Flat-bottom shoe on the left; the rail is bullhead", "fit bullhead shoes (orange)",
        {"left_shoe": FLAT_BOTTOM_SHOE},
    ),
    Case(
        "bullhead shoe of a red stretcher on flat-bottom rail", "right shoe", WORK,
        "Bullhead shoe on the right; the rail is flat-bottom", "fit flat-bottom shoes (yellow)",
        {"generation": RED}, position={"points": FLAT_BOTTOM},
    ),
    # Was "does not suit: a black stretcher's shoes are not changed"; in practice they are.
    Case(
        "a black stretcher's shoe on the wrong rail", "right shoe", WORK,
        "the rail is flat-bottom", "fit flat-bottom shoes: the right one is wrong",
        {"generation": BLACK, "right_shoe": ShoeFacts(Profile.BULLHEAD, ShoeColour.NONE)},
        position={"points": FLAT_BOTTOM},
    ),
    Case(
        "a black stretcher with one bullhead and one flat-bottom shoe", "right shoe", WORK,
        "Flat-bottom shoe on the right; the rail is bullhead", "fit bullhead shoes: the right one",
        {"generation": BLACK, "left_shoe": ShoeFacts(Profile.BULLHEAD, ShoeColour.NONE),
         "right_shoe": ShoeFacts(Profile.FLAT_BOTTOM, ShoeColour.NONE)},
    ),
    Case(
        "wrong shoe on a stretcher without paint", "left shoe", WORK,
        "Bullhead shoe on the left; the rail is flat-bottom", "fit flat-bottom shoes",
        {"generation": NO_PAINT, "left_shoe": ShoeFacts(Profile.BULLHEAD, ShoeColour.NONE)},
        position={"points": FLAT_BOTTOM},
    ),
    Case(
        "a painted shoe on a stretcher without paint", "left shoe", UNSURE,
        "the left shoe is orange, which a black stretcher's shoes are not", "the stretcher's paint",
        {"generation": NO_PAINT},
    ),
    # Was "suits": flat-bottom was taken for one profile, whatever the foot.
    Case(
        "a shoe for a foot of 140 mm on a rail of 150", "left shoe", MISFIT,
        "the shoe is made for a foot of 140 mm, the rail's is 150 mm",
        "use a stretcher with shoes for a foot of 150 mm",
        {"left_shoe": SHOE_113A}, position={"points": {"rail": RAIL_60E1}},
    ),
    Case(
        "the other shoe for a foot of 140 mm on a rail of 150", "right shoe", MISFIT,
        "the shoe is made for a foot of 140 mm, the rail's is 150 mm",
        "use a stretcher with shoes for a foot of 150 mm",
        {"right_shoe": SHOE_113A}, position={"points": {"rail": RAIL_60E1}},
    ),
    Case(
        "a shoe for a foot of 140 mm on a rail of 139.7", "left shoe", SUITS,
        "made for a foot of 140 mm, the rail's is 139.7 mm",
        rod={"left_shoe": SHOE_113A},
        position={"points": {"rail": RailFacts("109", Profile.FLAT_BOTTOM, 69.85, 139.7)}},
    ),
    Case(
        "a foot just within 1 mm", "left shoe", SUITS, "the rail's is 141 mm",
        rod={"left_shoe": SHOE_113A},
        position={"points": {"rail": RailFacts("A", Profile.FLAT_BOTTOM, 70.0, 141.0)}},
    ),
    Case(
        "a foot a little more than 1 mm off", "left shoe", MISFIT, "the rail's is 141.1 mm",
        "shoes for a foot of 141.1 mm", {"left_shoe": SHOE_113A},
        position={"points": {"rail": RailFacts("A", Profile.FLAT_BOTTOM, 70.0, 141.1)}},
    ),
    Case(
        "a rail whose foot nobody has measured", "left shoe", UNSURE,
        "the foot width of the rail is not known", "measure the foot", {"left_shoe": SHOE_113A},
        position={"points": {"rail": RailFacts("A", Profile.FLAT_BOTTOM)}},
    ),
    Case(
        "a shoe of unknown family on a railway with more than one", "right shoe", UNSURE,
        "which foot the shoe is made for is not known", "the right shoe: measure the foot",
        {"right_shoe": FLAT_BOTTOM_SHOE},
        position={"points": {**FLAT_BOTTOM, "one_flat_bottom_family": False}},
    ),
    Case(
        "a shoe of unknown family on a railway whose feet are not all known", "right shoe", UNSURE,
        "which foot the shoe is made for is not known", "measure the foot",
        {"right_shoe": FLAT_BOTTOM_SHOE},
        position={"points": {**FLAT_BOTTOM, "one_flat_bottom_family": None}},
    ),
    Case(
        "a flat-bottom shoe on a railway with one family", "right shoe", SUITS,
        "Flat-bottom shoe on the right; the rail is flat-bottom.",
        rod={"right_shoe": FLAT_BOTTOM_SHOE}, position={"points": FLAT_BOTTOM},
    ),
    Case(
        "a bullhead shoe where flat-bottom has more than one family", "right shoe", SUITS,
        "Bullhead shoe on the right", position={"points": {"one_flat_bottom_family": False}},
    ),
    Case(
        "a wrong shoe where flat-bottom has more than one family", "right shoe", WORK,
        "Bullhead shoe on the right", "fit flat-bottom shoes (yellow) for a foot of 140 mm",
        position={"points": {**FLAT_BOTTOM, "one_flat_bottom_family": False}},
    ),
    Case(
        "profile unknown but painted orange", "left shoe", SUITS,
        "Orange, so bullhead shoe on the left; the rail is bullhead.",
        rod={"left_shoe": ShoeFacts(colour=ShoeColour.ORANGE)},
    ),
    Case(
        "profile unknown but painted yellow", "right shoe", WORK,
        "Yellow, so flat-bottom shoe on the right; the rail is bullhead", "fit bullhead shoes",
        {"right_shoe": ShoeFacts(colour=ShoeColour.YELLOW)},
    ),
    Case(
        "paint that contradicts the profile", "left shoe", UNSURE,
        "recorded as bullhead yet painted yellow, which is flat-bottom",
        "go and check: the left shoe itself",
        {"left_shoe": ShoeFacts(Profile.BULLHEAD, ShoeColour.YELLOW)},
    ),
    Case(
        "a black stretcher with a painted shoe", "right shoe", UNSURE,
        "a black stretcher's shoes carry no colour, yet the right one is orange",
        "has a later one been fitted", {"generation": BLACK},
    ),
    Case(
        "a black stretcher with unpainted shoes of unknown profile", "left shoe", UNSURE,
        "no colour shows it", "a bullhead shoe is the shorter",
        {"generation": BLACK, "left_shoe": ShoeFacts(colour=ShoeColour.NONE)},
    ),
    Case(
        "a shoe nobody has looked at", "right shoe", UNSURE, "right shoe is not known",
        "the right shoe", {"right_shoe": ShoeFacts()},
    ),
    Case(
        "rails nobody has looked at", "left shoe", UNSURE, "the rail section is not known",
        "the switch rails: bullhead or flat-bottom", position={"points": {"rail": None}},
    ),
]  # fmt: skip

INSULATION = [
    Case("an insulated stretcher under a track circuit", "insulation", SUITS,
         "Insulated on the left."),
    # Group standard GK/RC0752 issue 2 (1998, withdrawn), p. B13: stretchers in two insulated pieces
    Case(
        "a bare stretcher under a track circuit", "insulation", MISFIT,
        "Track-circuited, and this stretcher is not insulated", "use an insulated stretcher",
        {"insulation_side": BARE},
    ),
    Case(
        "a bare stretcher without a track circuit", "insulation", SUITS, "not needed",
        rod={"insulation_side": BARE}, position={"points": NO_CIRCUIT},
    ),
    Case(
        "a bare stretcher where nobody knows of a track circuit", "insulation", UNSURE,
        "not insulated, and whether these points are track-circuited is not known",
        "whether these points are track-circuited", {"insulation_side": BARE},
        position={"points": CIRCUIT_UNKNOWN},
    ),
    Case(
        "a stretcher of unknown insulation", "insulation", UNSURE, "insulated is not known",
        "bushes, ferrules and plates", {"insulation_side": UNKNOWN_SIDE},
    ),
    Case(
        "a side recorded with no kind of insulation", "insulation", UNSURE,
        "yet with no kind of insulation", "bushes, ferrules and plates",
        {"insulation_kind": InsulationKind.NONE},
    ),
    Case("the same side as the others", "insulation side", SUITS,
         "Insulated on the left like the others (lock stretcher left and second stretcher left)."),
    Case(
        "the opposite side to the others, so judged turned", "insulation side", SUITS,
        "Turned end for end: insulated on the left like the others",
        rod={"insulation_side": RIGHT},
    ),
    Case(
        "others that disagree already", "insulation side", WORK,
        "the stretchers fitted are already on different sides",
        "bring all the insulation of these points to one side", position={"others": others(RIGHT)},
    ),
    Case(
        "another stretcher whose side is unknown", "insulation side", UNSURE,
        "the side of another stretcher is not known", "which end of each stretcher",
        position={"others": others(UNKNOWN_SIDE)},
    ),
    Case(
        "its own side unknown", "insulation side", UNSURE, "side of this stretcher is not known",
        "which end of the stretcher is insulated", {"insulation_side": UNKNOWN_SIDE},
    ),
    Case(
        "insulated on both sides", "insulation side", SUITS, "no side to compare",
        rod={"insulation_side": BOTH}, position={"others": others(RIGHT)},
    ),
    Case(
        "opposite sides without a track circuit", "insulation side", SUITS, "does not matter",
        rod={"insulation_side": RIGHT}, position={"points": NO_CIRCUIT},
    ),
]  # fmt: skip

BARE_DRIVE = {"machine": make_machine(drive_insulated=False, lock_rod_insulated=False)}
UNKNOWN_DRIVE = {"machine": make_machine(drive_insulated=None, lock_rod_insulated=None)}
CONTINUITY = [
    Case("all on the left", "continuity", SUITS, "the track circuit is not shorted."),
    Case(
        "a bare stretcher joins the rails by itself", "continuity", MISFIT,
        "left rail - first stretcher - right rail", "insulated on the side of the others",
        {"insulation_side": BARE},
    ),
    Case(
        "mixed sides join the rails through the machine", "continuity", MISFIT,
        "left rail - first stretcher - machine - lock stretcher - right rail",
        "use a stretcher insulated on the side of the others",
        {"insulation_side": RIGHT},
        position={"place": BARE_DRIVE, "others": others(RIGHT)},
    ),
    Case(
        "turned to the side of the others it joins nothing", "continuity", SUITS,
        "Turned end for end: with this stretcher in place the track circuit is not shorted.",
        rod={"insulation_side": RIGHT}, position={"place": BARE_DRIVE},
    ),
    Case(
        "joined already by another stretcher", "continuity", WORK,
        "already shorted, without this stretcher: left rail - second stretcher - right rail",
        "correct that first", position={"others": others(BARE)},
    ),
    Case(
        "a stretcher that may be bare", "continuity", UNSURE,
        "may be shorted (left rail - first stretcher - right rail)",
        "on which side the first stretcher is insulated", {"insulation_side": UNKNOWN_SIDE},
    ),
    Case(
        "mixed sides and a drive nobody has looked at", "continuity", UNSURE, "may be shorted",
        "whether the drive rod at the first stretcher is insulated", {"insulation_side": RIGHT},
        position={
            "place": {"machine": make_machine(drive_insulated=None, lock_rod_insulated=False)},
            "others": others(RIGHT),
        },
    ),
    Case(
        "an unknown drive does not matter while all lie on one side", "continuity", SUITS,
        "is not shorted",
        position={"place": UNKNOWN_DRIVE},
    ),
    Case(
        "joined, if there is a track circuit", "continuity", UNSURE,
        "if there is one", "whether these points are track-circuited",
        {"insulation_side": BARE}, position={"points": CIRCUIT_UNKNOWN},
    ),
    Case(
        "no track circuit", "continuity", SUITS, "so this does not matter",
        rod={"insulation_side": BARE}, position={"points": NO_CIRCUIT},
    ),
]  # fmt: skip

WRONG_WAY = {"insulation_side": RIGHT}
GOOSENECK = {"form": Form.GOOSENECK, "gooseneck_towards": Towards.TOE}
TIGHT_AHEAD = {"place": {"space_ahead_mm": 30.0}}
TURNING = [
    Case("nothing wrong as it lies", "turning end for end", SUITS, "No reason known to turn it"),
    # Was "suits: has no kicker to prevent it", though nobody had said that it can be turned.
    Case("a straight stretcher that nobody has said can be turned", "turning end for end", UNSURE,
         "(insulated on the right, the others on the left), and whether it can be was never "
         "recorded", "kicker, gooseneck and drive lug", WRONG_WAY),
    Case("a stretcher known to go either way", "turning end for end", WORK,
         "To be turned end for end: insulated on the right, the others on the left.",
         "turn it end for end", WRONG_WAY | {"can_be_turned": True}),
    Case("a stretcher that cannot be turned", "turning end for end", MISFIT, "and cannot be",
         "use a stretcher insulated on the left", WRONG_WAY | {"can_be_turned": False}),
    # Was "does not suit: its kicker would then point the wrong way", whichever end it is at.
    Case("a kicker that nobody has said can be turned", "turning end for end", UNSURE,
         "whether it can be was never recorded", "kicker, gooseneck and drive lug",
         WRONG_WAY | {"kicker": True}),
    # Was "suits after work: turn it end for end", with the lug away from the machine.
    Case("a wrong-side stretcher whose lug would come to the far side", "turning end for end",
         MISFIT, "turned it fails in the end of the drive lug: turning is no remedy",
         "use a stretcher insulated on the left",
         WRONG_WAY | {"can_be_turned": True, "lug_end": Ends.LEFT}),
    # Was "suits after work: move the timber"; turning for the insulation is what fails.
    Case("turning blocked by the gooseneck", "turning end for end", MISFIT,
         "turned it fails in the timber space: turning is no remedy",
         "use a stretcher insulated on the left",
         {"form": Form.GOOSENECK, "gooseneck_towards": Towards.HEEL, "can_be_turned": True}
         | WRONG_WAY, position=TIGHT_AHEAD),
    Case("insulation and lug both at the wrong end", "turning end for end", WORK,
         "the others on the left; its drive lug is at the right end, and the machine is on the "
         "left", "turn it end for end",
         WRONG_WAY | {"can_be_turned": True, "lug_end": Ends.RIGHT}),
    Case("a lug at the wrong end, insulated on the right side", "turning end for end", MISFIT,
         "turned it fails in the insulation side", "use a stretcher with its drive lug at the left",
         {"can_be_turned": True, "lug_end": Ends.RIGHT}),
    Case("a lug at the wrong end of a stretcher insulated at both", "turning end for end", WORK,
         "its drive lug is at the right end, and the machine is on the left",
         "turn it end for end",
         {"can_be_turned": True, "lug_end": Ends.RIGHT, "insulation_side": BOTH}),
    Case("a gooseneck with room both ways", "timber space", SUITS,
         "100 mm ahead and 100 mm behind", rod=GOOSENECK),
    Case("a gooseneck against the timber, insulation on the right side", "timber space", WORK,
         "needs 60 mm (assumed) on its side and 20 mm (assumed) on the other; there is 30 mm "
         "ahead",
         "P-way to move or replace the timber; do not cut it",
         GOOSENECK, position=TIGHT_AHEAD),
    # Was "suits", a driven gooseneck to be turned for a timber, with no work counted.
    Case("a driven gooseneck that turning brings clear", "turning end for end", WORK,
         "To be turned end for end: its gooseneck points towards the toe.",
         "turn it end for end", GOOSENECK | {"insulation_side": BOTH, "can_be_turned": True},
         position=TIGHT_AHEAD),
    Case("a gooseneck against the timber ahead that cannot be turned",
         "turning end for end", MISFIT, "and cannot be",
         "use a straight stretcher, or one whose gooseneck points towards the heel",
         GOOSENECK | {"insulation_side": BOTH, "can_be_turned": False}, position=TIGHT_AHEAD),
    Case("a gooseneck against the timber behind that cannot be turned",
         "turning end for end", MISFIT, "and cannot be",
         "use a straight stretcher, or one whose gooseneck points towards the toe",
         {"form": Form.GOOSENECK, "gooseneck_towards": Towards.HEEL, "can_be_turned": False,
          "insulation_side": BOTH}, position={"place": {"space_behind_mm": 30.0}}),
    Case("the same gooseneck, judged turned", "timber space", SUITS,
         "Turned end for end: a gooseneck needs 60 mm (assumed) on its side and 20 mm (assumed) on "
         "the other; there is "
         "30 mm ahead and 100 mm behind, and it points towards the heel.",
         rod=GOOSENECK | {"insulation_side": BOTH}, position=TIGHT_AHEAD),
    Case("a timber that was cut away", "timber space", SUITS,
         "The timber is recorded as cut away here, which P-way should examine.",
         position={"place": {"chiselled": True}}),
    # Was "suits: no gooseneck to foul the timbers", with no room at all.
    Case("a straight stretcher against the timber", "timber space", MISFIT,
         "A straight stretcher needs 20 mm (assumed) to the timbers; there is 0 mm ahead and 0 mm "
         "behind",
         "P-way to move or replace the timber",
         position={"place": {"space_ahead_mm": 0.0, "space_behind_mm": 0.0}}),
    Case("a straight stretcher a little too near the timber behind", "timber space", MISFIT,
         "19.9 mm behind", "P-way to move", position={"place": {"space_behind_mm": 19.9}}),
    Case("just space enough for a straight stretcher", "timber space", SUITS,
         "there is 20 mm ahead and 20 mm behind",
         position={"place": {"space_ahead_mm": 20.0, "space_behind_mm": 20.0}}),
    Case("a straight stretcher among timbers nobody has measured", "timber space", UNSURE,
         "an unknown space behind", "the space between the stretcher and the timbers",
         position={"place": {"space_behind_mm": None}}),
    Case("a gooseneck clear on its own side, against the timber on the other", "timber space",
         WORK, "there is 100 mm ahead and 10 mm behind", "P-way to move", GOOSENECK,
         position={"place": {"space_behind_mm": 10.0}}),
    Case("a gooseneck clear on its own side, the other not measured", "timber space", UNSURE,
         "an unknown space behind", "the space between", GOOSENECK,
         position={"place": {"space_behind_mm": None}}),
    Case("any stretcher, straight or not, with room for both", "timber space", SUITS,
         "a gooseneck needs 60 mm (assumed); there is 100 mm", rod={"form": Form.UNKNOWN}),
    Case("any stretcher, straight or not, with room for a straight one", "timber space", UNSURE,
         "there is 30 mm ahead and 30 mm behind", "whether the stretcher has a gooseneck",
         {"form": Form.UNKNOWN},
         position={"place": {"space_ahead_mm": 30.0, "space_behind_mm": 30.0}}),
    Case("any stretcher, straight or not, with no room", "timber space", WORK,
         "there is 10 mm ahead", "P-way to move", {"form": Form.UNKNOWN},
         position={"place": {"space_ahead_mm": 10.0}}),
    Case("turning for the insulation brings the gooseneck to the timber", "timber space", WORK,
         "it points towards the toe", "P-way to move",
         {"form": Form.GOOSENECK, "gooseneck_towards": Towards.HEEL} | WRONG_WAY,
         position=TIGHT_AHEAD),
    Case("a gooseneck whose way is not known", "timber space", UNSURE, "there is 30 mm ahead",
         "which way the gooseneck points", {"form": Form.GOOSENECK}, position=TIGHT_AHEAD),
    Case("just space enough for a gooseneck", "timber space", SUITS, "there is 60 mm ahead",
         rod=GOOSENECK, position={"place": {"space_ahead_mm": 60.0}}),
    Case("a gooseneck whose way is not known, space on one side only", "timber space", UNSURE,
         "there is 100 mm ahead and 30 mm behind", "which way the gooseneck points",
         {"form": Form.GOOSENECK}, position={"place": {"space_behind_mm": 30.0}}),
    Case("a gooseneck whose way is not known, space on neither side", "timber space", WORK,
         "there is 30 mm ahead and 30 mm behind", "P-way to move", {"form": Form.GOOSENECK},
         position={"place": {"space_ahead_mm": 30.0, "space_behind_mm": 30.0}}),
    Case("a stretcher insulated at both ends has no side", "insulation side", SUITS,
         "Insulated on both sides: no side", rod={"insulation_side": BOTH}),
    Case("a stretcher not insulated has no side", "insulation side", SUITS,
         "Not insulated: no side",
         rod={"insulation_side": BARE}),
    Case("timbers nobody has measured", "timber space", UNSURE, "an unknown space ahead",
         "the space between the stretcher and the timbers", {"form": Form.UNKNOWN},
         position={"place": {"space_ahead_mm": None}}),
]  # fmt: skip


def fixed(length: float | None, shims: float | None = 2.0, **more) -> dict:
    return {
        "adjustability": FIXED, "length_min_mm": length, "length_max_mm": length,
        "shim_left_mm": shims, "shim_right_mm": shims, **more,
    }  # fmt: skip


def needing(least: float | None, most: float | None) -> dict:
    return {"place": {"separation": Interval(least, most)}}


LENGTH = [
    Case("an adjustable stretcher whose range takes in what is needed", "length", SUITS,
         "Adjustable stretcher 1290 to 1350 mm over the backs; needed here 1320 to 1330 mm."),
    Case("an adjustable stretcher that ends short", "length", MISFIT,
         "needed here 1362.5 to 1365 mm: 12.5 mm too short",
         "use a stretcher that holds 1362.5 to 1365",
         position=needing(1362.5, 1365.0)),
    Case("an adjustable stretcher that cannot be drawn in enough", "length", MISFIT,
         "5 mm too long",
         "use a stretcher that holds", position=needing(1280.0, 1285.0)),
    Case("a fixed stretcher of the right length", "length", SUITS,
         "Fixed stretcher 1325 mm over the backs",
         rod=fixed(1325.0)),
    Case("a fixed stretcher that shims make long enough", "length", WORK, "4 mm too short",
         "add 4 mm of shims", fixed(1316.0)),
    Case("a fixed stretcher with shims to take out", "length", WORK, "3 mm too long",
         "take out 3 mm of shims", fixed(1333.0)),
    Case("a fixed stretcher with too few shims to take out", "length", MISFIT, "6 mm too long",
         "shims can make up 4 mm at most", fixed(1336.0)),
    Case("a fixed stretcher too short for any shims", "length", MISFIT, "20 mm too short",
         "shims can make up 8 mm at most", fixed(1300.0)),
    Case("a fixed stretcher whose shims are not known", "length", UNSURE, "fixed stretcher 1333 mm",
         "the shims at each shoe", fixed(1333.0, shims=None)),
    Case("a stretcher of unknown pattern a little short", "length", UNSURE,
         "stretcher 1316 mm over the backs",
         "whether the stretcher is adjustable", fixed(1316.0, adjustability=UNKNOWN_ADJUSTABILITY)),
    Case("a stretcher nobody has measured", "length", UNSURE,
         "the length of the fixed stretcher is not known",
         "measure its shortest and longest length", fixed(None)),
    Case("separation not known", "length", UNSURE, "the separation needed here is not known",
         "gauge and openings at this place on both lies", position={"place": {"separation": None}}),
    # Was "suits", though it can go no shorter.
    Case("only the shortest length known, and it will do", "length", WORK,
         "its longest length not known; needed here 1320 to 1330 mm: at the end of its thread",
         "set it at 1322 mm", {"length_min_mm": 1322.0, "length_max_mm": None}),
    Case("only one length known of a stretcher of unknown pattern", "length", UNSURE,
         "its longest length not known", "measure its shortest and longest length",
         {"length_min_mm": 1322.0, "length_max_mm": None, "adjustability": UNKNOWN_ADJUSTABILITY}),
    # Was "suits": the window just touched at its edge.
    Case("an adjustable stretcher at the end of its thread", "length", WORK,
         "1290 to 1320 mm over the backs; needed here 1320 to 1330 mm: at the end of its thread, "
         "with less than 3 mm (assumed) to spare", "set it at 1320 mm over the backs",
         {"length_max_mm": 1320.0}),
    Case("an adjustable stretcher that reaches a part of what is needed", "length", WORK,
         "at the end of its thread", "within 1320 to 1328 mm", {"length_max_mm": 1328.0}),
    Case("an adjustable stretcher with a little less thread than the margin", "length", WORK,
         "at the end of its thread", "within 1320 to 1330 mm", {"length_max_mm": 1332.9}),
    Case("an adjustable stretcher with just the margin at its long end", "length", SUITS,
         "1290 to 1333 mm", rod={"length_max_mm": 1333.0}),
    Case("an adjustable stretcher with just the margin at its short end", "length", SUITS,
         "1317 to 1350 mm", rod={"length_min_mm": 1317.0}),
    Case("an adjustable stretcher that cannot be drawn in with a margin", "length", WORK,
         "at the end of its thread", "within 1320 to 1330 mm", {"length_min_mm": 1317.1}),
    Case("a range that may be a fixed stretcher's, at the end of it", "length", UNSURE,
         "stretcher 1290 to 1330 mm", "whether the stretcher is adjustable",
         {"length_max_mm": 1330.0, "adjustability": UNKNOWN_ADJUSTABILITY, "shim_left_mm": 0.0,
          "shim_right_mm": 0.0}),
    # Was "suits", with shoes that come off before it is fitted.
    Case("a stretcher whose shoes must be changed", "length", WORK,
         "needed here 1320 to 1330 mm, with the shoes it has now",
         "after the change of shoes, measure its length", {"left_shoe": FLAT_BOTTOM_SHOE}),
    Case("a fixed stretcher to be packed whose shoes must be changed", "length", WORK,
         "with the shoes it has now", "after the change of shoes, measure",
         fixed(1316.0, right_shoe=FLAT_BOTTOM_SHOE)),
    Case("a stretcher far too short whose shoes must be changed", "length", MISFIT, "too short",
         "use a stretcher that holds", fixed(1200.0, right_shoe=FLAT_BOTTOM_SHOE)),
    Case("only the longest length known, and it is far too short", "length", MISFIT,
         "40 mm too short", "use a stretcher that holds",
         {"length_min_mm": None, "length_max_mm": 1280.0}),
    Case("only the shortest length known, the need above it", "length", UNSURE,
         "its longest length not known", "measure its shortest and longest length",
         {"length_max_mm": None}),
    Case("a fixed stretcher with just room for the shims it needs", "length", WORK,
         "8 mm too short",
         "add 8 mm of shims", fixed(1312.0)),
    Case("a fixed stretcher with just the shims to take out", "length", WORK, "4 mm too long",
         "take out 4 mm of shims", fixed(1334.0)),
    Case("a fixed stretcher with no room for more shims", "length", MISFIT, "1 mm too short",
         "shims can make up 0 mm at most", fixed(1319.0, shims=6.0)),
    Case("a fixed stretcher too short by all that shims can ever do", "length", UNSURE,
         "fixed stretcher 1308 mm", "the shims at each shoe", fixed(1308.0, shims=None)),
    Case("a fixed stretcher too short by more than shims can ever do", "length", MISFIT,
         "13 mm too short", "use a stretcher that holds", fixed(1307.0, shims=None)),
    Case("a fixed stretcher of which one length is recorded", "length", SUITS,
         "Fixed stretcher 1325 mm",
         rod=fixed(1325.0, length_max_mm=None)),
    Case("a fixed stretcher of which the other length is recorded", "length", SUITS,
         "Fixed stretcher 1325 mm",
         rod=fixed(1325.0, length_min_mm=None)),
    Case("a fixed stretcher with two lengths, either of which may be the one", "length", UNSURE,
         "fixed stretcher 1290 to 1350 mm", "which length it has",
         {"adjustability": FIXED}),
    Case("a fixed stretcher with two lengths, both of which would do", "length", SUITS,
         "Fixed stretcher 1321 to 1329 mm",
         rod={"adjustability": FIXED, "length_min_mm": 1321.0, "length_max_mm": 1329.0}),
    Case("only the longest length known, short by all that shims can ever do", "length", UNSURE,
         "its shortest length not known", "measure its shortest and longest length",
         {"length_min_mm": None, "length_max_mm": 1308.0}),
    Case("only the longest length known, short by more than shims can ever do", "length", MISFIT,
         "13 mm too short", "use a stretcher that holds",
         {"length_min_mm": None, "length_max_mm": 1307.0}),
    Case("only the shortest length known, the need just at it", "length", WORK,
         "its longest length not known", "set it at 1330 mm",
         {"length_min_mm": 1330.0, "length_max_mm": None}),
    Case("a need with no upper end", "length", SUITS, "needed here at least 1320 mm",
         position=needing(1320.0, None)),
]  # fmt: skip

SLEEVE = LostMotionFacts("LM-1", 20.0, 30.0, suits_lugs=takes(DriveLug.THIN))
DRIVE = [
    Case("a plain lug on a motor machine", "drive lug", SUITS, "motor machine on its plain lug"),
    Case("a raised head on a motor machine", "drive lug", SUITS, "raised head lug",
         rod={"drive_lug": DriveLug.RAISED_HEAD}),
    Case("a raised head on rodding from a frame", "drive lug", MISFIT,
         "takes the drive rod at a higher angle than a mechanical drive", "with a plain lug",
         {"drive_lug": DriveLug.RAISED_HEAD}, position={"place": DRIVEN_BY[MachineKind.RODDING]}),
    Case("a raised head on a hand lever", "drive lug", MISFIT, "(hand lever)", "plain lug",
         {"drive_lug": DriveLug.RAISED_HEAD},
         position={"place": DRIVEN_BY[MachineKind.HAND_LEVER]}),
    Case("a plain lug on a hand lever", "drive lug", SUITS, "hand lever on its plain lug",
         position={"place": DRIVEN_BY[MachineKind.HAND_LEVER]}),
    Case("a raised head on a drive nobody has recorded", "drive lug", UNSURE, "raised head",
         "at what height its drive rod comes in", {"drive_lug": DriveLug.RAISED_HEAD},
         position={"place": {"machine": None}}),
    # Was "suits: driven on its thin lug".
    Case("a thin lug on a drive nobody has recorded", "drive lug", UNSURE, "thin lug",
         "what drives this place", {"drive_lug": DriveLug.THIN},
         position={"place": {"machine": None}}),
    Case("a thin lug on a machine nobody can name", "drive lug", UNSURE, "thin lug",
         "what drives this place", {"drive_lug": DriveLug.THIN},
         position={"place": DRIVEN_BY[MachineKind.UNKNOWN]}),
    Case("a thin lug on a motor machine", "drive lug", SUITS, "motor machine on its thin lug",
         rod={"drive_lug": DriveLug.THIN}),
    Case("no lug at a driven place", "drive lug", MISFIT, "no drive lug",
         "use a stretcher with a drive lug", {"drive_lug": DriveLug.NONE}),
    Case("no lug where nothing drives", "drive lug", SUITS, "Not driven here: no lug is needed",
         rod={"drive_lug": DriveLug.NONE},
         position={"place": {"driven": False, "machine": None}}),
    Case("a raised head where nothing drives", "drive lug", SUITS, "one does no harm",
         rod={"drive_lug": DriveLug.RAISED_HEAD},
         position={"place": {"driven": False, "machine": None}}),
    Case("not driven, and a machine is recorded there all the same", "drive lug", UNSURE,
         "recorded as not driven, yet a machine", "is there a drive rod at this place?",
         rod={"drive_lug": DriveLug.NONE}, position={"place": {"driven": False}}),
    Case("a lug nobody has looked at", "drive lug", UNSURE,
         "drive lug of this stretcher is not known",
         "which lug", {"drive_lug": DriveLug.UNKNOWN}),
    Case("a place that may be driven", "drive lug", UNSURE, "driven is not known",
         "is there a drive rod", position={"place": {"driven": None}}),
    Case("a raised head at a place that may be driven", "drive lug", UNSURE,
         "driven is not known", "is there a drive rod", {"drive_lug": DriveLug.RAISED_HEAD},
         position={"place": {"driven": None}}),
    Case("a lost-motion fitting for another lug", "drive lug", WORK,
         "takes thin lugs; this one is plain", "one that takes a plain lug",
         position={"place": {"lost_motion_fitting": SLEEVE}}),
    Case("a lost-motion fitting for this lug", "drive lug", SUITS, "takes thin lugs",
         rod={"drive_lug": DriveLug.THIN}, position={"place": {"lost_motion_fitting": SLEEVE}}),
    Case("a lost-motion fitting nobody has tried", "drive lug", UNSURE, "this one is plain",
         "offer the lost-motion fitting up",
         position={"place": {"lost_motion_fitting": LostMotionFacts("LM-2", 20.0, 30.0)}}),
]  # fmt: skip


def drive(
    stroke=160.0, unlocking=60.0, internal=70.0, fitting=None, travel=88.0, ratio=None, **machine
) -> dict:
    return {
        "place": {
            "machine": make_machine(
                stroke_mm=stroke, unlocking_stroke_mm=unlocking,
                internal_lost_motion_mm=internal, **machine,
            ),
            "lost_motion_fitting": fitting and LostMotionFacts("LM-1", *fitting),
            "travel_mm": travel,
            "drive_ratio": ratio,
        }
    }  # fmt: skip


def worked(stroke=200.0, **more) -> dict:
    """90 mm at the drive move the toe 108; 102 to 120 are permitted, so 85 to 100 at the drive."""
    found = drive(stroke=stroke, travel=90.0, **more)
    return {"place": {**found["place"], "permitted_travel": Interval(85.0, 100.0)}}


def greatest_unknown(least=None, **more) -> dict:
    found = drive(**more)
    return {"place": {**found["place"], "permitted_travel": Interval(least, None)}}


LOST_MOTION = [
    Case("enough inside the machine", "lost motion", SUITS,
         "The drive matches: 10 mm spare for the lock, 7 mm for the opening, 8 mm before the throw "
         "goes too far. A lost-motion fitting may have 0 to 7 mm, 2 best; none is fitted. The "
         "ratio of the drive here is assumed to be 1."),
    # Was "suits, 40 mm for the opening", though nothing takes up the rest of the throw.
    Case("a throw too long with no fitting", "lost motion", WORK,
         "The drive does not match: the throw goes 30 mm too far, which presses the closed rail "
         "against its stock rail; 10 mm spare for the lock. A lost-motion fitting of 30 to 45 mm, "
         "40 best would do; none is fitted.", "fitting of 30 to 45 mm, 40 best",
         position=worked()),
    Case("a longer stroke", "lost motion", WORK, "the throw goes 90 mm too far",
         "fitting of 90 to 105 mm, 100 best", position=worked(260.0)),
    Case("a stroke much too long", "lost motion", WORK, "the throw goes 170 mm too far",
         "fitting of 170 to 185 mm, 180 best", position=worked(340.0)),
    Case("the best fitting for the throw", "lost motion", SUITS,
         "50 mm spare for the lock, 5 mm for the opening, 10 mm before the throw goes too far. A "
         "lost-motion fitting may have 30 to 45 mm, 40 best; the one fitted has 40 mm.",
         position=worked(fitting=(40.0, 40.0))),
    Case("a fitting of which the least alone is recorded", "lost motion", UNSURE,
         "the one fitted has 40 mm of lost motion, and its most is not known; 30 to 45 mm, 40 best "
         "would do", "the most lost motion of the fitting, or what it is set to",
         position=worked(fitting=(40.0, None))),
    Case("a fitting of which the most alone is recorded", "lost motion", UNSURE,
         "and its least is not known", "the least lost motion of the fitting",
         position=worked(fitting=(None, 40.0))),
    Case("the least fitting for the throw", "lost motion", SUITS, "0 mm before the throw",
         position=worked(fitting=(30.0, 45.0))),
    Case("a fitting a little too small for the throw", "lost motion", WORK,
         "the throw goes 1 mm too far", "of 30 to 45 mm", position=worked(fitting=(29.0, 45.0))),
    Case("a fitting a little too large for the throw", "lost motion", WORK,
         "1 mm too much for the switch to open fully", "of 30 to 45 mm",
         position=worked(fitting=(30.0, 46.0))),
    # Was "suits, 42 mm for the opening".
    Case("a long throw, and no greatest movement known", "lost motion", UNSURE,
         "whether the throw goes too far: it is 42 mm more than the switch needs here, and the "
         "greatest movement permitted is not known; 10 mm spare for the lock; with 42 mm in "
         "the fitting it would surely match", "greatest permitted switch opening",
         position=greatest_unknown(stroke=200.0)),
    Case("a throw of just the movement needed", "lost motion", SUITS,
         "0 mm before the throw goes too far", position=greatest_unknown(stroke=158.0)),
    # Was "suits": 3 mm were taken for overtravel that the rods bear.
    Case("a throw a little more than needed", "lost motion", UNSURE, "it is 3 mm more than",
         "greatest permitted", position=greatest_unknown(stroke=161.0)),
    Case("a ratio recorded for the place", "lost motion", SUITS,
         "The ratio of the drive here is 0.8.", position=drive(stroke=180.0, ratio=0.8)),
    Case("lost motion at the end of the stroke", "lost motion", SUITS,
         "The drive matches: 10 mm spare for the lock, 7 mm for the opening",
         position=drive(stroke=190.0, end_lost_motion_mm=30.0)),
    Case("only the least and the greatest movement known", "lost motion", SUITS,
         "may have 0 to 7 mm; none", position={"place": {"travel_mm": None}}),
    Case("a throw too short, whatever the fitting", "lost motion", MISFIT,
         "The throw is 3 mm too short to open the switch fully", "a longer stroke",
         position=drive(stroke=150.0)),
    Case("a throw that opens the switch as little as is permitted", "lost motion", SUITS,
         "0 mm for the opening", position=drive(stroke=153.0)),
    Case("not enough for the lock to clear", "lost motion", WORK,
         ": 25 mm too little for the lock to clear; the throw goes 17 mm too far",
         "fit or set a lost-motion fitting of 25 to 32 mm, 27 best",
         position=drive(stroke=150.0, internal=35.0)),
    Case("a fitting in the window", "lost motion", SUITS, "5 mm spare for the lock, 2 mm for the",
         position=drive(internal=35.0, fitting=(30.0, 40.0))),
    Case("a fitting that swallows the opening", "lost motion", WORK,
         ": 8 mm too much for the switch to open fully", "fitting of 0 to 7 mm",
         position=drive(fitting=(5.0, 15.0))),
    Case("a fitting just enough for the lock and too much for the switch", "lost motion", WORK,
         ": 13 mm too much for the switch to open fully; 0 mm spare for the lock",
         "fitting of 25 to 32 mm",
         position=drive(stroke=150.0, internal=35.0, fitting=(25.0, 45.0))),
    Case("a fitting just enough for the switch and too little for the lock", "lost motion", WORK,
         ": 5 mm too little for the lock to clear; 0 mm for the opening", "fitting of 25 to 32 mm",
         position=drive(stroke=150.0, internal=35.0, fitting=(20.0, 32.0))),
    Case("a stroke too short for any fitting", "lost motion", MISFIT,
         "needs 60 mm of lost motion outside the machine, the stroke leaves 37 mm",
         "a longer stroke", position=drive(stroke=120.0, internal=0.0)),
    Case("a machine nobody has measured", "lost motion", UNSURE, "not known: the stroke",
         "its unlocking stroke", position=drive(stroke=None, unlocking=None)),
    Case("a fitting nobody has measured", "lost motion", UNSURE, "lost motion of the fitting",
         "the lost motion of the fitting", position=drive(fitting=(None, None))),
    Case("a lever of unknown ratio", "lost motion", UNSURE, "the ratio of the drive at this place",
         "the ratio of the drive", position=drive(kind=MachineKind.RODDING)),
    Case("a lever of which the lock may need to clear", "lost motion", UNSURE,
         "not known: its unlocking stroke", "its unlocking stroke",
         position=drive(unlocking=None, kind=MachineKind.HAND_LEVER, ratio=1.0)),
    Case("figures that cannot be true", "lost motion", UNSURE, "must be above 0", "the figures",
         position=drive(stroke=0.0)),
    Case("not driven", "lost motion", SUITS, "so lost motion does not matter",
         position={"place": {"driven": False, "machine": None}}),
    Case("driven by nobody knows what", "lost motion", UNSURE, "what drives this place",
         "the machine and its strokes", position={"place": {"machine": None}}),
]  # fmt: skip


def set_to(least: float | None, most: float | None) -> dict:
    """The lock's place, with the movement there for the opening measured on each lie."""
    measured = None if least is None else Interval(least, most)
    place = {"measured_travel": measured, "measured_travel_from": "read on 5 Nov 2026"}
    return {"order": 0, "place": place}


LOCK_WRONG_WAY = {"order": 0, "others": others(LEFT)}

# New South Wales TMG E1583 V1.0 (2009), 4.3.2: the lock must enter with 1.6 mm at the toe
NOTCHES = [
    Case("no lock at the place", "lock notches", SUITS, "No lock acts at this place."),
    Case("notches that match the opening measured", "lock notches", SUITS,
         "Lock notches 108 mm apart, the lock moves 108 mm: 0 mm out", lock=True, position=AT_LOCK),
    # Was "does not suit: movement needed here 108 mm", the nominal opening.
    Case("notches 112 at points set to 112", "lock notches", SUITS, "0 mm out",
         rod={"notch_distance_mm": 112.0}, lock=True, position=set_to(112.0, 112.0)),
    Case("notches out by as much as the lock bears", "lock notches", SUITS, "1.6 mm out",
         rod={"notch_distance_mm": 106.4}, lock=True, position=AT_LOCK),
    Case("notches out on one lie", "lock notches", WORK,
         "the lock moves 106 to 108 mm (read on 5 Nov 2026): 2 mm out, more than 1.6 mm",
         "set the switch so that the lock moves 108 mm", lock=True,
         position=set_to(106.0, 108.0)),
    Case("notches out by a little more than the lock bears", "lock notches", WORK,
         "1.7 mm out, more than 1.6 mm; movement permitted at the lock 103 to 118 mm",
         "set the switch so that the lock moves 106.3 mm", {"notch_distance_mm": 106.3}, lock=True,
         position=AT_LOCK),
    Case("notches for a permitted opening, and no opening measured", "lock notches", UNSURE,
         "movement permitted at the lock 103 to 118 mm; a permitted opening that the switch is "
         "set to is not known on both lies", "the switch opening on both lies",
         {"notch_distance_mm": 112.0}, lock=True, position=set_to(None, None)),
    Case("notches cut for other points", "lock notches", MISFIT,
         "96 mm apart, movement permitted at the lock 103 to 118 mm: 7 mm outside",
         "cut new notches if they fall clear of the old ones, or use another stretcher",
         {"notch_distance_mm": 96.0}, lock=True, position=AT_LOCK),
    Case("notches just as far outside as the lock bears", "lock notches", WORK, "6.6 mm out",
         "set the switch", {"notch_distance_mm": 101.4}, lock=True, position=AT_LOCK),
    Case("notches a little further outside", "lock notches", MISFIT, "1.7 mm outside", "",
         {"notch_distance_mm": 119.7}, lock=True, position=AT_LOCK),
    # Was "suits after work: turn it end for end".
    Case("cut notches of a stretcher to be turned", "lock notches", UNSURE,
         "turned end for end, its lock notches are cut, and where they come to was never measured "
         "from the other end", "the distance of each notch from the other end",
         {"insulation_side": RIGHT, "can_be_turned": True}, lock=True, position=LOCK_WRONG_WAY),
    Case("notches not cut yet of a stretcher to be turned", "lock notches", WORK, "not cut yet",
         "cut the notches", {"insulation_side": RIGHT, "notches": Notches.UNCUT}, lock=True,
         position=LOCK_WRONG_WAY),
    Case("notches not cut yet", "lock notches", WORK, "not cut yet",
         "cut the notches to suit on site (108 mm apart), then prove with the lock test",
         {"notches": Notches.UNCUT, "notch_distance_mm": None}, lock=True, position=AT_LOCK),
    Case("cut notches nobody has measured", "lock notches", UNSURE, "their distance is not known",
         "the distance between the notches", {"notch_distance_mm": None}, lock=True,
         position=AT_LOCK),
    Case("cut notches and no opening permitted", "lock notches", UNSURE,
         "the movement permitted at the lock is not known", "the least and the greatest switch",
         lock=True, position={"order": 0, "place": {"permitted_travel": None}}),
    Case("notches beyond the greatest opening, the least not known", "lock notches", MISFIT,
         "movement permitted at the lock at most 100 mm: 8 mm outside", "another stretcher",
         lock=True, position={"order": 0, "place": {"permitted_travel": Interval(None, 100.0)}}),
    Case("notches nobody has looked for", "lock notches", UNSURE, "cut is not known",
         "are its lock notches cut", {"notches": Notches.UNKNOWN}, lock=True, position=AT_LOCK),
    Case("a stretcher that is no lock stretcher", "lock notches", MISFIT,
         "no place for lock notches",
         "use a lock stretcher", position=AT_LOCK),
]  # fmt: skip

NEEDS_KICKER = {"place": {"kicker_required": True}}
KICKER = [
    Case("kicker required and there", "kicker", SUITS, "set 3 to 6 mm under the stock rail foot",
         rod={"kicker": True}, position=NEEDS_KICKER),
    Case("kicker required and missing", "kicker", MISFIT, "this stretcher has none",
         "use a stretcher with a kicker", position=NEEDS_KICKER),
    Case("kicker required and not looked for", "kicker", UNSURE, "whether this stretcher has one",
         "does it pass under the stock rail", {"kicker": None}, position=NEEDS_KICKER),
    Case("kicker not required but there", "kicker", SUITS,
         "not required here: harmless while it keeps 3 to 6 mm", rod={"kicker": True}),
    Case("a kicker at one end of a stretcher to be turned", "kicker", UNSURE,
         "turned end for end, its kicker comes to the right end", "at which end the place needs",
         {"kicker": True, "kicker_end": Ends.LEFT, "insulation_side": RIGHT},
         position=NEEDS_KICKER),
    Case("a kicker at each end of a stretcher to be turned", "kicker", SUITS,
         "Turned end for end: has the kicker this place requires",
         rod={"kicker": True, "kicker_end": Ends.BOTH, "insulation_side": RIGHT},
         position=NEEDS_KICKER),
    # Was "cannot say", at every place where nobody had recorded that none is wanted.
    Case("nothing recorded behind the front stretchers", "kicker", SUITS,
         "No kicker is recorded as required here, behind the front stretchers.",
         position={"order": 2, "place": {"kicker_required": None}}),
    Case("required behind the front stretchers, as recorded", "kicker", MISFIT,
         "this stretcher has none", "a kicker",
         position={"order": 2, "place": {"kicker_required": True}}),
    Case("nobody knows whether one is required", "kicker", UNSURE, "requires a kicker is not known",
         "the front one", position={"place": {"kicker_required": None}}),
]  # fmt: skip


def painted(*colours: Generation) -> dict:
    return {
        "lock": make_lock(generation=colours[0]),
        "others": tuple(make_rod(generation=colour) for colour in colours),
    }


STATE = [
    Case("one generation", "generation", SUITS, "A yellow stretcher like the others."),
    Case("a red stretcher among yellow ones", "generation", WORK,
         "A red stretcher among yellow: types are mixed.",
         "get the responsible engineer's agreement", {"generation": RED}),
    Case("a yellow stretcher among black and red ones", "generation", WORK, "among black and red",
         "agreement to the mixture", position=painted(BLACK, RED)),
    Case("a stretcher without paint", "generation", UNSURE,
         "generation of this stretcher is not known",
         "the stretcher's paint", {"generation": NO_PAINT}),
    Case("another stretcher without paint", "generation", UNSURE, "generation of another stretcher",
         "the paint of the stretchers fitted", position=painted(YELLOW, NO_PAINT)),
    Case("nuts and torque known", "fixings", SUITS,
         "Full nut with half nut, tightened to 220 N·m."),
    Case("no torque laid down", "fixings", UNSURE, "no tightening torque is recorded",
         "usual 200 to 250 N·m", {"torque_nm": None}),
    Case("a torque outside the usual", "fixings", UNSURE, "the torque recorded is 150 N·m",
         "what the railway lays down", {"torque_nm": 150.0}),
    Case("the least usual torque", "fixings", SUITS, "tightened to 200 N·m",
         rod={"torque_nm": 200.0}),
    Case("the most usual torque", "fixings", SUITS, "tightened to 250 N·m",
         rod={"torque_nm": 250.0}),
    Case("fixings nobody has looked at", "fixings", UNSURE,
         "fixings of this stretcher are not known",
         "its bolts and nuts", {"left_fixings": Fixings.UNKNOWN}),
    Case("worn but serviceable", "condition", SUITS, "worn but serviceable",
         rod={"condition": Condition.WORN}),
    Case("needs repair", "condition", WORK, "Needs repair", "examine it again",
         {"condition": Condition.REPAIR}),
    Case("condemned", "condition", MISFIT, "Scrap.", "use another stretcher",
         {"condition": Condition.SCRAP}),
    Case("not examined", "condition", UNSURE, "has not been examined", "shoes for cracks",
         {"condition": Condition.UNKNOWN}),
    Case("an open defect", "open defects", WORK, "Open defects: crack at the left shoe",
         "repair and close them", {"open_defects": ("crack at the left shoe",)}),
    Case("in quarantine", "quarantine", MISFIT, "In quarantine", "releases it",
         {"quarantined": True}),
]  # fmt: skip

SHALLOW = {"points": {"depth": Depth.SHALLOW, "one_depth": False}}
BOTH_DEPTHS = {"points": {"one_depth": False}}
DEPTHS = [
    # Abstract of NR/L2/TRK/6100 module 05, read as an abstract: fixed bars are for full depth
    Case("made for full depth on a shallow switch", "depth", MISFIT,
         "Made for full depth; the switch is of shallow depth.", "use one made for shallow depth",
         {"depth": Depth.FULL}, position=SHALLOW),
    Case("made for a shallow switch on one of full depth", "depth", MISFIT, "of full depth",
         "use one made for full depth", {"depth": Depth.SHALLOW},
         position={"points": {"depth": Depth.FULL, "one_depth": False}}),
    Case("made for the depth of the switch", "depth", SUITS, "Made for shallow depth",
         rod={"depth": Depth.SHALLOW}, position=SHALLOW),
    Case("of unknown depth on a shallow switch", "depth", UNSURE,
         "the depth that the stretcher is made for", "the depth that the stretcher is made for",
         position=SHALLOW),
    Case("nothing known on a railway with both depths", "depth", UNSURE,
         "the depth that the stretcher is made for and the depth of the switch", "the depth of the",
         position=BOTH_DEPTHS),
    Case("nothing known on a railway that nobody has asked about", "depth", UNSURE,
         "the depth of the switch", "", position={"points": {"one_depth": None}}),
    Case("nothing of a second depth recorded", "depth", SUITS, "Nothing of a second depth"),
]  # fmt: skip

LUG_ENDS = [
    Case("a lug at the machine's end", "end of the drive lug", SUITS,
         "Its drive lug is at the left end, and the machine is on the left.",
         rod={"lug_end": Ends.LEFT}),
    Case("a lug at the far end, turned to the machine", "end of the drive lug", SUITS,
         "Turned end for end: its drive lug is at the left end",
         rod={"lug_end": Ends.RIGHT, "insulation_side": BOTH, "can_be_turned": True}),
    Case("a lug that turning brings to the far end", "end of the drive lug", MISFIT,
         "Turned end for end: its drive lug is at the right end, and the machine is on the "
         "left.", "with its drive lug at the left end",
         {"lug_end": Ends.LEFT, "insulation_side": RIGHT}),
    Case("a lug whose end nobody has recorded", "end of the drive lug", UNSURE,
         "the end of this stretcher that carries the drive lug", "that carries the drive lug",
         {"lug_end": Ends.UNKNOWN}),
    Case("a machine whose side nobody has recorded", "end of the drive lug", UNSURE,
         "the side that the machine is on", "the side", {"lug_end": Ends.LEFT},
         position={"points": {"machine_side": Side.UNKNOWN}}),
    Case("a lug at each end", "end of the drive lug", SUITS, "A drive lug at both ends",
         position={"points": {"machine_side": Side.UNKNOWN}}),
    Case("a lug not used", "end of the drive lug", SUITS, "Asked only where a drive rod",
         rod={"lug_end": Ends.RIGHT}, position={"place": {"driven": False}}),
    Case("no lug at a driven place", "end of the drive lug", SUITS, "no drive lug, so no end",
         rod={"drive_lug": DriveLug.NONE, "lug_end": Ends.NONE}),
]  # fmt: skip

CASES = [
    *ROLE, *SHOES, *INSULATION, *CONTINUITY, *TURNING, *LENGTH, *DRIVE, *LOST_MOTION, *NOTCHES,
    *KICKER, *STATE, *DEPTHS, *LUG_ENDS, *CONTRADICTIONS,
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.name}")
def test_the_rule_says_what_a_technician_would_say(case):
    answer = case.assess()[case.rule]
    assert answer.outcome is case.outcome
    assert case.says in answer.reason
    assert case.remedy in answer.remedy
    if case.outcome is SUITS:
        assert answer.remedy == ""
    else:
        assert answer.remedy


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.name}")
def test_the_whole_is_as_bad_as_its_worst_finding(case):
    assessment = case.assess()
    assert assessment.outcome.severity == max(f.outcome.severity for f in assessment.answers)
    assert assessment.outcome.severity >= case.outcome.severity


def test_every_rule_is_tried_by_the_cases():
    assert {case.rule for case in CASES} == {rule.name for rule in RULES}
    assert len(CASES) >= 60


def test_a_rod_that_suits_in_everything_suits():
    assessment = assess(make_rod(), make_position())
    assert assessment.outcome is SUITS
    assert [f.rule for f in assessment.answers] == [rule.name for rule in RULES]
    assert assessment.remedies == ()


def test_every_unknown_says_what_to_go_and_look_at():
    nothing_known = make_points(
        PlaceFacts(0, Role.LOCK), PlaceFacts(1, Role.DRIVE), rail=None, track_circuited=None
    )
    for order in (0, 1):
        for answer in assess(StretcherFacts(), PositionFacts(nothing_known, order)).answers:
            if answer.outcome is UNSURE:
                assert answer.reason.startswith("Cannot say: ")
                assert answer.remedy.startswith("go and check: ")


def test_no_words_are_missing_and_no_figure_is_nan_where_nothing_is_known():
    bare = PointsFacts(places=(PlaceFacts(0, Role.LOCK), PlaceFacts(1, Role.BACK)))
    for answer in assess(StretcherFacts(), PositionFacts(bare, 1)).answers:
        assert answer.reason
        assert answer.source
        assert "None" not in answer.reason + answer.remedy
        assert "nan" not in answer.reason


def test_the_rod_there_now_is_out_of_it():
    position = make_position(place={"stretcher": make_rod(generation=RED, insulation_side=RIGHT)})
    assert assess(make_rod(), position).outcome is SUITS


def test_spares_are_ranked_by_outcome_then_work_then_unknowns_then_tag():
    ranked = rank_spares(
        [
            make_rod("E scrap", condition=Condition.SCRAP),
            make_rod("D unexamined", condition=Condition.UNKNOWN),
            make_rod("C repair and shoes", condition=Condition.REPAIR, left_shoe=FLAT_BOTTOM_SHOE),
            make_rod("B repair", condition=Condition.REPAIR),
            make_rod("A2 good"),
            make_rod("A1 good"),
            make_rod("F scrap and quarantined", condition=Condition.SCRAP, quarantined=True),
        ],
        make_position(),
    )
    assert [rod.tag[:2].strip() for rod, _ in ranked] == ["A1", "A2", "B", "C", "D", "E", "F"]
    assert [found.outcome for _, found in ranked] == [
        SUITS, SUITS, WORK, WORK, UNSURE, MISFIT, MISFIT,
    ]  # fmt: skip


def test_places_are_ranked_for_a_spare():
    good, flat_bottom = make_position(), make_position(points=FLAT_BOTTOM)
    lock, unsure = make_position(0), make_position(points={"rail": None})
    ranked = rank_positions(make_rod(), [lock, unsure, flat_bottom, good])
    assert [position for position, _ in ranked] == [good, flat_bottom, unsure, lock]


def test_turning_is_counted_as_one_piece_of_work():
    turned = assess(
        make_rod(insulation_side=RIGHT, can_be_turned=True), make_position(place=BARE_DRIVE)
    )
    assert turned.outcome is WORK
    assert turned.remedies == ("turn it end for end",)
    assert turned.key == (1, 0, 1, 0)


def test_remedies_come_worst_first_and_each_once():
    rod = make_rod(
        left_shoe=FLAT_BOTTOM_SHOE, right_shoe=BULLHEAD_SHOE, condition=Condition.UNKNOWN
    )
    position = make_position()
    assert assess(rod, position).remedies == (
        "go and check: gooseneck and shoes for cracks, welds, bushes and threads",
        "fit bullhead shoes (orange): the left one is wrong; then set the length again",
        "after the change of shoes, measure its length over the backs and set it",
    )


def test_rods_alike_but_for_their_tags_are_one_fact():
    assert make_rod("ST-1") == make_rod("ST-2")
    assert len({make_rod("ST-1"), make_rod("ST-2")}) == 1
    assert replace(make_position(), order=1) == make_position()
    assert MachineFacts("M-1") == MachineFacts("M-2")


def test_one_rod_is_judged_without_loading_the_heavy_arithmetic():
    """The table loads numpy and the failures networkx; one rod at one place needs neither."""
    asked = (
        "import sys; from tests.assets.engineering.rods import make_position, make_rod; "
        "from assets.engineering.suitability import assess; assess(make_rod(), make_position()); "
        "print(sorted({'numpy', 'networkx', 'scipy', 'django'} & set(sys.modules)))"
    )
    said = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"


def test_a_hand_lever_on_points_without_a_lock_has_nothing_to_unlock():
    lever = make_machine(
        kind=MachineKind.HAND_LEVER,
        stroke_mm=90.0,
        unlocking_stroke_mm=None,
        internal_lost_motion_mm=0.0,
    )
    place = make_place(1, machine=lever, drive_ratio=1.0)
    found = assess(make_rod(), PositionFacts(make_points(place, use=Use.TRAILING), 1))
    assert found["lost motion"].outcome is SUITS
    assert "may have 0 to 7 mm" in found["lost motion"].reason
    assert found["lost motion"].reason.endswith(
        " No lock is recorded on these trailing points, so none is taken to need unlocking."
    )


@pytest.mark.parametrize("use", [Use.FACING, Use.BOTH, Use.UNKNOWN])
def test_points_used_facing_are_locked_by_something_even_where_no_lock_is_recorded(use):
    """Was "the drive matches, 0 mm spare for the lock" by a lock that nobody had recorded."""
    rodding = make_machine(
        kind=MachineKind.RODDING,
        stroke_mm=90.0,
        unlocking_stroke_mm=None,
        internal_lost_motion_mm=0.0,
    )
    place = make_place(1, machine=rodding, drive_ratio=1.0)
    answer = assess(make_rod(), PositionFacts(make_points(place, use=use), 1))["lost motion"]
    assert answer.outcome is UNSURE
    assert "not known: its unlocking stroke" in answer.reason


def test_a_permitted_opening_that_moves_no_switch_is_no_movement():
    """Raised an error for the whole page."""
    position = make_position(place={"permitted_travel": Interval(-5.0, 98.0)})
    assert assess(make_rod(), position)["lost motion"].outcome is UNSURE
