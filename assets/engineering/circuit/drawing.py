"""The rods, drives and lock of one set of points drawn as joints, with what visits found there.

The insulations of one set of points all lie on one side: two rods insulated on opposite sides and
both bare to one machine join the rails through the machine (common practice, no source). A rod
insulated on the left is bare to the right rail, and the other way about. A stretcher is insulated
by being made in two pieces (GK/RC0752 issue 2, 1998, withdrawn, p. B13), so a drive lug at an
insulated end sits on the one piece or on the other.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from ..circuit_faults import FailedInsulation, InsulatedPart
from ..facts import MachineFacts, PlaceFacts, PointsFacts, StretcherFacts
from ..words import (
    DetectionRods,
    Ends,
    Footing,
    InsulationSide,
    MachineKind,
    Role,
    Side,
    Soleplate,
)
from . import ground
from .joints import RAILS, Answer, Arrangement, Joint, Question, joints_of, lug_of

NO_MACHINE = "drive (not recorded)"
MAY_BE_SUPPLEMENTARY = (MachineKind.SUPPLEMENTARY, MachineKind.UNKNOWN)
MACHINE_NAMES = {
    MachineKind.HAND_LEVER: "hand lever",
    MachineKind.RODDING: "rodding",
    MachineKind.SUPPLEMENTARY: "supplementary drive",
}


def arrangement(points: PointsFacts, *, of_parts: bool = False) -> Arrangement:
    """The joints of the metal of one set of points, in order from the toe.

    Contacts and failures at places without a rod are left out: there is nothing to touch.
    ``of_parts`` leaves out a bare soleplate and bare detection rods: they join the rails whatever
    is fitted, which is said of the points and of none of their parts.
    """
    if of_parts:
        points = without_bare_ground(points)
    dead = frozenset(points.failed_insulations)
    drawn = _Drawn([], [])
    machines = _Machines(points)
    names: dict[int, str] = {}
    for place in points.places:
        if place.stretcher is None:
            continue
        names[place.order] = place.name
        _rod(place, place.stretcher.insulation_side, dead, drawn)
        _drive(place, Rod.of(place.stretcher), points.machine_side, machines, dead, drawn)
        if place.role is Role.LOCK:
            _lock_rod(place, machines, dead, drawn)
    toe = _at_the_toe(points, machines, drawn, bare=not of_parts)
    for contact in points.contacts:
        if contact.order in names:
            rod = names[contact.order]
            touch = f"{contact.what.label} ({rod}, {contact.side.label})"
            drawn.joints.extend((Joint(RAILS[contact.side], touch), Joint(touch, rod)))
    questions = (*toe.questions, *drawn.questions, *machines.links())
    return Arrangement((*toe.joints, *drawn.joints), questions)


def without_bare_ground(points: PointsFacts) -> PointsFacts:
    """The same points without a soleplate or detection rods that join the rails by themselves."""
    if points.soleplate is Soleplate.BARE:
        points = replace(points, soleplate=Soleplate.NONE)
    if points.detection_rods is DetectionRods.BARE:
        points = replace(points, detection_rods=DetectionRods.NONE)
    return points


class Rod(NamedTuple):
    """All that is asked of a stretcher to draw it."""

    insulation_side: InsulationSide
    lug_end: Ends
    lug_beyond: bool | None

    @classmethod
    def of(cls, stretcher: StretcherFacts) -> "Rod":
        return cls(stretcher.insulation_side, stretcher.lug_end, stretcher.lug_beyond)


def lug_sits(rod: Rod, machine_side: Side) -> tuple[Side | None, ...]:
    """Where the drive may take hold: beyond the insulation of a side, or on the bar (None).

    Of two lugs the drive takes the one on the machine's side (common practice, no source).
    """
    ends = {Ends.LEFT: (Side.LEFT,), Ends.RIGHT: (Side.RIGHT,)}.get(rod.lug_end, tuple(RAILS))
    if rod.lug_end is Ends.BOTH and machine_side in RAILS:
        ends = (machine_side,)
    apart = {InsulationSide.LEFT: (Side.LEFT,), InsulationSide.RIGHT: (Side.RIGHT,)}
    insulated = apart.get(rod.insulation_side, tuple(RAILS))
    if rod.insulation_side is InsulationSide.NONE:
        insulated = ()
    beyond = tuple(end for end in ends if end in insulated and rod.lug_beyond is not False)
    on_the_bar = rod.lug_beyond is not True or len(beyond) < len(ends)
    return (None, *beyond) if on_the_bar else beyond


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What has been drawn so far."""

    joints: list[Joint]
    questions: list[Question]

    def put(self, found: Answer | Question) -> None:
        if isinstance(found, Question):
            self.questions.append(found)
        else:
            self.joints.extend(found.joints)
            self.questions.extend(found.questions)

    def has(self, part: str) -> bool:
        asked = (joint for question in self.questions for joint in joints_of(question))
        return any(part in (joint.one, joint.other) for joint in [*self.joints, *asked])


