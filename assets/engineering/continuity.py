"""Do the rods join the two rails of a track circuit, and what would have to fail first?

The metal of a set of points is drawn as joints between parts: rail, rod, drive, machine. A joint
is bare or insulated. A bare path from rail to rail drops the track circuit. That is why the
insulations of one set of points all lie on one side: two rods insulated on opposite sides and
both bare to one machine join the rails through the machine (common practice, no source).

A rod insulated on the left is bare to the right rail, and the other way about. The drive takes
hold of the rod between its insulations. What nobody has looked at is a question with several
possible answers; it is answered only where every answer comes to the same.
"""

from collections import defaultdict, deque
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, product

from .circuit_faults import FailedInsulation, InsulatedPart
from .facts import MachineFacts, PlaceFacts, PointsFacts
from .words import InsulationSide, MachineKind, Role, Side

LEFT_RAIL = "left rail"
RIGHT_RAIL = "right rail"
RAILS = {Side.LEFT: LEFT_RAIL, Side.RIGHT: RIGHT_RAIL}
NO_MACHINE = "drive (not recorded)"
MACHINE_NAMES = {
    MachineKind.HAND_LEVER: "hand lever",
    MachineKind.RODDING: "rodding",
    MachineKind.SUPPLEMENTARY: "supplementary drive",
}


@dataclass(frozen=True, slots=True)
class Joint:
    """Two parts that meet; ``insulation`` names what keeps them apart, empty for bare metal."""

    one: str
    other: str
    insulation: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """Something nobody has looked at. ``answers`` run from the one that joins least to most."""

    about: str
    look: str
    answers: tuple[tuple[str, tuple[Joint, ...]], ...]


@dataclass(frozen=True, slots=True)
class Arrangement:
    """The joints of one set of points, and the questions still open about them."""

    joints: tuple[Joint, ...]
    questions: tuple[Question, ...] = ()

    @property
    def at_best(self) -> tuple[Joint, ...]:
        """The joints if every open question is answered the kind way."""
        return self.joints + tuple(j for q in self.questions for j in q.answers[0][1])

    @property
    def at_worst(self) -> tuple[Joint, ...]:
        """The joints if every open question is answered the unkind way."""
        return self.joints + tuple(j for q in self.questions for j in q.answers[-1][1])

    @property
    def bridged(self) -> bool | None:
        """Whether bare metal joins the rails; None where the open questions decide it."""
        if bare_path(self.at_best):
            return True
        return None if self.questions and bare_path(self.at_worst) else False

    @property
    def path(self) -> str:
        """The joining path in words; the one that may be there if questions are open, or empty."""
        return " - ".join(bare_path(self.at_best) or bare_path(self.at_worst))

    @property
    def deciding(self) -> tuple[Question, ...]:
        """The open questions of which one answer alone could turn the matter; all if none can."""
        found = []
        for question in self.questions:
            kind, unkind = (self.answered(question, question.answers[i][1]) for i in (0, -1))
            if kind.bridged is False or unkind.bridged is True:
                found.append(question)
        return tuple(found) or self.questions

    def answered(self, question: Question, joints: tuple[Joint, ...]) -> "Arrangement":
        """The same arrangement with one question settled."""
        rest = tuple(q for q in self.questions if q is not question)
        return Arrangement(self.joints + joints, rest)


@dataclass(frozen=True, slots=True)
class Possibility:
    """One answer to an open question and what it would mean, in words."""

    answer: str
    bridged: bool | None
    meaning: str


@dataclass(frozen=True, slots=True)
class Unknown:
    """An open question; ``decides`` where its answer alone could turn the matter."""

    about: str
    look: str
    decides: bool
    possibilities: tuple[Possibility, ...]


@dataclass(frozen=True)
class Continuity:
    """What the rods of one set of points do to its track circuit.

    ``least_failures`` is how many insulations must fail before the rails are joined: 0 where they
    are joined now, None where that cannot be said or where nothing could join them.
    """

    arises: bool | None  # track-circuited or not; None: not known
    bridged: bool | None
    path: str  # the joining path in words; where bridged is None, the path that may be there
    least_failures: int | None
    failure_sets: tuple[tuple[str, ...], ...]  # every smallest set of insulations, by name
    exact: bool  # False: open questions could make it take more failures than stated
    unknowns: tuple[Unknown, ...]

    @cached_property
    def summary(self) -> str:
        """The answer in a sentence or two."""
        if self.arises is False:
            return "Not track-circuited, so this does not matter."
        doubt = "" if self.arises else "Whether these points are track-circuited is not known. "
        return doubt + _verdict(self)


