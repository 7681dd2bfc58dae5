"""The work done to a part as it is fitted: each thing done is a change of a fact of the part."""

from dataclasses import dataclass

from assets.engineering.suitability.answers import mm
from assets.engineering.words import Notches, Profile, ShoeColour
from assets.models.parts import Part


@dataclass(frozen=True)
class Shoe:
    """The shoe that is on an end now, for the rail that it fits."""

    profile: Profile
    colour: ShoeColour = ShoeColour.UNKNOWN
    foot_mm: float | None = None  # foot width of the rail

    def in_words(self) -> str:
        told = [f"for {self.profile.label} rail"]
        if self.foot_mm is not None:
            told.append(f"foot {mm(self.foot_mm)}")
        if self.colour is not ShoeColour.UNKNOWN:
            told.append(self.colour.label)
        return ", ".join(told)


@dataclass(frozen=True)
class Work:
    """What was done; left and right are as the part lies afterwards. None: nothing done there."""

    turned: bool = False  # end for end
    left_shoe: Shoe | None = None
    right_shoe: Shoe | None = None
    left_shims_mm: float | None = None
    right_shims_mm: float | None = None
    notches_cut_mm: float | None = None  # the distance between them
    lost_motion_mm: float | None = None  # set to

    def __bool__(self) -> bool:
        return self != Work()

    def do(self, part: Part) -> None:
        """Changes the facts of the part, unsaved; turning comes first."""
        if self.turned:
            part.turn()
        for name, value in self._facts().items():
            setattr(part, name, value)

    def _facts(self) -> dict[str, object]:
        """Each fact that the work leaves behind, by the field of the part."""
        found: dict[str, object] = {}
        for end in ("left", "right"):
            shoe = getattr(self, f"{end}_shoe")
            if shoe is not None:
                found[f"{end}_shoe"] = shoe.profile.value
                found[f"{end}_shoe_colour"] = shoe.colour.value
                found[f"{end}_shoe_foot_mm"] = shoe.foot_mm
            shims = getattr(self, f"{end}_shims_mm")
            if shims is not None:
                found[f"shim_{end}_mm"] = shims
        if self.notches_cut_mm is not None:
            found["notches"] = Notches.CUT.value
            found["notch_distance_mm"] = self.notches_cut_mm
        if self.lost_motion_mm is not None:
            found["lost_motion_set_mm"] = self.lost_motion_mm
        return found

    def in_words(self) -> str:
        """Everything that was done, for the part's story; "" for nothing."""
        told = ["turned end for end"] if self.turned else []
        for end in ("left", "right"):
            shoe, shims = getattr(self, f"{end}_shoe"), getattr(self, f"{end}_shims_mm")
            if shoe is not None:
                told.append(f"{end} shoe changed to one {shoe.in_words()}")
            if shims is not None:
                told.append(f"shims at the {end} shoe set to {mm(shims)}")
        if self.notches_cut_mm is not None:
            told.append(f"lock notches cut {mm(self.notches_cut_mm)} apart")
        if self.lost_motion_mm is not None:
            told.append(f"lost motion set to {mm(self.lost_motion_mm)}")
        return "; ".join(told)