def _at_the_toe(points: PointsFacts, machines: "_Machines", drawn: _Drawn, bare: bool) -> _Drawn:
    """Soleplate, lock casting, machine, detector and detection rods."""
    toe = _Drawn([], [])
    bodies: list[ground.Found] = []
    standing: list[ground.Found] = []
    detected = points.detection_rods is not DetectionRods.NONE
    locks = [p for p in points.places if p.stretcher is not None and p.role is Role.LOCK]
    if points.lock_casting is not Footing.NONE:
        for place in locks:
            casting = ground.CASTING + (f" of the {place.name}" if len(locks) > 1 else "")
            bodies.append(ground.body(casting, points.lock_casting))
            toe.joints.append(Joint(casting, place.name))
    main = machines.name(machines.main)
    if detected:
        bodies.append(ground.detector(points, main, plate=True))
        standing.append(ground.detector(points, main, plate=False))
    for name, footing in machines.at_the_toe(points.machine_on):
        if drawn.has(name) or (name == main and (detected or machines.linked)):
            bodies.append(ground.body(name, footing))
    toe.put(ground.soleplate(points, tuple(bodies), tuple(standing), bare))
    toe.put(ground.detection_rods(points, bare))
    return toe


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
        """The machine that works the lock: the first known to be no supplementary drive."""
        return next((m for m in self._found if m.kind not in MAY_BE_SUPPLEMENTARY), None)

    @property
    def linked(self) -> list[MachineFacts]:
        """The machines that are, or may be, moved by the main one, recorded or not."""
        return [m for m in self._found if m.kind in MAY_BE_SUPPLEMENTARY]

    def name(self, machine: MachineFacts | None) -> str:
        return NO_MACHINE if machine is None else self._names[machine.tag or machine]

    def at_the_toe(self, machine_on: Footing) -> Iterator[tuple[str, Footing]]:
        """What may stand on the soleplate, by name; of a second machine nothing is recorded."""
        yield self.name(self.main), machine_on
        for machine in self._found if self.main else ():
            if machine.kind is not MachineKind.SUPPLEMENTARY and machine is not self.main:
                yield self.name(machine), Footing.UNKNOWN

    def links(self) -> Iterator[Question]:
        """Whether metal joins a supplementary drive to the main machine: nobody records it.

        A machine of unknown kind may be either: joined to what works the lock by bare metal it is
        as good as the same.
        """
        for machine in self.linked:
            ends = self.name(self.main), self.name(machine)
            kept = f"insulation between the {ends[0]} and the {ends[1]}"
            look = f"whether metal joins the {ends[1]} to the {ends[0]}"
            if machine.kind is MachineKind.UNKNOWN:
                look = f"what kind of machine the {ends[1]} is; if it works no lock, {look}"
            yield Question(
                about=f"how the {ends[1]} is joined to the {ends[0]}",
                look=look,
                answers=(
                    Answer("not joined by metal"),
                    Answer("joined through an insulation", (Joint(*ends, kept),)),
                    Answer("joined by bare metal", (Joint(*ends),)),
                ),
            )