def arrangement(points: PointsFacts) -> Arrangement:
    """The joints of the rods, drives and lock of one set of points, with what visits found there.

    Contacts and failures at places without a rod are left out: there is nothing to touch.
    """
    dead = frozenset(points.failed_insulations)
    joints: list[Joint] = []
    questions: list[Question] = []
    machines = _Machines(points)
    names: dict[int, str] = {}
    for place in points.places:
        if place.stretcher is None:
            continue
        names[place.order] = place.name
        _rod(place, place.stretcher.insulation_side, dead, joints, questions)
        _drive(place, machines, dead, joints, questions)
        if place.role is Role.LOCK:
            _lock_rod(place, machines, dead, joints, questions)
    questions.extend(machines.links())
    for contact in points.contacts:
        if contact.order in names:
            rod = names[contact.order]
            touch = f"{contact.what.label} ({rod}, {contact.side.label})"
            joints += [Joint(RAILS[contact.side], touch), Joint(touch, rod)]
    return Arrangement(tuple(joints), tuple(questions))


def continuity(points: PointsFacts) -> Continuity:
    """All there is to say of the track circuit: joined or not, what must fail, what is unknown."""
    drawn = arrangement(points)
    if points.track_circuited is False:
        return Continuity(False, drawn.bridged, drawn.path, None, (), True, ())
    sets, exact = _failures(drawn)
    return Continuity(
        arises=points.track_circuited,
        bridged=drawn.bridged,
        path=drawn.path,
        least_failures=0 if drawn.bridged else (len(sets[0]) if sets else None),
        failure_sets=sets,
        exact=exact,
        unknowns=tuple(_unknown(drawn, question) for question in drawn.questions),
    )


def bare_path(joints: Iterable[Joint]) -> tuple[str, ...]:
    """The parts of a shortest bare path from the left rail to the right; empty if none joins."""
    came_from = bare_reach(joints, LEFT_RAIL)
    path: list[str] = []
    part = RIGHT_RAIL if RIGHT_RAIL in came_from else None
    while part is not None:
        path.append(part)
        part = came_from[part]
    return tuple(reversed(path))


def bare_reach(joints: Iterable[Joint], start: str) -> dict[str, str | None]:
    """Every part that bare metal joins to this one, with the part next to it on the way back."""
    beside = defaultdict(list)
    for joint in joints:
        if not joint.insulation:
            beside[joint.one].append(joint.other)
            beside[joint.other].append(joint.one)
    came_from: dict[str, str | None] = {start: None}
    waiting = deque([start])
    while waiting:
        part = waiting.popleft()
        for other in beside[part]:
            if other not in came_from:
                came_from[other] = part
                waiting.append(other)
    return came_from


# --- drawing the joints -------------------------------------------------------------------------


class _Machines:
    """The machines of one set of points, told apart by tag, or by their facts without one."""

    def __init__(self, points: PointsFacts):
        self._names: dict[object, str] = {}
        self._found: list[MachineFacts] = []
        for place in points.places:
            if place.machine is not None:
                self._add(place.machine)

    def _add(self, machine: MachineFacts) -> None:
        key = machine.tag or machine
        if key in self._names:
            return
        self._found.append(machine)
        name = MACHINE_NAMES.get(machine.kind, "machine")
        again = sum(used.startswith(name) for used in self._names.values())
        self._names[key] = f"{name} {again + 1}" if again else name

    @property
    def main(self) -> MachineFacts | None:
        """The machine that works the lock: the first that is not a supplementary drive."""
        return next((m for m in self._found if m.kind is not MachineKind.SUPPLEMENTARY), None)

    def name(self, machine: MachineFacts | None) -> str:
        return NO_MACHINE if machine is None else self._names[machine.tag or machine]

    def links(self) -> Iterable[Question]:
        """Whether metal joins a supplementary drive to the main machine: nobody records it."""
        if self.main is None:
            return
        for machine in self._found:
            if machine.kind is MachineKind.SUPPLEMENTARY:
                ends = self.name(self.main), self.name(machine)
                kept = f"insulation between the {ends[0]} and the {ends[1]}"
                yield Question(
                    about=f"how the {ends[1]} is joined to the {ends[0]}",
                    look=f"whether metal joins the {ends[1]} to the {ends[0]}",
                    answers=(
                        ("not joined by metal", ()),
                        ("joined through an insulation", (Joint(*ends, kept),)),
                        ("joined by bare metal", (Joint(*ends),)),
                    ),
                )


