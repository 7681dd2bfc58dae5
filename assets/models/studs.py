"""The studs that hold the closed switch rail behind its planing, as people write them."""

import re

from django.core.exceptions import ValidationError

from assets.engineering.figures import FigureRefused, figure

from .fields import Text

NONE = "none"
_BETWEEN = re.compile(r"\s*;\s*")


def distances_of(written: str) -> tuple[float, ...] | None:
    """Distances from the toe (mm) of "2600; 3400"; none at all for "none", None for a blank.

    Raises FigureRefused for what is no distance.
    """
    if not written.strip():
        return None
    if written.strip().casefold() == NONE:
        return ()
    return tuple(sorted(figure(one, "mm") for one in _BETWEEN.split(written.strip())))


def _are_distances(written: str) -> None:
    try:
        found = distances_of(written)
    except FigureRefused as problem:
        raise ValidationError(
            f"{problem} Write the distances from the toe like 2600; 3400, or none."
        ) from None
    if found and not 0 < min(found) <= max(found) <= 30_000:
        raise ValidationError("A stud is between 0 and 30000 mm from the toe.")


class Studs(Text):
    """Distances from the toe with semicolons between, the word *none*, or blank: not known."""

    default_validators = [*Text.default_validators, _are_distances]
