"""What a signalling technician of long practice would say of a machine, or of a lost-motion
fitting, offered to a place with a rod in it.

The cases are common practice in the trade, no source. Unless a case changes it, the place is the
driven one of ``make_position``: a plain lug, and a switch that moves 88 mm there.
"""

from dataclasses import dataclass, field, replace

import pytest

from assets.engineering.facts import LostMotionFacts, Ticked
from assets.engineering.suitability import (
    Outcome,
    assess,
    assess_lost_motion_fitting,
    assess_machine,
)
from assets.engineering.suitability.drive_parts import FITTING_RULES, MACHINE_RULES
from assets.engineering.words import Condition, DriveLug, Ends, InsulationSide, MachineKind, Role
from tests.assets.engineering.rods import make_machine, make_position, make_rod, takes

SUITS, WORK, UNSURE, MISFIT = Outcome
MOTOR, HAND, RODDING, SUPPLEMENTARY, NO_KIND = MachineKind
NOT_DRIVEN = {"driven": False}


def make_sleeve(least=25.0, most=30.0, *lugs: DriveLug, **facts) -> LostMotionFacts:
    """A good sleeve for plain lugs."""
    known = {"suits_lugs": takes(*(lugs or [DriveLug.PLAIN])), "condition": Condition.GOOD}
    return LostMotionFacts("LM-1", least, most, **{**known, **facts})


def make_driven(order: int = 1, elsewhere: dict | None = None, points=None, **place):
    """The driven place with a rod in it; ``elsewhere`` changes other places, by number."""
    known = {"stretcher": make_rod()} if order == 1 else {}
    position = make_position(order, place={**known, **place}, points=points)
    for other, changes in (elsewhere or {}).items():
        changed = position.points.with_place(other, **changes)
        position = replace(position, points=changed)
    return position


def lug(kind: DriveLug) -> dict:
    return {"stretcher": make_rod(drive_lug=kind)}


def inside(mm: float | None, **machine) -> dict:
    """A motor machine with this lost motion inside; its unlocking stroke is 60 mm."""
    return {"machine": make_machine(internal_lost_motion_mm=mm, **machine)}


TOO_LITTLE = {"internal_lost_motion_mm": 35.0, "stroke_mm": 150.0}


@dataclass(frozen=True)
class Case:
    name: str
    rule: str
    outcome: Outcome
    says: str
    remedy: str = ""
    part: dict = field(default_factory=dict)
    place: dict = field(default_factory=dict)


def at_second(**first) -> dict:
    """The back rod's place, driven, with the first one as given."""
    return {"order": 2, "driven": True, "elsewhere": {1: first}}


