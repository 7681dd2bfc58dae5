"""How readings, limits and verdicts are written on every page."""

from django import template

from inspections.catalogue.quantities import QUANTITIES
from inspections.words import ItemCode, QuantityCode, Verdict

register = template.Library()


@register.filter
def quantity_name(code: str) -> str:
    return QuantityCode(code).label


@register.filter
def item_name(code: str) -> str:
    return ItemCode(code).label


@register.filter
def drawing_of(quantity) -> str:
    """The template that draws how a quantity is taken; a system check sees that it is there."""
    return f"inspections/taking/{quantity.code.value}.svg"


@register.filter
def value_of(reading) -> str:
    """A reading's value with its unit, or why there is none."""
    if reading.value is None:
        return f"not taken: {reading.not_taken_reason}"
    return QUANTITIES[QuantityCode(reading.quantity)].written(reading.value)


@register.filter
def in_unit_of(value, quantity: str) -> str:
    """A bare value with the unit of a quantity."""
    return QUANTITIES[QuantityCode(quantity)].written(value)


@register.filter
def taken_at(reading) -> str:
    """Where a reading was taken, in words; reads the visit and the position."""
    return reading.where.words


@register.filter
def mm_range(between) -> str:
    """A least and a most in mm as one figure where they do not differ: "51.2 to 53.0 mm"."""
    return f"{' to '.join(dict.fromkeys(f'{mm:.1f}' for mm in between))} mm"


@register.filter
def limit_words(limit) -> str:
    """A limit in words: "at least 50 mm"; "no limit" for none."""
    if limit is None:
        return "no limit"
    quantity = QUANTITIES[QuantityCode(limit.quantity)]
    return quantity.limit_words(limit.minimum, limit.maximum)


@register.filter
def result_words(reading) -> str:
    """What a reading's verdict comes to: "out of limits: too small by 6 mm"; reads the limit."""
    limit = reading.limit
    bounds = (limit.minimum, limit.maximum) if limit else (None, None)
    quantity = QUANTITIES[QuantityCode(reading.quantity)]
    return quantity.result_words(Verdict(reading.verdict), reading.way, reading.value, *bounds)


@register.filter
def result_of(judged, reading) -> str:
    """The same of a reading as it would be judged."""
    bound = judged.bound
    bounds = (bound.minimum, bound.maximum) if bound else (None, None)
    quantity = QUANTITIES[QuantityCode(reading.quantity)]
    return quantity.result_words(judged.verdict, judged.way, reading.value, *bounds)


@register.filter
def verdict_notes(reading) -> str:
    """What goes with a verdict: that its limit is not confirmed yet, an instrument past its check.

    Reads the limit and the instrument.
    """
    notes = []
    if reading.limit is not None and not reading.limit_confirmed and not reading.limit.confirmed:
        notes.append("limit not confirmed")
    if reading.instrument_past_check:
        notes.append(f"{reading.instrument.tag} check overdue")
    return ", ".join(notes)


@register.filter
def when_by(foretold, today) -> str:
    """When a place (``Reaching``) reaches its limit, as it stands today."""
    return foretold.when(today)


@register.filter
def words_by(reach, today) -> str:
    return reach.words(today)


@register.filter
def span_by(reach, today) -> str:
    return reach.span(today)


@register.simple_tag
def wrong_boxes(form) -> list[tuple[str, str]]:
    """The marked boxes of an inspection form: id of each, and what it is in words.

    The page is long: a list of links at its top leads to each.
    """
    return [
        (field.auto_id + ("_0" if field.use_fieldset else ""), _box_words(form, field))
        for field in form
        if field.errors and not field.is_hidden
    ]


def _box_words(form, field) -> str:
    if field.name in form.spots:
        spot = form.spots[field.name]
        place = "between the stretchers" if spot.between else spot.where.words
        return f"{spot.quantity.label}, {place}"
    if field.name in form.lookings:
        item, rod_place = form.lookings[field.name]
        return f"{item.label}, {rod_place.name}" if rod_place else item.label
    return str(field.label)