def _rod(
    place: PlaceFacts,
    side: InsulationSide,
    dead: frozenset[FailedInsulation],
    joints: list[Joint],
    questions: list[Question],
) -> None:
    """A rod between the rails, with its insulation where it is."""
    rod = place.name

    def ends(left: bool, right: bool) -> tuple[Joint, Joint]:
        def end(insulated: bool, on: Side, part: InsulatedPart) -> Joint:
            sound = insulated and not dead & {
                FailedInsulation(place.order, InsulatedPart.ROD),
                FailedInsulation(place.order, part),
            }
            name = f"{on.label} insulation of the {rod}" if sound else ""
            return Joint(RAILS[on], rod, name)

        return (
            end(left, Side.LEFT, InsulatedPart.LEFT),
            end(right, Side.RIGHT, InsulatedPart.RIGHT),
        )

    answers = {
        InsulationSide.BOTH: ends(True, True),
        InsulationSide.LEFT: ends(True, False),
        InsulationSide.RIGHT: ends(False, True),
        InsulationSide.NONE: ends(False, False),
    }
    if side in answers:
        joints.extend(answers[side])
    else:
        told = {
            InsulationSide.BOTH: "insulated on both sides",
            InsulationSide.NONE: InsulationSide.NONE.label,
        }
        questions.append(
            Question(
                about=f"the insulation side of the {rod}",
                look=f"on which side the {rod} is insulated",
                answers=tuple(
                    (told.get(one, f"insulated on the {one.label}"), these)
                    for one, these in answers.items()
                ),
            )
        )


def _drive(
    place: PlaceFacts,
    machines: _Machines,
    dead: frozenset[FailedInsulation],
    joints: list[Joint],
    questions: list[Question],
) -> None:
    """The drive rod from the lug, through any lost-motion fitting, to the machine.

    A lock stretcher is taken as driven only where it is recorded so: it is the lock rod that
    takes hold of it.
    """
    unsure = place.driven is None and place.role is not Role.LOCK
    if not place.driven and not unsure:
        return
    rod, lug = place.name, place.name
    if place.lost_motion_fitting is not None:
        lug = f"lost-motion fitting of the {rod}"
        joints.append(Joint(rod, lug))
    hold = _Hold(
        lug,
        machines.name(place.machine or machines.main),
        f"drive rod insulation at the {rod}",
        None if place.machine is None else place.machine.drive_insulated,
        FailedInsulation(place.order, InsulatedPart.DRIVE) in dead,
    )
    if unsure:
        answers = (("not driven", ()), *((f"driven, {word}", js) for word, js in hold.answers))
        look = f"whether the {rod} is driven, and whether its drive rod is insulated"
        questions.append(Question(f"the drive at the {rod}", look, answers))
    else:
        hold.put(f"the drive rod at the {rod}", joints, questions)


def _lock_rod(
    place: PlaceFacts,
    machines: _Machines,
    dead: frozenset[FailedInsulation],
    joints: list[Joint],
    questions: list[Question],
) -> None:
    """The lock rod from the lock stretcher to the machine."""
    machine = place.machine or machines.main
    _Hold(
        place.name,
        machines.name(machine),
        "lock rod insulation",
        None if machine is None else machine.lock_rod_insulated,
        FailedInsulation(place.order, InsulatedPart.LOCK_ROD) in dead,
    ).put("the lock rod", joints, questions)