MACHINES = [
    Case("a place with a drive", "driven", SUITS, "Driven here."),
    Case("a place without a drive", "driven", MISFIT, "Not driven here, so no machine is needed.",
         "offer it to a driven place", place=NOT_DRIVEN),
    Case("a place that may be driven", "driven", UNSURE, "driven is not known",
         "is there a drive rod", place={"driven": None}),
    Case("a motor machine by itself", "kind of machine", SUITS, "Motor machine: no other machine"),
    Case("a machine nobody can name", "kind of machine", UNSURE, "kind of this machine",
         "rodding from a frame or supplementary drive", {"kind": NO_KIND}),
    Case("a supplementary drive at the first driven place", "kind of machine", MISFIT,
         "no place nearer the toe is driven", "works the points by itself",
         {"kind": SUPPLEMENTARY}),
    Case("a supplementary drive at the second driven place", "kind of machine", SUITS,
         "the first stretcher, nearer the toe, is driven too", "", {"kind": SUPPLEMENTARY},
         at_second()),
    Case("a supplementary drive behind a driven lock stretcher", "kind of machine", SUITS,
         "the lock stretcher, nearer the toe, is driven too", "", {"kind": SUPPLEMENTARY},
         {"elsewhere": {0: {"driven": True}}}),
    Case("a supplementary drive behind a place that may be driven", "kind of machine", UNSURE,
         "whether the first stretcher is driven is not known", "which stretchers",
         {"kind": SUPPLEMENTARY}, at_second(driven=None)),
    Case("a second motor machine", "kind of machine", WORK,
         "these points already have one at the first stretcher (motor machine)",
         "agreement to two machines", {}, at_second()),
    Case("a motor machine beside one nobody can name", "kind of machine", UNSURE,
         "the kind of the machine at the first stretcher is not known", "", {},
         at_second(machine=make_machine(kind=NO_KIND))),
    Case("a motor machine ahead of a supplementary drive", "kind of machine", SUITS, "Motor",
         place={"elsewhere": {2: {"driven": True, "machine": make_machine(kind=SUPPLEMENTARY)}}}),
    Case("any machine where nothing is driven", "kind of machine", SUITS, "does not matter",
         "", {"kind": NO_KIND}, NOT_DRIVEN),
    Case("a motor machine on a plain lug", "drive lug", SUITS,
         "Stretcher ST-014: driven by motor machine on its plain lug."),
    Case("a motor machine on a raised head", "drive lug", SUITS, "raised head lug",
         place=lug(DriveLug.RAISED_HEAD)),
    Case("a hand lever on a raised head", "drive lug", MISFIT,
         "higher angle than a mechanical drive (hand lever)", "a plain lug", {"kind": HAND},
         lug(DriveLug.RAISED_HEAD)),
    Case("rodding on a raised head", "drive lug", MISFIT, "(mechanical rodding from a frame)", "",
         {"kind": RODDING}, lug(DriveLug.RAISED_HEAD)),
    Case("a stretcher without a lug", "drive lug", MISFIT, "has no drive lug",
         "a stretcher with a drive lug",
         place=lug(DriveLug.NONE)),
    Case("a lug at each end", "end of the drive lug", SUITS,
         "the side of the machine does not matter"),
    # Was "suits", though the drive rod would have to reach across the track.
    Case("a lug at the far end", "end of the drive lug", MISFIT, "the machine is on the left",
         "its drive lug at the left end", place={"stretcher": make_rod(lug_end=Ends.RIGHT)}),
    Case("a lug at an end nobody recorded", "end of the drive lug", UNSURE,
         "the end of this stretcher that carries the drive lug", "",
         place={"stretcher": make_rod(lug_end=Ends.UNKNOWN)}),
    Case("a driven place with no stretcher in it", "drive lug", UNSURE,
         "no stretcher is recorded here",
         "the stretcher at this place and its drive lug", place={"stretcher": None}),
    Case("the fitting there takes another lug", "drive lug", WORK, "takes thin lugs",
         "one that takes a plain lug",
         place={"lost_motion_fitting": make_sleeve(25.0, 30.0, DriveLug.THIN)}),
    Case("enough lost motion inside", "lost motion", SUITS,
         "10 mm spare for the lock, 7 mm for the opening"),
    Case("too little inside, and no fitting", "lost motion", WORK, "25 mm too little",
         "fit or set a lost-motion fitting of 25 to 32 mm", TOO_LITTLE),
    Case("a throw too long, and no fitting", "lost motion", WORK, "the throw goes 32 mm too far",
         "a lost-motion fitting of 32 to 47 mm, 42 best", {"stroke_mm": 200.0}),
    Case("too little inside, made up by the fitting there", "lost motion", SUITS,
         "5 mm spare for the lock", "", TOO_LITTLE,
         {"lost_motion_fitting": make_sleeve(30.0, 32.0)}),
    Case("a stroke too short", "lost motion", MISFIT, "no fitting suits", "longer stroke",
         {"stroke_mm": 120.0, "internal_lost_motion_mm": 0.0}),
    Case("a machine nobody has measured", "lost motion", UNSURE, "not known: the stroke",
         "", {"stroke_mm": None}),
    Case("a stretcher insulated on the left, all insulated alike", "continuity", SUITS,
         "With this machine in place the track circuit is not shorted.", "",
         {"drive_insulated": False, "lock_rod_insulated": False}),
    Case("a bare machine joins a stretcher insulated on the other side", "continuity", MISFIT,
         "is shorted: left rail - first stretcher - machine - lock stretcher - right rail",
         "drive rod and lock rod are insulated",
         {"drive_insulated": False, "lock_rod_insulated": False},
         {"stretcher": make_rod(insulation_side=InsulationSide.RIGHT)}),
    Case("an insulated machine keeps them apart", "continuity", SUITS, "is not shorted",
         place={"stretcher": make_rod(insulation_side=InsulationSide.RIGHT)}),
    Case("a machine whose insulation nobody has looked at", "continuity", UNSURE, "may be shorted",
         "insulated", {"drive_insulated": None, "lock_rod_insulated": None},
         {"stretcher": make_rod(insulation_side=InsulationSide.RIGHT)}),
    Case("rails joined by a bare stretcher already", "continuity", WORK,
         "already shorted, without this machine", "correct that first", {},
         {"stretcher": make_rod(insulation_side=InsulationSide.NONE)}),
    Case("points without a track circuit", "continuity", SUITS, "Not track-circuited", "",
         {"drive_insulated": False}, {"points": {"track_circuited": False}}),
    Case("joined, if there is a track circuit", "continuity", UNSURE,
         "if there is one", "",
         {"drive_insulated": False, "lock_rod_insulated": False},
         {"stretcher": make_rod(insulation_side=InsulationSide.RIGHT),
          "points": {"track_circuited": None}}),
    Case("never examined", "condition", UNSURE, "this machine has not been examined",
         "its drive and lock rods", {"condition": Condition.UNKNOWN}),
    Case("scrap", "condition", MISFIT, "Scrap.", "use another machine",
         {"condition": Condition.SCRAP}),
    Case("in need of repair", "condition", WORK, "Needs repair", "",
         {"condition": Condition.REPAIR}),
    Case("an open defect", "open defects", WORK, "lock slide bent", "close them",
         {"open_defects": ("lock slide bent",)}),
    Case("in quarantine", "quarantine", MISFIT, "quarantine", "use another machine until",
         {"quarantined": True}),
]  # fmt: skip

