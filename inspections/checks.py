"""System checks: every quantity and every item in the vocabulary is described in the catalogue."""

from django.core.checks import Error, register
from django.template import TemplateDoesNotExist
from django.template.loader import get_template

from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES

from .templatetags.readings import drawing_of
from .words import ItemCode, QuantityCode


def faults_of_quantities(quantities=QUANTITIES) -> list[str]:
    """What is missing from the catalogue of quantities, one sentence each."""
    faults = [
        f"{code.value} is not in the catalogue" for code in set(QuantityCode) - set(quantities)
    ]
    for code, quantity in quantities.items():
        if not quantity.label or not quantity.unit or not quantity.how:
            faults.append(f"{code} lacks a label, a unit or how it is taken")
        if not quantity.least < quantity.most:
            faults.append(f"{code} has no range of values that it can have")
        if not (quantity.at_toe or quantity.at_lock or quantity.at_others or quantity.between):
            faults.append(f"{code} is taken nowhere")
        if not _is_drawn(quantity):
            faults.append(f"{code} has no drawing of how it is taken")
    return sorted(faults)


def _is_drawn(quantity) -> bool:
    try:
        get_template(drawing_of(quantity))
    except TemplateDoesNotExist:
        return False
    return True


def faults_of_items(items=ITEMS) -> list[str]:
    """What is missing from the catalogue of things looked at, one sentence each."""
    missing = [f"{code.value} is not in the catalogue" for code in set(ItemCode) - set(items)]
    mute = [f"{code} does not say how to look" for code, item in items.items() if not item.how]
    return sorted(missing + mute)


@register
def catalogue_is_whole(app_configs, **kwargs):
    return [
        Error(f"Inspections: {fault}.", id="inspections.E001")
        for fault in faults_of_quantities() + faults_of_items()
    ]