def _rod(
    place: PlaceFacts,
    side: InsulationSide,
    dead: frozenset[FailedInsulation],
    drawn: _Drawn,
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
        drawn.joints.extend(answers[side])
    else:
        told = {
            InsulationSide.BOTH: "insulated on both sides",
            InsulationSide.NONE: InsulationSide.NONE.label,
        }
        drawn.questions.append(
            Question(
                about=f"the insulation side of the {rod}",
                look=f"on which side the {rod} is insulated",
                answers=tuple(
                    Answer(told.get(one, f"insulated on the {one.label}"), these)
                    for one, these in answers.items()
                ),
            )
        )


def _drive(
    place: PlaceFacts,
    metal: Rod,
    machine_side: Side,
    machines: _Machines,
    dead: frozenset[FailedInsulation],
    drawn: _Drawn,
) -> None:
    """The drive rod from the lug, through any lost-motion fitting, to the machine.

    A lock stretcher is taken as driven only where it is recorded so: it is the lock rod that
    takes hold of it.
    """
    unsure = place.driven is None and place.role is not Role.LOCK
    if not place.driven and not unsure:
        return
    drawn.put(_lug(place.name, metal, machine_side))
    lug = lug_of(place.name)
    if place.lost_motion_fitting is not None:
        lug = f"lost-motion fitting of the {place.name}"
        drawn.joints.append(Joint(lug_of(place.name), lug))
    hold = _Hold(
        lug,
        machines.name(place.machine or machines.main),
        f"drive rod insulation at the {place.name}",
        None if place.machine is None else place.machine.drive_insulated,
        FailedInsulation(place.order, InsulatedPart.DRIVE) in dead,
    )
    if unsure:
        told = [Answer(f"driven, {answer.words}", answer.joints) for answer in hold.answers]
        answers = (Answer("not driven"), *told)
        look = f"whether the {place.name} is driven, and whether its drive rod is insulated"
        drawn.questions.append(Question(f"the drive at the {place.name}", look, answers))
    else:
        drawn.put(hold.asked(f"the drive rod at the {place.name}"))


def _lug(rod: str, metal: Rod, machine_side: Side) -> Answer | Question:
    """The drive lug on the bar, or beyond an insulation and so joined to a rail."""
    lug = lug_of(rod)
    answers = tuple(
        Answer("on the bar, within the insulation", (Joint(rod, lug),))
        if beyond is None
        else Answer(
            f"beyond the insulation, joined to the {RAILS[beyond]}", (Joint(RAILS[beyond], lug),)
        )
        for beyond in lug_sits(metal, machine_side)
    )
    if len(answers) == 1:
        return answers[0]
    look = f"on which side of its insulation the drive lug of the {rod} sits"
    return Question(f"the drive lug of the {rod}", look, answers, either=True)


def _lock_rod(
    place: PlaceFacts,
    machines: _Machines,
    dead: frozenset[FailedInsulation],
    drawn: _Drawn,
) -> None:
    """The lock rod from the lock stretcher to the machine."""
    machine = place.machine or machines.main
    hold = _Hold(
        place.name,
        machines.name(machine),
        "lock rod insulation",
        None if machine is None else machine.lock_rod_insulated,
        FailedInsulation(place.order, InsulatedPart.LOCK_ROD) in dead,
    )
    drawn.put(hold.asked("the lock rod"))


@dataclass(frozen=True, slots=True)
class _Hold:
    """A rod of the machine taking hold of a stretcher."""

    one: str
    other: str
    insulation: str
    insulated: bool | None
    failed: bool

    @property
    def answers(self) -> tuple[Answer, ...]:
        """What may be there: one answer where it is known, two where it is not."""
        kept = Answer("insulated", (Joint(self.one, self.other, self.insulation),))
        bare = Answer("bare", (Joint(self.one, self.other),))
        if self.failed:
            return (bare,)
        return {True: (kept,), False: (bare,), None: (kept, bare)}[self.insulated]

    def asked(self, about: str) -> Answer | Question:
        answers = self.answers
        if len(answers) == 1:
            return answers[0]
        return Question(about, f"whether {about} is insulated", answers)
