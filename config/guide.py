"""The guide: what the words mean, how things are measured and examined."""

from django.shortcuts import render

from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES


def guide(request):
    """Words of the trade, rules of thumb with their sources, how each thing is measured."""
    given = {
        "section": "guide",
        "quantities": QUANTITIES.values(),
        "items": ITEMS.values(),
    }
    return render(request, "config/guide.html", given)
