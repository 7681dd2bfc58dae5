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
    DriveLug,
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
    Towards,
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
    Case(
        "a black stretcher's shoe on the wrong rail cannot be changed", "right shoe", MISFIT,
        "the rail is flat-bottom", "use a stretcher with flat-bottom shoes",
        {"generation": BLACK, "right_shoe": ShoeFacts(Profile.BULLHEAD, ShoeColour.NONE)},
        position={"points": FLAT_BOTTOM},
    ),
    Case(
        "wrong shoe on a stretcher without paint", "left shoe", UNSURE,
        "whether its shoes can be changed depends on the generation", "the stretcher's paint",
        {"generation": NO_PAINT}, position={"points": FLAT_BOTTOM},
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
        "the opposite side to the others", "insulation side", WORK,
        "Insulated on the right, the others on the left", "turn it end for end",
        {"insulation_side": RIGHT},
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
        "With this stretcher in place, turned end for end, the track circuit is not shorted.",
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
    Case("a straight stretcher without a kicker goes either way round", "turning end for end",
         SUITS,
         "has no kicker to prevent it", rod=WRONG_WAY),
    Case("a stretcher known to go either way", "turning end for end", SUITS, "and can be",
         rod=WRONG_WAY | {"can_be_turned": True, "kicker": True}),
    Case("a stretcher that cannot be turned", "turning end for end", MISFIT, "and cannot be",
         "use a stretcher insulated on the left", WRONG_WAY | {"can_be_turned": False}),
    Case("a kicker would point the wrong way", "turning end for end", MISFIT,
         "kicker would then point the wrong way", "use a stretcher insulated on the left",
         WRONG_WAY | {"kicker": True}),
    Case("a kicker nobody has looked for", "turning end for end", UNSURE,
         "whether it can be is not known", "kicker, gooseneck and drive lug",
         WRONG_WAY | {"kicker": None}),
    Case("a gooseneck with room both ways", "timber space", SUITS,
         "100 mm ahead and 100 mm behind", rod=GOOSENECK),
    Case("a gooseneck against the timber, insulation on the right side", "timber space", WORK,
         "needs 60 mm; there is 30 mm ahead", "P-way to move or replace the timber; do not cut it",
         GOOSENECK, position=TIGHT_AHEAD),
    Case("a gooseneck that turning brings clear", "turning end for end", SUITS,
         "Must be turned end for end", rod=GOOSENECK | {"insulation_side": BOTH},
         position=TIGHT_AHEAD),
    Case("a gooseneck against the timber ahead that cannot be turned",
         "turning end for end", MISFIT, "and cannot be",
         "use a straight stretcher, or one whose gooseneck points towards the heel",
         GOOSENECK | {"insulation_side": BOTH, "can_be_turned": False}, position=TIGHT_AHEAD),
    Case("a gooseneck against the timber behind whose kicker forbids turning",
         "turning end for end", MISFIT, "kicker would then point the wrong way",
         "use a straight stretcher, or one whose gooseneck points towards the toe",
         {"form": Form.GOOSENECK, "gooseneck_towards": Towards.HEEL, "kicker": True,
          "insulation_side": BOTH}, position={"place": {"space_behind_mm": 30.0}}),
    Case("the same gooseneck, judged turned", "timber space", SUITS,
         "points towards the heel", rod=GOOSENECK | {"insulation_side": BOTH},
         position=TIGHT_AHEAD),
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
    Case("only the shortest length known, and it will do", "length", SUITS,
         "its longest length not known", rod={"length_min_mm": 1322.0, "length_max_mm": None}),
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
    Case("only the longest length known, short by all that shims can ever do", "length", UNSURE,
         "its shortest length not known", "measure its shortest and longest length",
         {"length_min_mm": None, "length_max_mm": 1308.0}),
    Case("only the longest length known, short by more than shims can ever do", "length", MISFIT,
         "13 mm too short", "use a stretcher that holds",
         {"length_min_mm": None, "length_max_mm": 1307.0}),
    Case("only the shortest length known, the need just at it", "length", SUITS,
         "its longest length not known", rod={"length_min_mm": 1330.0, "length_max_mm": None}),
    Case("a need with no upper end", "length", SUITS, "needed here at least 1320 mm",
         position=needing(1320.0, None)),
]  # fmt: skip

