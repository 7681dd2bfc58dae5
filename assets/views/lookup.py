"""What an address names, or a page that says there is no such thing."""

from django.http import Http404
from django.shortcuts import get_object_or_404

from assets.models import Fitting, Location, LostMotionFitting, Machine, Points, Position, Stretcher
from assets.models.fittings import PART_KINDS

KINDS = {"stretcher": Stretcher, "machine": Machine, "lostmotionfitting": LostMotionFitting}


def kind_or_404(kind: str):
    """The model of a kind of part as it stands in addresses."""
    try:
        return KINDS[kind]
    except KeyError:
        raise Http404(f"There is no kind of part called {kind}.") from None


def part_or_404(kind: str, tag: str):
    return get_object_or_404(kind_or_404(kind), tag__iexact=tag)


def location_or_404(code: str) -> Location:
    return get_object_or_404(Location, code__iexact=code)


def points_or_404(code: str, number: str, queryset=None) -> Points:
    """The points at this address, however its letters are written."""
    queryset = Points.objects.select_related("location") if queryset is None else queryset
    return get_object_or_404(queryset, location__code__iexact=code, number__iexact=number)


def position_or_404(code: str, number: str, order: int) -> Position:
    points = points_or_404(code, number)
    return get_object_or_404(
        Position.objects.select_related("points__location"), points=points, order=order
    )


def fitting_or_404(pk: int) -> Fitting:
    queryset = Fitting.objects.current().select_related("position__points__location", *PART_KINDS)
    return get_object_or_404(queryset, pk=pk)
