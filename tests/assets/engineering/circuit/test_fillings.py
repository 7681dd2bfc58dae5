"""Joined, not joined or cannot say, against every way of filling in what nobody has looked at.

The metal is written out here a second time, from the facts alone, and joined by a union-find of
its own: joined only where every filling joins the rails, not joined only where none does. What the
facts mean on the ground is common practice, no source, but for the two pieces of an insulated
soleplate or stretcher (GK/RC0752 issue 2, 1998, withdrawn, p. B13) and what a soleplate holds
(IRSE News, "Points, part two", read as an excerpt).
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, product
from math import prod

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from assets.engineering.circuit.drawing import arrangement
from assets.engineering.continuity import continuity
from assets.engineering.facts import LostMotionFacts, PointsFacts
from assets.engineering.words import (
    DetectionRods,
    DetectorOn,
    Ends,
    Footing,
    InsulationSide,
    MachineKind,
    Role,
    Side,
    Soleplate,
)
from tests.assets.engineering.rods import make_machine, make_place, make_points, make_rod

MOST_FILLINGS = 3_000
PIECES = (Footing.LEFT, Footing.RIGHT)
SIDES = (Side.LEFT, Side.RIGHT)
# Points whose rails are joined anyway tell little, so rods that are not insulated come seldom.
INSULATED = [
    *3 * [InsulationSide.LEFT, InsulationSide.RIGHT, InsulationSide.BOTH],
    InsulationSide.NONE,
]
PLATES = [*3 * [Soleplate.NONE, Soleplate.INSULATED], Soleplate.BARE]

# --- the metal, a second time -------------------------------------------------------------------


class Metal:
    """Parts joined one to the other, as a union-find; insulations by name."""

    def __init__(self):
        self.above, self.insulated = {}, []

    def root(self, part):
        while self.above.get(part, part) != part:
            part = self.above[part]
        return part

    def join(self, one, other, insulation=""):
        if insulation:
            self.insulated.append((one, other, insulation))
        else:
            self.above[self.root(one)] = self.root(other)

    @property
    def joined(self) -> bool:
        return self.root("left") == self.root("right")

    def smallest(self) -> set[tuple[str, ...]]:
        """Every smallest set of insulations that joins the rails when it fails."""
        names = sorted({name for *_, name in self.insulated})
        for count in range(1, len(names) + 1):
            found = {names for names in combinations(names, count) if self.joined_by(names)}
            if found:
                return found
        return set()

    def joined_by(self, failing) -> bool:
        after = Metal()
        after.above = dict(self.above)
        for one, other, name in self.insulated:
            if name in failing:
                after.join(one, other)
        return after.joined


def metal(points: PointsFacts, known: dict) -> Metal:
    """All joints of points of which everything is known; ``known`` has what no field holds."""
    m = Metal()
    if points.soleplate is Soleplate.BARE:
        m.join("left", "plate")
        m.join("plate", "right")
    elif points.soleplate is Soleplate.INSULATED:
        m.join("left", "right", "insulation of the soleplate")

    def stands(part, on):
        if points.soleplate is Soleplate.INSULATED and on in ("left", "right"):
            m.join(part, str(on.value))
        elif points.soleplate is Soleplate.BARE and on in ("left", "right"):
            m.join(part, "plate")

    stands("casting", points.lock_casting)
    stands("main", points.machine_on)
    if points.detection_rods is not DetectionRods.NONE:
        for side in SIDES:
            kept = points.detection_rods in (side.value, "both")
            m.join(
                side.value, "detector", f"insulation of the {side} detection rod" if kept else ""
            )
        stands("detector", points.detector_on)
        if points.detector_on is DetectorOn.MACHINE:
            m.join("detector", "main")
    main = main_machine(points)
    for place in points.places:
        rod = place.stretcher
        if rod is None:
            continue
        for side in SIDES:
            kept = f"{side} insulation of the {place.name}"
            m.join(place.name, side.value, kept if rod.insulation_side in (side, "both") else "")
        machine = place.machine or main
        name = machine_name(machine)
        if place.driven:
            end = points.machine_side.value if rod.lug_end is Ends.BOTH else rod.lug_end.value
            beyond = rod.lug_beyond and rod.insulation_side in (end, "both")
            insulated = known.get(
                f"drive {place.order}", place.machine and place.machine.drive_insulated
            )
            kept = f"drive rod insulation at the {place.name}" if insulated else ""
            m.join(end if beyond else place.name, name, kept)
        if place.role is Role.LOCK:
            insulated = known.get("lock rod", machine and machine.lock_rod_insulated)
            m.join(place.name, name, "lock rod insulation" if insulated else "")
            if points.lock_casting is not Footing.NONE:
                m.join(place.name, "casting")
    between = known.get("link")
    if between == "bare":
        m.join("main", "supplementary")
    elif between == "insulated":
        called = "machine" if main else "drive (not recorded)"
        m.join(
            "main", "supplementary", f"insulation between the {called} and the supplementary drive"
        )
    return m


def main_machine(points):
    machines = [place.machine for place in points.places if place.machine]
    return next((m for m in machines if m.kind is not MachineKind.SUPPLEMENTARY), None)


def machine_name(machine):
    return "supplementary" if machine and machine.kind is MachineKind.SUPPLEMENTARY else "main"


# --- every filling ------------------------------------------------------------------------------


def fillings(points: PointsFacts) -> list[tuple[str, int | None, tuple]]:
    """What is unknown: the fact, the place it is of (None: the points), and what it may be."""
    asked = []

    def ask(fact, order, value, answers):
        if value in answers:
            asked.append((fact, order, tuple(answers[value])))

    on = {Footing.UNKNOWN: (Footing.TIMBER, *PIECES), Footing.SOLEPLATE: PIECES}
    ask("soleplate", None, points.soleplate, {Soleplate.UNKNOWN: list(Soleplate)[:3]})
    ask("lock_casting", None, points.lock_casting, on)
    ask("machine_on", None, points.machine_on, on)
    all_rods = {DetectionRods.UNKNOWN: [r for r in DetectionRods if r is not DetectionRods.UNKNOWN]}
    ask("detection_rods", None, points.detection_rods, all_rods)
    pieces = (DetectorOn.LEFT, DetectorOn.RIGHT)
    anything = (DetectorOn.MACHINE, DetectorOn.TIMBER, *pieces)
    where = {DetectorOn.UNKNOWN: anything, DetectorOn.SOLEPLATE: pieces}
    ask("detector_on", None, points.detector_on, where)
    ask("machine_side", None, points.machine_side, {Side.UNKNOWN: SIDES})
    either = {None: (True, False)}
    for place in points.places:
        rod, order = place.stretcher, place.order
        if rod is None:
            continue
        sides = [side for side in InsulationSide if side is not InsulationSide.UNKNOWN]
        ask("insulation_side", order, rod.insulation_side, {InsulationSide.UNKNOWN: sides})
        if place.driven is not False and not (place.driven is None and place.role is Role.LOCK):
            ends = (Ends.LEFT, Ends.RIGHT)
            ask("lug_end", order, rod.lug_end, {Ends.UNKNOWN: ends, Ends.NONE: ends})
            ask("lug_beyond", order, rod.lug_beyond, either)
            ask("driven", order, place.driven, either)
            drive = place.machine and place.machine.drive_insulated
            ask(f"drive {order}", None, drive, either)
        if place.role is Role.LOCK:
            machine = place.machine or main_machine(points)
            ask("lock rod", None, machine and machine.lock_rod_insulated, either)
    if any(p.machine and p.machine.kind is MachineKind.SUPPLEMENTARY for p in points.places):
        asked.append(("link", None, ("apart", "insulated", "bare")))
    return asked


def filled(points, asked, answers) -> tuple[PointsFacts, dict]:
    known = {}
    for (fact, order, _), answer in zip(asked, answers, strict=True):
        if order is None and hasattr(points, fact):
            points = replace(points, **{fact: answer})
        elif order is None:
            known[fact] = answer
        elif fact == "driven":
            points = points.with_place(order, driven=answer)
        else:
            rod = replace(points.place(order).stretcher, **{fact: answer})
            points = points.with_rod(order, rod)
    return points, known


def every_metal(points: PointsFacts) -> Iterator[Metal]:
    asked = fillings(points)
    assume(prod(len(answers) for *_, answers in asked) <= MOST_FILLINGS)
    for answers in product(*(answers for *_, answers in asked)):
        yield metal(*filled(points, asked, answers))


# --- points by chance ---------------------------------------------------------------------------


def mostly(known, unknown):
    """One of the known four times in five."""
    return st.integers(0, 4).flatmap(lambda n: st.sampled_from(known) if n else st.just(unknown))


def known_words(vocabulary):
    return mostly([word for word in vocabulary if word != "unknown"], vocabulary("unknown"))


YES_NO = mostly([True, False], None)


@st.composite
def machines(draw, kind, tag):
    return make_machine(
        kind=kind, tag=tag, drive_insulated=draw(YES_NO), lock_rod_insulated=draw(YES_NO)
    )


@st.composite
def some_points(draw, soleplates=mostly(PLATES, Soleplate.UNKNOWN)):  # noqa: B008
    main = draw(st.none() | machines(MachineKind.MOTOR, "M-1"))
    extra = draw(st.none() | st.none() | machines(MachineKind.SUPPLEMENTARY, "M-2"))
    places = []
    for order in range(draw(st.integers(1, 4))):
        rod = make_rod(
            insulation_side=draw(mostly(INSULATED, InsulationSide.UNKNOWN)),
            lug_end=draw(mostly([Ends.BOTH, Ends.LEFT, Ends.RIGHT, Ends.NONE], Ends.UNKNOWN)),
            lug_beyond=draw(YES_NO),
        )
        places.append(
            make_place(
                order,
                stretcher=draw(st.sampled_from([rod, rod, rod, None])),
                driven=draw(YES_NO),
                machine={1: main, 2: extra}.get(order),
                lost_motion_fitting=draw(st.none() | st.just(LostMotionFacts("LM-1"))),
            )
        )
    return make_points(
        *places,
        soleplate=draw(soleplates),
        lock_casting=draw(known_words(Footing)),
        machine_on=draw(known_words(Footing)),
        detection_rods=draw(
            mostly([DetectionRods.NONE, DetectionRods.BOTH], None).flatmap(
                lambda rods: known_words(DetectionRods) if rods is None else st.just(rods)
            )
        ),
        detector_on=draw(known_words(DetectorOn)),
        machine_side=draw(known_words(Side)),
    )


SLOW = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)


@SLOW
@given(some_points())
def test_the_answer_is_that_of_every_filling_or_cannot_say(points):
    answers = {one.joined for one in every_metal(points)}
    assert arrangement(points).bridged is (None if len(answers) > 1 else answers.pop())


@SLOW
@given(some_points(st.sampled_from([Soleplate.NONE, Soleplate.INSULATED])))
def test_what_must_fail_is_the_least_of_every_filling(points):
    found = continuity(points)
    assume(found.bridged is False)
    ways = {frozenset(one.smallest()) for one in every_metal(points)}
    sizes = {len(next(iter(sets))) for sets in ways if sets}
    assert found.least_failures == min(sizes, default=None)
    least = {names for sets in ways for names in sets if len(names) == found.least_failures}
    assert set(found.failure_sets) == least
    assert found.exact is (len(ways) == 1)


@SLOW
@given(some_points(), st.randoms(use_true_random=False))
def test_finding_out_one_thing_more_never_turns_an_answer_round(points, chance):
    before = arrangement(points).bridged
    facts = [one for one in fillings(points) if one[1] is not None or hasattr(points, one[0])]
    assume(facts)
    fact = chance.choice(facts)
    after, _ = filled(points, [fact], [chance.choice(fact[2])])
    assert before in (None, arrangement(after).bridged)


@SLOW
@given(some_points())
def test_a_path_is_told_from_rail_to_rail_wherever_the_rails_may_be_joined(points):
    drawn = arrangement(points)
    parts = drawn.path.split(" - ")
    if drawn.bridged is False:
        assert drawn.path == ""
    else:
        assert (parts[0], parts[-1]) == ("left rail", "right rail")
        assert len(parts) == len(set(parts)) > 2
    for question in drawn.deciding if drawn.bridged is None else ():
        assert question.look.startswith(("whether ", "on which side ", "to which ", "what "))
