"""What was ever fitted at a set of points."""

from .models import Fitting, Points
from .panels import once


def story_of(points: Points) -> list[Fitting]:
    """Every fitting, the latest first, with its part and position; one query a page."""
    return once(points, "story", lambda: list(_story_of(points)))


def _story_of(points: Points):
    links = ("stretcher", "machine", "lost_motion_fitting", "position__points__location")
    return Fitting.objects.filter(position__points=points).select_related(*links).in_order()
