"""What a phone needs at the lineside: a visit that waited is received, points are taken along."""

import uuid

from django.contrib import messages
from django.http import JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from assets.days import day
from assets.departments import name_of
from assets.models import Points
from assets.views.lookup import points_or_404
from inspections.catalogue.quantities import LIES
from inspections.forms.visit import VisitForm
from inspections.models import Inspection
from inspections.upcoming.due import due_list


@never_cache
def token(request):
    """Who is logged in, with a fresh token: a page kept on the phone holds an old one."""
    return JsonResponse(
        {"token": get_token(request), "user": request.user.pk, "name": name_of(request.user)}
    )


@never_cache
@require_POST
def receive(request, code: str, number: str):
    """Records a visit sent by the phone's queue, once.

    201 with where it stands; 422 with what to put right, box by box. Anything else means that it
    was not received, and the phone keeps it.
    """
    points = points_or_404(code, number)
    earlier = _received_before(points, request.POST.get("client_id", ""))
    if earlier:
        return _received(earlier)
    queued = request.POST.get("queued") == "yes"
    form = VisitForm(points, request.POST, request.FILES, queued=queued)
    visit = form.save(request.user) if form.is_valid() else None
    if visit is None:
        return JsonResponse({"errors": form.errors, "rods": form.fitted_now}, status=422)
    if not queued:  # the page of the visit comes next, and says so
        messages.success(request, f"The visit to {points.key} on {day(visit.at)} is recorded.")
    return _received(visit)


def _received_before(points: Points, client_id: str) -> Inspection | None:
    try:
        sent_as = uuid.UUID(client_id)
    except ValueError:
        return None
    return Inspection.objects.filter(points=points, client_id=sent_as).first()


def _received(visit: Inspection) -> JsonResponse:
    out = visit.readings.standing().out().count()
    defective = visit.examinations.standing().out().count()
    return JsonResponse(
        {
            "recorded": str(visit.client_id),
            "url": visit.get_absolute_url(),
            "out": out,
            "defective": defective,
            "asked": visit.differences.open().count(),
        },
        status=201,
    )


def take(request):
    """Which points to take along; those asked for, or due within three weeks, are ticked."""
    asked = {key.strip().lower() for key in request.GET.getlist("points")}
    due = {row.points.pk: row for row in due_list(timezone.localdate(), within_days=21)}
    rows = []
    for points in Points.objects.select_related("location").in_walking_order():
        rows.append(
            {
                "points": points,
                "due": due.get(points.pk),
                "ticked": points.key.lower() in asked,
                "pages": " ".join(_pages(points)),
            }
        )
    return render(request, "inspections/take.html", {"rows": rows, "section": "visits"})


def _pages(points: Points) -> list[str]:
    """What is kept of one set of points: its page, the form, and its page for each lie."""
    address = points.get_absolute_url()
    form = reverse("inspections:inspect", args=[points.location.code, points.number])
    return [address, form, *(f"{address}?lie={lie}" for lie in LIES)]


def queue(request):
    """What waits on the phone. The page is the same for everybody: the phone fills it in."""
    return render(request, "inspections/queue.html", {"section": "visits"})
