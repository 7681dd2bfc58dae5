"""What the rules know of the parts and places: frozen, hashable, nothing guessed.

``None``, an empty set and the word *unknown* all mean "nobody has looked yet".
Names that only identify a thing (tags, keys) take no part in comparison, so that two rods
alike in every fact are one fact: the whole railway is computed once per distinct pair.
Lengths are in mm, torque in N·m.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar, Generic, TypeVar

from .assumed import NOTHING_CONFIRMED, Assumed
from .circuit_faults import Contact, FailedInsulation
from .words import (
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
    Layout,
    Lie,
    MachineKind,
    Notches,
    Profile,
    Role,
    ShoeColour,
    Side,
    Soleplate,
    Towards,
    Use,
)

Word = TypeVar("Word")


@dataclass(frozen=True, slots=True)
class Ticked(Generic[Word]):
    """Words that were answered with yes or with no; of any other nobody has said."""

    yes: frozenset[Word] = frozenset()
    no: frozenset[Word] = frozenset()

    @classmethod
    def of(cls, answers: Mapping[Word, bool | None]) -> "Ticked[Word]":
        return cls(
            frozenset(word for word, answer in answers.items() if answer),
            frozenset(word for word, answer in answers.items() if answer is False),
        )

    def answer(self, word: Word) -> bool | None:
        return True if word in self.yes else False if word in self.no else None


@dataclass(frozen=True, slots=True)
class Interval:
    """A closed range; either end may be open (None)."""

    least: float | None = None  # in the unit of what it is a range of
    most: float | None = None  # in the unit of what it is a range of


@dataclass(frozen=True, slots=True)
class ShoeFacts:
    """The bracket that joins a stretcher to a switch rail."""

    profile: Profile = Profile.UNKNOWN
    colour: ShoeColour = ShoeColour.UNKNOWN
    foot_mm: float | None = None  # foot width of the flat-bottom rail it was made for


@dataclass(frozen=True, slots=True)
class StretcherFacts:
    """A stretcher as it is, whether fitted or in the store.

    Left and right are as it lies, or would lie, in the points, seen from the toe.
    """

    noun: ClassVar[str] = "stretcher"
    tag: str = field(default="", compare=False)
    made_for: Ticked[Role] = Ticked()
    generation: Generation = Generation.UNKNOWN
    adjustability: Adjustability = Adjustability.UNKNOWN
    form: Form = Form.UNKNOWN
    gooseneck_towards: Towards = Towards.UNKNOWN  # which way its crank stands
    insulation_side: InsulationSide = InsulationSide.UNKNOWN
    insulation_kind: InsulationKind = InsulationKind.UNKNOWN
    left_shoe: ShoeFacts = ShoeFacts()
    right_shoe: ShoeFacts = ShoeFacts()
    depth: Depth = Depth.UNKNOWN  # of the switch it is made for
    welded: bool | None = None  # its ends are welded to the bar
    kicker: bool | None = None
    kicker_end: Ends = Ends.UNKNOWN
    drive_lug: DriveLug = DriveLug.UNKNOWN
    lug_end: Ends = Ends.UNKNOWN
    lug_beyond: bool | None = None  # the lug at an insulated end is on the rail's side of it
    left_fixings: Fixings = Fixings.UNKNOWN
    right_fixings: Fixings = Fixings.UNKNOWN
    torque_nm: float | None = None  # the tightening torque laid down for its fixings
    length_min_mm: float | None = None  # over the backs of the switch rails
    length_max_mm: float | None = None
    thread_pitch_mm: float | None = None
    shim_left_mm: float | None = None
    shim_right_mm: float | None = None
    notches: Notches = Notches.UNKNOWN
    notch_distance_mm: float | None = None
    can_be_turned: bool | None = None  # end for end
    condition: Condition = Condition.UNKNOWN
    quarantined: bool = False
    open_defects: tuple[str, ...] = ()  # one sentence each

    @property
    def turned(self) -> "StretcherFacts":
        """The same rod end for end: everything sided changes its side."""
        return replace(
            self,
            insulation_side=self.insulation_side.turned,
            gooseneck_towards=self.gooseneck_towards.opposite,
            left_shoe=self.right_shoe,
            right_shoe=self.left_shoe,
            kicker_end=self.kicker_end.turned,
            lug_end=self.lug_end.turned,
            left_fixings=self.right_fixings,
            right_fixings=self.left_fixings,
            shim_left_mm=self.shim_right_mm,
            shim_right_mm=self.shim_left_mm,
        )


@dataclass(frozen=True, slots=True)
class MachineFacts:
    """What moves the switch, with its rods."""

    noun: ClassVar[str] = "machine"
    tag: str = field(default="", compare=False)
    kind: MachineKind = MachineKind.UNKNOWN
    stroke_mm: float | None = None
    unlocking_stroke_mm: float | None = None
    internal_lost_motion_mm: float | None = None  # before it moves the switch
    end_lost_motion_mm: float = 0.0  # after it has moved the switch
    drive_insulated: bool | None = None
    lock_rod_insulated: bool | None = None
    condition: Condition = Condition.UNKNOWN
    quarantined: bool = False
    open_defects: tuple[str, ...] = ()  # one sentence each


@dataclass(frozen=True, slots=True)
class LostMotionFacts:
    """An external lost-motion fitting on a drive lug."""

    noun: ClassVar[str] = "fitting"
    tag: str = field(default="", compare=False)
    lost_motion_min_mm: float | None = None
    lost_motion_max_mm: float | None = None
    lost_motion_set_mm: float | None = None  # as it was last fitted
    suits_lugs: Ticked[DriveLug] = Ticked()
    condition: Condition = Condition.UNKNOWN
    quarantined: bool = False
    open_defects: tuple[str, ...] = ()  # one sentence each

    @property
    def as_set(self) -> "LostMotionFacts":
        """The same where it is fitted: it lets the drive move as far as it is set to, no other."""
        if self.lost_motion_set_mm is None:
            return self
        return replace(
            self,
            lost_motion_min_mm=self.lost_motion_set_mm,
            lost_motion_max_mm=self.lost_motion_set_mm,
        )


PartFacts = StretcherFacts | MachineFacts | LostMotionFacts


@dataclass(frozen=True, slots=True)
class RailFacts:
    """A rail section: only what the rules need of it."""

    code: str
    profile: Profile = Profile.UNKNOWN
    head_mm: float | None = None
    foot_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PlaceNeeds:
    """What the switch asks of a rod at one place, as far as it can be calculated."""

    separation: Interval | None = None  # mm over the backs of the switch rails
    travel_mm: float | None = None  # movement of the switch there, for the nominal opening
    permitted_travel: Interval | None = None  # mm, for the least and greatest permitted opening
    # mm, least and most of the two lies, for the switch opening read; None: not read on both
    measured_travel: Interval | None = None
    separation_from: str = ""  # which gauge it was worked out from, with its day
    measured_travel_from: str = ""  # the openings read, with their days


@dataclass(frozen=True, slots=True)
class PlaceFacts:
    """One place for a stretcher on a set of points, with what is fitted there now."""

    order: int  # 0 is the lock stretcher's place, then 1, 2 ... from the toe
    role: Role
    distance_mm: float | None = None  # from the toe
    space_ahead_mm: float | None = None  # free space to the timber, towards the toe
    space_behind_mm: float | None = None
    kicker_required: bool | None = None
    driven: bool | None = None
    drive_ratio: float | None = None  # a ratio, of the cranks: movement at the rod by the machine's
    chiselled: bool | None = None  # timber cut away for the rod
    separation: Interval | None = None  # mm over the backs that a rod here must hold
    travel_mm: float | None = None  # movement of the switch needed here
    permitted_travel: Interval | None = None  # mm, for the least and greatest permitted opening
    measured_travel: Interval | None = None  # mm, for the opening read on each lie
    separation_from: str = field(default="", compare=False)  # words: they decide nothing
    measured_travel_from: str = field(default="", compare=False)
    stretcher: StretcherFacts | None = None
    machine: MachineFacts | None = None
    lost_motion_fitting: LostMotionFacts | None = None

    @property
    def name(self) -> str:
        """What people call the rod here: "lock stretcher", "second stretcher" ..."""
        if self.order == 0:
            return "lock stretcher"
        ordinals = ("first", "second", "third", "fourth", "fifth", "sixth")
        word = ordinals[self.order - 1] if self.order <= len(ordinals) else f"{self.order}th"
        return f"{word} stretcher"


@dataclass(frozen=True, slots=True)
class PointsFacts:
    """One set of points with its places, ordered from the toe."""

    key: str = field(default="", compare=False)
    layout: Layout = Layout.UNKNOWN
    use: Use = Use.UNKNOWN
    rail: RailFacts | None = None
    # Whether all flat-bottom rails in use on the railway have feet alike; None: not known
    one_flat_bottom_family: bool | None = None
    # Whether no second depth of switch or stretcher is recorded on the railway; None: not known
    one_depth: bool | None = None
    assumed: Assumed = NOTHING_CONFIRMED
    gauge_mm: float | None = None
    track_circuited: bool | None = None
    depth: Depth = Depth.UNKNOWN
    soleplate: Soleplate = Soleplate.UNKNOWN
    lock_casting: Footing = Footing.UNKNOWN
    machine_on: Footing = Footing.UNKNOWN
    detection_rods: DetectionRods = DetectionRods.UNKNOWN
    detector_on: DetectorOn = DetectorOn.UNKNOWN
    studs_mm: tuple[float, ...] | None = None  # from the toe, behind the planing; None: not known
    machine_side: Side = Side.UNKNOWN
    normal_lie: Lie = Lie.UNKNOWN
    least_stretchers: int | None = None  # what the switch design needs, lock stretcher not counted
    places: tuple[PlaceFacts, ...] = ()
    contacts: tuple[Contact, ...] = ()  # metal found touching the rails
    failed_insulations: tuple[FailedInsulation, ...] = ()

    def place(self, order: int) -> PlaceFacts:
        """The place with this number; KeyError where the points have none."""
        for place in self.places:
            if place.order == order:
                return place
        raise KeyError(f"{self.key} has no position {order}")

    def with_rod(self, order: int, stretcher: StretcherFacts | None) -> "PointsFacts":
        """The same points as they would be with this rod (or none) at that place."""
        return self.with_place(order, stretcher=stretcher)

    def cleared(self, order: int) -> "PointsFacts":
        """The same points without what was found of the track circuit at a place."""
        return replace(
            self,
            contacts=tuple(one for one in self.contacts if one.order != order),
            failed_insulations=tuple(one for one in self.failed_insulations if one.order != order),
        )

    def with_place(self, order: int, **changes: Any) -> "PointsFacts":
        """The same points with some facts of one place changed: a part put in, or None."""
        changed = replace(self.place(order), **changes)
        return replace(self, places=tuple(changed if p.order == order else p for p in self.places))


@dataclass(frozen=True, slots=True)
class PositionFacts:
    """A place together with the points it belongs to: what a rod is assessed against."""

    points: PointsFacts
    order: int

    @property
    def place(self) -> PlaceFacts:
        return self.points.place(self.order)

    def with_place(self, **changes: Any) -> "PositionFacts":
        """The same place with some of its facts changed: a part put in, or None."""
        return replace(self, points=self.points.with_place(self.order, **changes))

    @property
    def others(self) -> tuple[tuple[PlaceFacts, StretcherFacts], ...]:
        """The other places of the points that have a rod fitted, each with its rod."""
        return tuple(
            (p, p.stretcher)
            for p in self.points.places
            if p.order != self.order and p.stretcher is not None
        )
