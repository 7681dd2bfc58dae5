"""The trade's words for codes: each has a stored value and a label for people.

The models build their choices from these, so a word exists in one place only.
``UNKNOWN`` is a value like any other: it means that nobody has looked yet.
"""

from enum import StrEnum
from typing import Self


class Vocabulary(StrEnum):
    """A closed list of words; ``label`` is what people read, the value what is stored."""

    label: str

    def __new__(cls, value: str, label: str = "") -> Self:
        word = str.__new__(cls, value)
        word._value_ = value
        word.label = label or value.replace("_", " ")
        return word

    @classmethod
    def choices(cls) -> list[tuple[str, str]]:
        """Pairs of stored value and label, in the order of declaration."""
        return [(word.value, word.label) for word in cls]


class Side(Vocabulary):
    """A side of the points, standing at the toe and looking towards the heel."""

    LEFT = "left"
    RIGHT = "right"
    UNKNOWN = "unknown"

    @property
    def opposite(self) -> "Side":
        return {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}.get(self, Side.UNKNOWN)


class Lie(Vocabulary):
    """Which switch rail is closed against its stock rail."""

    LEFT_CLOSED = "left_closed"
    RIGHT_CLOSED = "right_closed"
    UNKNOWN = "unknown"


class Towards(Vocabulary):
    """Which way along the points something stands."""

    TOE = "toe"
    HEEL = "heel"
    UNKNOWN = "unknown"

    @property
    def opposite(self) -> "Towards":
        return {Towards.TOE: Towards.HEEL, Towards.HEEL: Towards.TOE}.get(self, Towards.UNKNOWN)


class Layout(Vocabulary):
    TURNOUT = "turnout"
    SINGLE_SLIP = "single_slip"
    DOUBLE_SLIP = "double_slip"
    SWITCH_DIAMOND = "switch_diamond"
    TRAP = "trap", "trap points"
    CATCH = "catch", "catch points"
    UNKNOWN = "unknown"


FOUR_RAILS = (Layout.SINGLE_SLIP, Layout.DOUBLE_SLIP)  # one rod moves four switch rails


class Use(Vocabulary):
    """Which way trains run over the points."""

    FACING = "facing"
    TRAILING = "trailing"
    BOTH = "both", "facing and trailing"
    UNKNOWN = "unknown"


class ServiceState(Vocabulary):
    IN_USE = "in_use"
    OUT_OF_USE = "out_of_use", "out of use and secured"
    LIFTED = "lifted"


class Role(Vocabulary):
    """What a stretcher does at its place."""

    LOCK = "lock"
    DRIVE = "drive"
    INTERMEDIATE = "intermediate"
    BACK = "back"


class Profile(Vocabulary):
    """The shape of rail that a shoe grips."""

    BULLHEAD = "bullhead"
    FLAT_BOTTOM = "flat_bottom", "flat-bottom"
    UNKNOWN = "unknown"


class Generation(Vocabulary):
    """The standard a stretcher belongs to, known on the ground by its paint.

    The colour does not tell whether a stretcher is adjustable: that is a fact of its own.
    """

    BLACK = "black"
    YELLOW = "yellow"
    RED = "red"
    UNKNOWN = "unknown"


class Adjustability(Vocabulary):
    FIXED = "fixed"
    ADJUSTABLE = "adjustable"
    UNKNOWN = "unknown"


class Form(Vocabulary):
    STRAIGHT = "straight"
    GOOSENECK = "gooseneck"
    UNKNOWN = "unknown"


class InsulationSide(Vocabulary):
    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"
    NONE = "none", "not insulated"
    UNKNOWN = "unknown"

    @property
    def turned(self) -> "InsulationSide":
        """The side once the stretcher is turned end for end."""
        left, right = InsulationSide.LEFT, InsulationSide.RIGHT
        return {left: right, right: left}.get(self, self)


class InsulationKind(Vocabulary):
    BUSH_AND_PLATES = "bush_and_plates", "bush and plates"
    RUBBER_BUSH = "rubber_bush"
    NONE = "none", "not insulated"
    UNKNOWN = "unknown"


class ShoeColour(Vocabulary):
    """Paint on a shoe of the later standard; older shoes carry none."""

    ORANGE = "orange", "orange (bullhead)"
    YELLOW = "yellow", "yellow (flat-bottom)"
    NONE = "none", "no colour"
    UNKNOWN = "unknown"