SHORT = inside(35.0, stroke_mm=150.0)  # the lock needs 25 mm more, 32 mm still open the switch
LONG = {"machine": make_machine(stroke_mm=200.0)}  # a throw 32 mm too long
FITTINGS = [
    Case("a place with a drive", "driven", SUITS, "Driven here."),
    Case("a place without a drive", "driven", MISFIT, "no fitting is needed", "a driven place",
         place=NOT_DRIVEN),
    Case("a machine that lacks lost motion", "needed", SUITS,
         "the lock needs 25 mm of lost motion outside the machine", place=SHORT),
    Case("a machine with enough inside", "needed", MISFIT,
         "the lock clears with 10 mm to spare, and the throw does not go too far", "fit none here"),
    # Was "not needed", though nothing else takes up the throw.
    Case("a throw too long without one", "needed", SUITS,
         "Needed: without one the throw goes 32 mm too far.", place=LONG),
    Case("a throw that may be too long without one", "needed", UNSURE,
         "whether the throw goes too far without one", "greatest permitted switch opening",
         place={**LONG, "permitted_travel": None}),
    Case("enough inside, and nobody knows what the switch moves", "needed", UNSURE,
         "not known: the movement needed here", "the movement needed here",
         place={"travel_mm": None, "permitted_travel": None}),
    Case("too little inside, whatever the switch moves", "needed", SUITS,
         "the lock needs 25 mm", place={**SHORT, "travel_mm": None, "permitted_travel": None}),
    Case("a machine with just enough inside", "needed", MISFIT, "clears with 0 mm to spare",
         place=inside(60.0, stroke_mm=150.0)),
    Case("nobody knows what is inside", "needed", UNSURE, "the lost motion inside it", "",
         place=inside(None)),
    Case("no machine recorded", "needed", UNSURE, "what drives this place is not recorded",
         "the machine and its strokes", place={"machine": None}),
    Case("a place without a drive needs none", "needed", SUITS, "so none is needed",
         place=NOT_DRIVEN),
    Case("a sleeve for the lug there", "drive lug", SUITS, "takes plain lugs; this one is plain"),
    Case("a sleeve for another lug", "drive lug", MISFIT, "takes thin lugs; this one is plain",
         "one that takes a plain lug", {"suits_lugs": takes(DriveLug.THIN)}),
    Case("a sleeve nobody has tried", "drive lug", UNSURE,
         "whether the lost-motion fitting here takes plain lugs is not known", "offer the",
         {"suits_lugs": Ticked()}),
    Case("a sleeve tried on another lug only", "drive lug", UNSURE,
         "takes plain lugs is not known; it is recorded for thin lugs; this one is plain",
         "offer the", {"suits_lugs": Ticked(frozenset({DriveLug.THIN}))}),
    Case("a sleeve that does not take this lug, the others not tried", "drive lug", MISFIT,
         "takes no such lug; this one is plain", "one that takes a plain lug",
         {"suits_lugs": Ticked(no=frozenset({DriveLug.PLAIN}))}),
    Case("a raised head on a motor machine", "drive lug", SUITS, "takes raised head lugs", "",
         {"suits_lugs": takes(DriveLug.RAISED_HEAD)}, lug(DriveLug.RAISED_HEAD)),
    Case("a driven place with no stretcher in it", "drive lug", UNSURE,
         "no stretcher is recorded here", "",
         place={"stretcher": None}),
    Case("a range within the window", "lost motion", SUITS,
         "25 to 32 mm, 27 best; the one fitted has 25 to 30 mm", place=SHORT),
    Case("a range that takes up the throw", "lost motion", SUITS,
         "0 mm before the throw goes too far", "",
         {"lost_motion_min_mm": 32.0, "lost_motion_max_mm": 47.0}, LONG),
    Case("a range that leaves the throw too long", "lost motion", MISFIT,
         "the throw goes 7 mm too far",
         "not this one: fit or set a lost-motion fitting of 32 to 47",
         place=LONG),
    Case("a range that may leave the throw too long", "lost motion", UNSURE,
         "whether the throw goes too far: it is 17 mm more", "greatest permitted",
         place={**LONG, "permitted_travel": None}),
    Case("a range that reaches into the window", "lost motion", WORK,
         "5 mm too little for the lock to clear", "of 25 to 32 mm", {"lost_motion_min_mm": 20.0},
         SHORT),
    Case("a range short of the window", "lost motion", MISFIT, "too little for the lock",
         "not this one: fit or set a lost-motion fitting of 25 to 32 mm",
         {"lost_motion_min_mm": 10.0, "lost_motion_max_mm": 20.0}, SHORT),
    Case("a range beyond the window", "lost motion", MISFIT, "58 mm too much", "not this one",
         {"lost_motion_min_mm": 80.0, "lost_motion_max_mm": 90.0}, SHORT),
    Case("one figure beyond the window", "lost motion", MISFIT, "48 mm too much", "not this one",
         {"lost_motion_min_mm": None, "lost_motion_max_mm": 80.0}, SHORT),
    Case("a fitting nobody has measured", "lost motion", UNSURE, "the lost motion of the fitting",
         "", {"lost_motion_min_mm": None, "lost_motion_max_mm": None}, SHORT),
    Case("a stroke that no fitting helps", "lost motion", MISFIT, "no fitting suits", "",
         place=inside(0.0, stroke_mm=120.0)),
    Case("a movement not worked out yet", "lost motion", UNSURE, "the movement needed here", "",
         place={**SHORT, "travel_mm": None, "permitted_travel": None}),
    Case("rails that are apart stay apart", "continuity", SUITS, "With this fitting in place"),
    Case("rails joined by a bare stretcher already", "continuity", WORK, "without this fitting", "",
         place={"stretcher": make_rod(insulation_side=InsulationSide.NONE)}),
    Case("never examined", "condition", UNSURE, "this fitting has not been examined", "its pins",
         {"condition": Condition.UNKNOWN}),
    Case("in quarantine", "quarantine", MISFIT, "quarantine", "use another fitting until",
         {"quarantined": True}),
    Case("an open defect", "open defects", WORK, "pin worn", "", {"open_defects": ("pin worn",)}),
]  # fmt: skip


