"""Where readings are going: what is reaching a limit, and the trend of one place."""

from django import forms
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.utils import timezone

from assets.models import Points
from assets.views.lookup import points_or_404
from inspections.models import Reaching, Reading
from inspections.pictures.trend import picture_of
from inspections.upcoming import kept
from inspections.upcoming.history import Followed, followed

DAYS = 90
PAGE = 25


class AheadForm(forms.Form):
    days = forms.IntegerField(label="Days ahead", min_value=1, max_value=1825, initial=DAYS)


def trends(request):
    """What may reach a limit within some days."""
    form = AheadForm(request.GET if "days" in request.GET else {"days": DAYS})
    days = form.cleaned_data["days"] if form.is_valid() else None
    today = timezone.localdate()
    left = kept.keep_up(today)
    places = kept.reaching(today, days) if days else Reaching.objects.none()
    page = Paginator(places, PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "inspections/trends.html",
        {
            "page": page,
            "rows": kept.trends_of(page.object_list, today),
            "left": left,
            "days": days,
            "today": today,
            "form": form,
            "section": "visits",
        },
    )


def trend(request, code: str, number: str):
    """All places of some points where something is read again and again, and one of them drawn."""
    points = points_or_404(code, number)
    today = timezone.localdate()
    rows = followed(Points.objects.filter(pk=points.pk), today)
    rows.sort(key=_from_the_toe)
    chosen = _chosen(request, rows)
    return render(
        request,
        "inspections/trend.html",
        {
            "points": points,
            "rows": rows,
            "chosen": chosen,
            "today": today,
            "picture": picture_of(chosen.trend, chosen.quantity, chosen.limits) if chosen else None,
            "readings": _readings(chosen) if chosen else [],
            "section": "visits",
        },
    )


def _chosen(request, rows: list[Followed]) -> Followed | None:
    """The row that the address names, or the first; 404 for one that nothing was read of."""
    if "quantity" not in request.GET:
        return rows[0] if rows else None
    names = ("quantity", "position", "side", "lie")
    asked = [request.GET.get(name, "") for name in names]
    for row in rows:
        order = "" if row.position is None else str(row.position.order)
        if asked == [row.place.quantity, order, row.place.where.side, row.place.where.lie]:
            return row
    raise Http404("Nothing was read at that place.")


def _from_the_toe(row: Followed) -> tuple:
    order = -1 if row.position is None else row.position.order
    return (order, row.quantity.label, row.place.where.side, row.place.where.lie)


def _readings(chosen: Followed) -> list[tuple[Reading, bool]]:
    """The readings of the table, the newest first, each with whether a new piece begins with it."""
    pieces = chosen.trend.pieces
    begins = {piece[0].reading for piece in pieces[1:]}
    ids = [taken.reading for piece in pieces for taken in piece]
    rows = Reading.objects.filter(pk__in=ids).select_related(
        "inspection", "stretcher", "limit", "instrument"
    )
    ordered = sorted(rows, key=lambda row: ids.index(row.pk), reverse=True)
    return [(row, row.pk in begins) for row in ordered]