class DriveLug(Vocabulary):
    NONE = "none", "no lug"
    PLAIN = "plain"
    THIN = "thin"
    RAISED_HEAD = "raised_head", "raised head"
    UNKNOWN = "unknown"


class Ends(Vocabulary):
    """Which ends of a stretcher carry something, as it lies."""

    LEFT = "left", "left end"
    RIGHT = "right", "right end"
    BOTH = "both", "both ends"
    NONE = "none", "neither end"
    UNKNOWN = "unknown"

    @property
    def turned(self) -> "Ends":
        return {Ends.LEFT: Ends.RIGHT, Ends.RIGHT: Ends.LEFT}.get(self, self)


class Fixings(Vocabulary):
    SQUARE_HEAD = "square_head", "square-head bolt with spring washer"
    FULL_AND_HALF_NUT = "full_and_half_nut", "full nut with half nut"
    CAPTIVE_NUT = "captive_nut", "captive nut"
    UNKNOWN = "unknown"


class Depth(Vocabulary):
    """The depth of a switch: of the rail it is made of, or less to clear the stock rail foot."""

    FULL = "full", "full depth"
    SHALLOW = "shallow", "shallow depth"
    UNKNOWN = "unknown"


class Soleplate(Vocabulary):
    """The plate under the toe that holds chairs, lock casting and machine together."""

    BARE = "bare", "not insulated"
    INSULATED = "insulated"
    NONE = "none", "no soleplate"
    UNKNOWN = "unknown"


class Footing(Vocabulary):
    """What a lock casting or a machine is bolted to; none: there is no such thing here."""

    TIMBER = "timber"
    SOLEPLATE = "soleplate"
    LEFT = "left", "left piece of the soleplate"
    RIGHT = "right", "right piece of the soleplate"
    NONE = "none", "there is none"
    UNKNOWN = "unknown"


class DetectorOn(Vocabulary):
    """What the detector is in, or bolted to."""

    MACHINE = "machine", "in the machine"
    TIMBER = "timber"
    SOLEPLATE = "soleplate"
    LEFT = "left", "left piece of the soleplate"
    RIGHT = "right", "right piece of the soleplate"
    UNKNOWN = "unknown"


class DetectionRods(Vocabulary):
    """The rods from the two switch rails to the detector, and which of them is insulated."""

    NONE = "none", "no detection rods"
    BOTH = "both", "both insulated"
    LEFT = "left", "only the left one insulated"
    RIGHT = "right", "only the right one insulated"
    BARE = "bare", "not insulated"
    UNKNOWN = "unknown"


class Notches(Vocabulary):
    """The two notches of a lock stretcher that the facing point lock enters."""

    NOT_A_LOCK = "not_a_lock", "not a lock stretcher"
    UNCUT = "uncut", "uncut (to be cut on site)"
    CUT = "cut", "cut for the points it came from"
    UNKNOWN = "unknown"


class Condition(Vocabulary):
    GOOD = "good"
    WORN = "worn", "worn but serviceable"
    REPAIR = "repair", "needs repair"
    SCRAP = "scrap"
    UNKNOWN = "unknown", "not examined"


class MachineKind(Vocabulary):
    MOTOR = "motor", "motor machine"
    HAND_LEVER = "hand_lever"
    RODDING = "rodding", "mechanical rodding from a frame"
    SUPPLEMENTARY = "supplementary", "supplementary drive"
    UNKNOWN = "unknown"


class LostMotionKind(Vocabulary):
    SLEEVE = "sleeve", "sliding sleeve on the drive rod"
    SLOTTED_BRACKET = "slotted_bracket", "slotted bracket on the lug"
    ESCAPEMENT = "escapement", "escapement outside the machine"
    UNKNOWN = "unknown"


class ShapeKind(Vocabulary):
    STRAIGHT = "straight"
    SEMI_CURVED = "semi_curved", "semi-curved"
    CURVED = "curved"
    MEASURED = "measured", "measured offsets"
    UNKNOWN = "unknown"


class Heel(Vocabulary):
    HELD = "held", "held (flexible switch)"
    PIVOTED = "pivoted", "pivoted (loose heel)"
    UNKNOWN = "unknown"
