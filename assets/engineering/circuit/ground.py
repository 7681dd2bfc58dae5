"""What stands at the toe besides the rods: soleplate, lock casting, detection rods, machine.

A soleplate holds the toe chairs, the lock casting and the machine together, and is insulated by
being made in two pieces (GK/RC0752 issue 2, 1998, withdrawn, p. B13; IRSE News, "Points, part
two", read as an excerpt). Metal bolted to a piece is joined to the rail in the chairs of that
piece. A lock stretcher slides in its lock casting, metal on metal; a detection rod joins a switch
rail to the detector (both common practice, no source). A supplementary drive stands away from the
toe and so never on the soleplate (common practice, no source).
"""

from collections.abc import Iterator

from ..facts import PointsFacts
from ..words import DetectionRods, DetectorOn, Footing, Side, Soleplate
from .joints import LEFT_RAIL, RAILS, RIGHT_RAIL, Answer, Joint, Question

CASTING = "lock casting"
DETECTOR = "detector"
PLATE_INSULATION = "insulation of the soleplate"
PIECES = {side: f"{side.label} piece of the soleplate" for side in RAILS}
ON_PIECE = {
    Footing.LEFT: (Side.LEFT,),
    Footing.RIGHT: (Side.RIGHT,),
    Footing.SOLEPLATE: (Side.LEFT, Side.RIGHT),
    Footing.UNKNOWN: (None, Side.LEFT, Side.RIGHT),
}
Found = Answer | Question  # what is known, or asked


def soleplate(
    points: PointsFacts, bodies: tuple[Found, ...], standing: tuple[Found, ...], bare: bool
) -> Found:
    """The soleplate; ``bodies`` stand on an insulated one, ``standing`` where there is none.

    A plate that is not insulated joins the rails by itself, so nothing is asked besides; ``bare``
    if it may be that.
    """
    there = {
        Soleplate.NONE: _with(Answer("there is none"), standing),
        Soleplate.INSULATED: _with(Answer("insulated", _pieces()), bodies),
        Soleplate.BARE: Answer("not insulated", _plate()),
    }
    if points.soleplate in there:
        return there[points.soleplate]
    return Question(
        "the soleplate",
        "whether there is a soleplate under the toe, and whether it is insulated",
        tuple(there[word] for word in there if bare or word is not Soleplate.BARE),
    )


def _with(answer: Answer, found: tuple[Found, ...]) -> Answer:
    """The answer with what is known or asked besides, where it is given."""
    known = tuple(joint for one in found if isinstance(one, Answer) for joint in one.joints)
    asked = tuple(one for one in found if isinstance(one, Question))
    return Answer(answer.words, answer.joints + known, answer.questions + asked)


def _plate() -> tuple[Joint, ...]:
    left, right = (_chairs(side) for side in RAILS)
    return (
        Joint(LEFT_RAIL, left),
        Joint(left, "soleplate"),
        Joint("soleplate", right),
        Joint(right, RIGHT_RAIL),
    )


def _pieces() -> tuple[Joint, ...]:
    chairs = [(RAILS[side], _chairs(side), PIECES[side]) for side in RAILS]
    held = [
        joint
        for rail, chair, piece in chairs
        for joint in (Joint(rail, chair), Joint(chair, piece))
    ]
    return (*held, Joint(PIECES[Side.LEFT], PIECES[Side.RIGHT], PLATE_INSULATION))


def _chairs(side: Side) -> str:
    return f"{side.label} toe chairs"


def body(name: str, footing: Footing) -> Found:
    """A thing that may be bolted to a piece of an insulated soleplate."""
    pieces = ON_PIECE.get(footing, (None,))
    answers = tuple(_bolted(name, piece) for piece in pieces)
    if len(answers) == 1:
        return answers[0]
    look = f"to which piece of the soleplate the {name} is bolted"
    if None in pieces:
        look = f"whether the {name} is bolted to the soleplate, and to which piece of it"
    return Question(f"what the {name} is bolted to", look, answers, either=True)


def _bolted(name: str, piece: Side | None) -> Answer:
    if piece is None:
        return Answer("not bolted to the soleplate")
    return Answer(f"bolted to the {PIECES[piece]}", (Joint(PIECES[piece], name),))


def detector(points: PointsFacts, machine: str, plate: bool) -> Found:
    """What the detector is in or on; ``plate`` where an insulated soleplate is there."""
    on = points.detector_on
    inside = Answer("in the machine", (Joint(DETECTOR, machine),))
    if on is DetectorOn.MACHINE:
        return inside
    there = body(DETECTOR, Footing(on.value) if plate else Footing.TIMBER)
    if on is not DetectorOn.UNKNOWN:
        return there
    apart = there.answers if isinstance(there, Question) else (Answer("apart from it"),)
    look = "whether the detector is in the machine"
    if plate:
        look += " or bolted to the soleplate, and to which piece of it"
    return Question("what the detector is in or on", look, (*apart, inside), either=True)


def detection_rods(points: PointsFacts, bare: bool) -> Found:
    """The rods from the two switch rails to the detector; ``bare`` if both may be bare."""
    insulated = {
        DetectionRods.NONE: None,
        DetectionRods.BOTH: (Side.LEFT, Side.RIGHT),
        DetectionRods.LEFT: (Side.LEFT,),
        DetectionRods.RIGHT: (Side.RIGHT,),
        DetectionRods.BARE: (),
    }
    answers = {
        word: Answer(word.label, () if sides is None else tuple(_detection(sides)))
        for word, sides in insulated.items()
        if bare or word is not DetectionRods.BARE
    }
    if points.detection_rods in answers:
        return answers[points.detection_rods]
    look = "whether there are detection rods, and which of them is insulated"
    return Question("the detection rods", look, tuple(answers.values()))


def _detection(insulated: tuple[Side, ...]) -> Iterator[Joint]:
    for side, rail in RAILS.items():
        rod = f"{side.label} detection rod"
        yield Joint(rail, rod, f"insulation of the {rod}" if side in insulated else "")
        yield Joint(rod, DETECTOR)
