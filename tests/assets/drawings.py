"""The drawn plan read back: what stands where on the sheet."""

from xml.etree import ElementTree

from django.template.loader import render_to_string

from assets.plan.layout import lay_out

SVG = "{http://www.w3.org/2000/svg}"


def picture(plan_or_context) -> ElementTree.Element:
    """The drawing as a page shows it."""
    context = plan_or_context
    if not isinstance(context, dict):
        context = {"drawing": lay_out(plan_or_context)}
    text = render_to_string("assets/_plan.svg", context)
    return ElementTree.fromstring(text.replace("<svg ", f'<svg xmlns="{SVG[1:-1]}" ', 1))


def words_of(element) -> str:
    return " ".join("".join(element.itertext()).split())


def with_class(picture, word: str) -> list:
    return [e for e in picture.iter() if word in e.get("class", "").split()]


def distances_drawn(picture) -> dict[int, float]:
    """mm from the toe of every rod, measured off the drawing with its own scale."""
    toe, along = float(picture.get("data-toe")), float(picture.get("data-along"))
    return {
        int(place.get("data-order")): (toe - float(place.get("data-v"))) / along
        for place in with_class(picture, "place")
    }