SLEEVE = LostMotionFacts("LM-1", 20.0, 30.0, takes(DriveLug.THIN))
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
    Case("no lug at a driven place", "drive lug", MISFIT, "no drive lug",
         "use a stretcher with a drive lug", {"drive_lug": DriveLug.NONE}),
    Case("no lug where nothing drives", "drive lug", SUITS, "Not driven here: no lug is needed",
         rod={"drive_lug": DriveLug.NONE}, position={"place": {"driven": False}}),
    Case("a raised head where nothing drives", "drive lug", SUITS, "one does no harm",
         rod={"drive_lug": DriveLug.RAISED_HEAD}, position={"place": {"driven": False}}),
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
    stroke=200.0, unlocking=60.0, internal=70.0, fitting=None, travel=88.0, **machine
) -> dict:
    return {
        "place": {
            "machine": make_machine(
                stroke_mm=stroke, unlocking_stroke_mm=unlocking,
                internal_lost_motion_mm=internal, **machine,
            ),
            "lost_motion_fitting": fitting and LostMotionFacts("LM-1", *fitting),
            "travel_mm": travel,
        }
    }  # fmt: skip


LOST_MOTION = [
    Case("enough inside the machine", "lost motion", SUITS,
         "may have 0 to 42 mm; no lost-motion fitting: 10 mm spare for the lock, 42 mm for"),
    Case("not enough for the lock to clear", "lost motion", WORK,
         ": 25 mm too little for the lock to clear",
         "fit or set a lost-motion fitting of 25 to 77 mm", position=drive(internal=35.0)),
    Case("a fitting in the window", "lost motion", SUITS, "the fitting has 30 to 40 mm: 5 mm spare",
         position=drive(internal=35.0, fitting=(30.0, 40.0))),
    Case("a fitting that swallows the opening", "lost motion", WORK,
         ": 8 mm too much for the switch to open fully", "fitting of 0 to 42 mm",
         position=drive(fitting=(10.0, 50.0))),
    Case("a fitting just enough for the lock and too much for the switch", "lost motion", WORK,
         ": 13 mm too much for the switch to open fully.", "fitting of 25 to 77 mm",
         position=drive(internal=35.0, fitting=(25.0, 90.0))),
    Case("a fitting just enough for the switch and too little for the lock", "lost motion", WORK,
         ": 5 mm too little for the lock to clear.", "fitting of 25 to 77 mm",
         position=drive(internal=35.0, fitting=(20.0, 77.0))),
    Case("a stroke too short for any fitting", "lost motion", MISFIT,
         "needs 60 mm of lost motion outside the machine, the stroke leaves 32 mm",
         "a longer stroke", position=drive(stroke=120.0, internal=0.0)),
    Case("a machine nobody has measured", "lost motion", UNSURE, "not known: the stroke",
         "its unlocking stroke", position=drive(stroke=None, unlocking=None)),
    Case("a fitting nobody has measured", "lost motion", UNSURE, "lost motion of the fitting",
         "the lost motion of the fitting", position=drive(fitting=(None, None))),
    Case("a lever of unknown ratio", "lost motion", UNSURE, "the lever ratio of the drive",
         "the lever ratio", position=drive(kind=MachineKind.RODDING)),
    Case("a lever of which the lock may need to clear", "lost motion", UNSURE,
         "not known: its unlocking stroke", "its unlocking stroke",
         position=drive(unlocking=None, kind=MachineKind.HAND_LEVER, lever_ratio=1.0)),
    Case("figures that cannot be true", "lost motion", UNSURE, "must be above 0", "the figures",
         position=drive(stroke=0.0)),
    Case("not driven", "lost motion", SUITS, "so lost motion does not matter",
         position={"place": {"driven": False, "machine": None}}),
    Case("driven by nobody knows what", "lost motion", UNSURE, "what drives this place",
         "the machine and its strokes", position={"place": {"machine": None}}),
]  # fmt: skip