def name(case: Case) -> str:
    return f"{case.rule}: {case.name}"


def check(case: Case, assessment) -> None:
    answer = assessment[case.rule]
    assert answer.outcome is case.outcome, answer
    assert case.says in answer.reason
    assert case.remedy in answer.remedy
    assert bool(answer.remedy) is (case.outcome is not SUITS)


def of_machine(case: Case):
    machine = make_machine(**{"condition": Condition.GOOD, **case.part})
    return assess_machine(machine, make_driven(**case.place))


def of_fitting(case: Case):
    fitting = replace(make_sleeve(), **case.part)
    return assess_lost_motion_fitting(fitting, make_driven(**case.place))


@pytest.mark.parametrize("case", MACHINES, ids=name)
def test_a_machine_at_a_place(case):
    check(case, of_machine(case))


@pytest.mark.parametrize("case", FITTINGS, ids=name)
def test_a_lost_motion_fitting_at_a_place(case):
    check(case, of_fitting(case))


def test_a_good_machine_suits_and_every_rule_speaks_once():
    found = assess_machine(make_machine(condition=Condition.GOOD), make_driven())
    assert found.outcome is SUITS
    assert [f.rule for f in found.answers] == list(MACHINE_RULES)


def test_a_needed_fitting_suits_and_every_rule_speaks_once():
    found = assess_lost_motion_fitting(make_sleeve(), make_driven(**SHORT))
    assert found.outcome is SUITS
    assert [f.rule for f in found.answers] == list(FITTING_RULES)


