"""Lists that come a page at a time, whatever they are lists of."""

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet


def page_of(rows: QuerySet, number: object, size: int) -> Page:
    """One page of a list; any number gives the nearest page there is. Two or three queries.

    Only the keys are put in order, and only the rows that are shown are read whole: in a long list
    the links and counts of all the others would cost the most.
    """
    paginator = Paginator(keys_of(rows), size)
    first = None
    if number in (None, "", "1"):
        first = list(paginator.object_list[: size + 1])
        if len(first) <= size:
            paginator.count = len(first)  # it is the whole list
    page = paginator.get_page(number)
    shown = list(page.object_list) if first is None else first[:size]
    found = {row.pk: row for row in rows.order_by().filter(pk__in=shown)}
    page.object_list = [found[key] for key in shown if key in found]
    return page


def keys_of(rows: QuerySet) -> QuerySet:
    """Only the keys, in the same order: all that deciding what to show takes."""
    return rows.select_related(None).prefetch_related(None).values_list("pk", flat=True)


def stretch_of(rows: QuerySet, number: object, *, whole: int, at_once: int) -> Page:
    """As much of a list as is worked through at once: all of it unless it is long. Two queries.

    ``whole`` is the most rows that are taken together, ``at_once`` how many of a longer list.
    """
    count = rows.count()
    paginator = Paginator(rows, max(1, count if count <= whole else at_once))
    paginator.count = count  # known already
    return paginator.get_page(number)
