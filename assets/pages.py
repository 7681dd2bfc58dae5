"""Lists that come a page at a time, whatever they are lists of."""

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet


def page_of(rows: QuerySet, number: object, size: int) -> Page:
    """One page of a list; any number gives the nearest page there is. Three queries.

    Only the keys are put in order, and only the rows that are shown are read whole: in a long list
    the links and counts of all the others would cost the most.
    """
    keys = rows.select_related(None).prefetch_related(None).values_list("pk", flat=True)
    page = Paginator(keys, size).get_page(number)
    shown = list(page.object_list)
    found = {row.pk: row for row in rows.order_by().filter(pk__in=shown)}
    page.object_list = [found[key] for key in shown if key in found]
    return page