@dataclass(frozen=True, slots=True)
class _Hold:
    """A rod of the machine taking hold of a stretcher."""

    one: str
    other: str
    insulation: str
    insulated: bool | None
    failed: bool

    @property
    def answers(self) -> tuple[tuple[str, tuple[Joint, ...]], ...]:
        """What may be there: one answer where it is known, two where it is not."""
        kept = ("insulated", (Joint(self.one, self.other, self.insulation),))
        bare = ("bare", (Joint(self.one, self.other),))
        if self.failed:
            return (bare,)
        return {True: (kept,), False: (bare,), None: (kept, bare)}[self.insulated]

    def put(self, about: str, joints: list[Joint], questions: list[Question]) -> None:
        answers = self.answers
        if len(answers) == 1:
            joints.extend(answers[0][1])
        else:
            questions.append(Question(about, f"whether {about} is insulated", answers))


# --- what the drawing says ----------------------------------------------------------------------


def _failures(drawn: Arrangement) -> tuple[tuple[tuple[str, ...], ...], bool]:
    """Every smallest set of failing insulations, open questions answered the unkind way.

    The second value tells whether the kind answers give the same sets.
    """
    if drawn.bridged is not False:
        return (), drawn.bridged is True
    worst = smallest_failures(drawn.at_worst)
    return worst, not drawn.questions or worst == smallest_failures(drawn.at_best)


def smallest_failures(joints: tuple[Joint, ...]) -> tuple[tuple[str, ...], ...]:
    """Every smallest set of insulations whose failure would join the rails, sorted.

    Parts joined by bare metal are one lump; a smallest set is then a shortest way from lump to
    lump. Empty where no number of failures would join the rails, or where they are joined now.
    """
    import networkx as nx

    bare = nx.Graph()
    bare.add_nodes_from((LEFT_RAIL, RIGHT_RAIL))
    for joint in joints:
        bare.add_nodes_from((joint.one, joint.other))
        if not joint.insulation:
            bare.add_edge(joint.one, joint.other)
    lump = {part: i for i, parts in enumerate(nx.connected_components(bare)) for part in parts}
    between: defaultdict[frozenset[int], set[str]] = defaultdict(set)
    for joint in joints:
        if joint.insulation and lump[joint.one] != lump[joint.other]:
            between[frozenset((lump[joint.one], lump[joint.other]))].add(joint.insulation)
    lumps = nx.Graph(tuple(pair) for pair in between)
    start, end = lump[LEFT_RAIL], lump[RIGHT_RAIL]
    if start == end or not {start, end} <= set(lumps) or not nx.has_path(lumps, start, end):
        return ()
    found = {
        tuple(sorted(names))
        for way in nx.all_shortest_paths(lumps, start, end)
        for names in product(*(between[frozenset(step)] for step in pairwise(way)))
    }
    return tuple(sorted(found))


def _unknown(drawn: Arrangement, question: Question) -> Unknown:
    possibilities = []
    for answer, joints in question.answers:
        settled = drawn.answered(question, joints)
        possibilities.append(Possibility(answer, settled.bridged, _meaning(settled)))
    decides = question in drawn.deciding
    return Unknown(question.about, question.look, decides, tuple(possibilities))


def _meaning(drawn: Arrangement) -> str:
    if drawn.bridged:
        return f"the track circuit is shorted: {drawn.path}"
    if drawn.bridged is None:
        return "still not known: it depends on the other unknowns"
    sets, exact = _failures(drawn)
    if not sets:
        return "the track circuit is not shorted"
    return f"the track circuit is not shorted; {_needed(len(sets[0]), exact)} would short it"


def _needed(count: int, exact: bool) -> str:
    noun = "insulation failure" if count == 1 else "insulation failures"
    return f"{count} {noun}" if exact else f"{count} {noun} or more"


def _verdict(found: Continuity) -> str:
    if found.bridged:
        return f"The track circuit is shorted: {found.path}."
    looks = "; ".join(unknown.look for unknown in found.unknowns if unknown.decides)
    if found.bridged is None:
        return f"Cannot say: go and check: {looks}. The track circuit may be shorted: {found.path}."
    if found.least_failures is None:
        return "The stretchers do not short the track circuit, and no insulation failure could."
    sets = "; or ".join(" and ".join(names) for names in found.failure_sets)
    return (
        "The stretchers do not short the track circuit. "
        f"{_needed(found.least_failures, found.exact).capitalize()} would short it: {sets}."
    )