# New South Wales TMG E1583 V1.0 (2009), 4.3.2: the lock must enter with 1.6 mm at the toe
NOTCHES = [
    Case("no lock at the place", "lock notches", SUITS, "No lock acts at this place."),
    Case("notches that match", "lock notches", SUITS,
         "108 mm apart, movement needed here 108 mm: 0 mm out", lock=True, position=AT_LOCK),
    Case("notches out by as much as the lock bears", "lock notches", SUITS, "1.6 mm out",
         rod={"notch_distance_mm": 106.4}, lock=True, position=AT_LOCK),
    Case("notches out by a little more than the lock bears", "lock notches", MISFIT,
         "1.7 mm out, more than 1.6 mm", "cut new notches",
         {"notch_distance_mm": 106.3}, lock=True, position=AT_LOCK),
    Case("notches cut for other points", "lock notches", MISFIT,
         "96 mm apart, movement needed here 108 mm: 12 mm out",
         "cut new notches if they fall clear of the old ones, or use another stretcher",
         {"notch_distance_mm": 96.0}, lock=True, position=AT_LOCK),
    Case("notches not cut yet", "lock notches", WORK, "not cut yet",
         "cut the notches to suit on site (108 mm apart), then prove with the lock test",
         {"notches": Notches.UNCUT, "notch_distance_mm": None}, lock=True, position=AT_LOCK),
    Case("cut notches nobody has measured", "lock notches", UNSURE, "their distance is not known",
         "the distance between the notches", {"notch_distance_mm": None}, lock=True,
         position=AT_LOCK),
    Case("cut notches and an unknown movement", "lock notches", UNSURE,
         "the movement needed here is not known", "the movement at the lock", lock=True,
         position={"order": 0, "place": {"travel_mm": None}}),
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
         "its bolts and nuts", {"fixings": Fixings.UNKNOWN}),
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

NUMBER = [
    Case("as many as the design needs", "number of stretchers", SUITS,
         "2 with this one, not counting the lock stretcher; at least 2 are needed."),
    Case("one short of what the design needs", "number of stretchers", WORK,
         "at least 3 are needed", "fit 1 more before the points are used",
         position={"points": {"least_stretchers": 3}}),
    Case("never fewer than two, whatever the design says", "number of stretchers", WORK,
         "1 with this one, not counting the lock stretcher; at least 2",
         "fit 1 more", position={"others": (), "points": {"least_stretchers": 1}}),
    Case("two, and a design nobody knows", "number of stretchers", UNSURE,
         "what this switch design needs is not known", "the length of the switch",
         position={"points": {"least_stretchers": None}}),
    Case("one, and a design nobody knows", "number of stretchers", WORK, "at least 2 are needed",
         "fit 1 more", position={"others": (), "points": {"least_stretchers": None}}),
    Case("the lock stretcher itself is not counted", "number of stretchers", WORK,
         "1 with this one, not counting the lock stretcher", "fit 1 more",
         lock=True, position=AT_LOCK),
]  # fmt: skip

CASES = [
    *ROLE, *SHOES, *INSULATION, *CONTINUITY, *TURNING, *LENGTH, *DRIVE, *LOST_MOTION, *NOTCHES,
    *KICKER, *STATE, *NUMBER,
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
    turned = assess(make_rod(insulation_side=RIGHT), make_position(place=BARE_DRIVE))
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
        unlocking_stroke_mm=None,
        internal_lost_motion_mm=0.0,
        lever_ratio=1.0,
    )
    found = assess(make_rod(), PositionFacts(make_points(make_place(1, machine=lever)), 1))
    assert found["lost motion"].outcome is SUITS
    assert "may have 0 to 112 mm" in found["lost motion"].reason
