"""What an address names, or a page that says there is no such thing."""

from django.http import Http404
from django.shortcuts import get_object_or_404

from assets.kinds import BY_ADDRESS, BY_FIELD, PartKind
from assets.models import Fitting, Location, Points, Position
from assets.models.fittings import PART_FIELDS


def kind_or_404(called: str, *, at_a_place: bool = False) -> PartKind:
    """The kind of part that is called this in addresses of parts, or of what is at a place."""
    try:
        return (BY_FIELD if at_a_place else BY_ADDRESS)[called]
    except KeyError:
        raise Http404(f"There is no kind of part called {called}.") from None


def part_or_404(kind: str, tag: str):
    return get_object_or_404(kind_or_404(kind).model, tag__iexact=tag)


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
    queryset = Fitting.objects.current().select_related("position__points__location", *PART_FIELDS)
    return get_object_or_404(queryset, pk=pk)
