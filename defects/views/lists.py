"""Lists of defects: all of them narrowed, and the queue of each department."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from assets.departments import Department
from assets.filters import order_words
from assets.paging import page_of
from defects.lists.department import held_by, jobs_of
from defects.lists.filters import DefectFilter
from defects.models import Defect

PAGE = 50
ON_PAPER = 120  # of a queue on one page: more than a weekend's work, to be printed
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def defect_list(request):
    queryset = Defect.objects.with_links().most_urgent_first()
    narrowed = DefectFilter(request.GET, queryset)
    rows = narrowed.qs if narrowed.is_valid() else queryset.none()
    page = page_of(rows, request.GET.get("page"), PAGE)
    only_open = narrowed.form["state"].value() == "open"
    return render(
        request,
        "defects/list.html",
        {
            "page": page,
            "filter": narrowed,
            "only_open": only_open,
            "caption": f"{_counted(page.paginator.count, only_open)}, {order_words(narrowed)}",
            "today": timezone.localdate(),
            "departments": Department,
            "section": "defects",
        },
    )


def _counted(count: int, only_open: bool) -> str:
    return f"{count} {'open ' if only_open else ''}defect{'' if count == 1 else 's'}"


def department_or_404(word: str) -> Department:
    try:
        return Department(word)
    except ValueError as problem:
        raise Http404("There is no such department.") from problem


def queue(request, department: str):
    """What a department holds, place by place in walking order; printed, it has room to write."""
    department = department_or_404(department)
    today = timezone.localdate()
    page = page_of(held_by(department), request.GET.get("page"), ON_PAPER)
    return render(
        request,
        "defects/queue.html",
        {
            "page": page,
            "department": department,
            "departments": Department,
            "places": jobs_of(page.object_list, today),
            "today": today,
            "section": "defects",
        },
    )


def queue_workbook(request, department: str):
    """The same as a workbook, in which to say what was done."""
    from defects.sheets import department_lists  # loads what writes workbooks

    department = department_or_404(department)
    response = HttpResponse(content_type=XLSX)
    department_lists.write(response, department, timezone.now())
    name = f"{department.label} list {timezone.localdate():%Y-%m-%d}.xlsx".replace(" ", "-")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
