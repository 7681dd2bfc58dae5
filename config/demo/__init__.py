"""The demo railway: an invented line, written down in fixtures/demo, built by these modules.

Days in its files are days before the day of loading, so that what is due looks alive.
"""

from dataclasses import dataclass
from datetime import date

from django.contrib.auth import get_user_model
from django.db import transaction
from django.utils import timezone

from assets.models import Location, LostMotionFitting, Machine, Points, Stretcher
from config import reference

from . import days, files, people


class OtherRailwayError(Exception):
    """The register holds a railway of its own."""


@dataclass(frozen=True)
class Loaded:
    """How the register stands after loading; ``new`` is False where it was there already."""

    new: bool
    points: int
    stretchers: int


def is_empty() -> bool:
    """Whether nothing of a railway is in the register: no place, no part, no account."""
    models = (Location, Stretcher, Machine, LostMotionFitting, get_user_model())
    return not any(model.objects.exists() for model in models)


def is_demo() -> bool:
    """Whether the register is the demo railway: its locations and accounts, and no others."""
    register = files.read("register")
    codes = set(Location.objects.values_list("code", flat=True))
    names = set(get_user_model().objects.values_list("username", flat=True))
    return (
        bool(codes)
        and codes <= {row["code"] for row in register["locations"]}
        and set(people.usernames()) <= names
    )


@transaction.atomic
def load(today: date | None = None) -> Loaded:
    """Loads the demo railway once; OtherRailwayError where the register holds anything else."""
    new = is_empty()
    if new:
        _build(today or timezone.localdate())
    elif not is_demo():
        raise OtherRailwayError("This register holds a railway of its own.")
    return Loaded(new, Points.objects.count(), Stretcher.objects.count())


def _build(today: date) -> None:
    # Here, not above: these do sums with libraries that a page must not wait for.
    from . import defects, register, visits

    calendar = days.Calendar(today)
    reference.load()
    people.make()
    register.build(calendar)
    visits.prepare(calendar)
    days.happen(visits.happenings(calendar) + defects.happenings(calendar))