def test_the_part_that_is_there_now_is_out_of_it():
    there = make_driven(**inside(None, kind=HAND), lost_motion_fitting=make_sleeve(None, None))
    assert assess_machine(make_machine(), there)["kind of machine"].outcome is SUITS
    offered = assess_lost_motion_fitting(make_sleeve(), there.with_place(**SHORT))
    assert offered["lost motion"].outcome is SUITS


def test_a_fitted_rod_is_judged_as_it_lies_and_not_as_it_might_be_turned():
    """A rod offered would be turned to the side of the others; one that is in lies as it lies."""
    bare = make_machine(drive_insulated=False, lock_rod_insulated=False)
    wrong_way = make_rod(insulation_side=InsulationSide.RIGHT, can_be_turned=True)
    place = make_driven(stretcher=wrong_way, machine=bare)
    assert assess(wrong_way, place)["continuity"].outcome is SUITS
    assert assess_machine(bare, place)["continuity"].outcome is MISFIT


def test_whatever_is_not_known_is_said_to_be_so():
    """Nothing known of the machine, nor of the place: no rule guesses."""
    blank = make_driven(
        role=Role.DRIVE, driven=None, stretcher=None, machine=None, travel_mm=None,
        permitted_travel=None, points={"track_circuited": None},
    )  # fmt: skip
    found = assess_machine(replace(make_machine(), kind=NO_KIND, stroke_mm=None), blank)
    unsure = {f.rule for f in found.answers if f.outcome is UNSURE}
    assert {"driven", "kind of machine", "drive lug", "lost motion", "condition"} <= unsure
