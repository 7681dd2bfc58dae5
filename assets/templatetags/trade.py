"""How figures, codes and unknowns are written on every page."""

from django import template

register = template.Library()


@register.filter
def figure(value, unit: str = "") -> str:
    """A number without idle decimals, with its unit; "unknown" for None."""
    if value is None or value == "":
        return "unknown"
    written = f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else f"{value}"
    return f"{written} {unit}".strip()


@register.filter
def mm(value) -> str:
    """A length in mm; "unknown" for None."""
    return figure(value, "mm")


@register.filter
def known(value) -> str:
    """A yes/no fact that may be unknown."""
    return {True: "yes", False: "no"}.get(value, "unknown")


@register.filter
def words(value) -> str:
    """A code as words: "does_not_suit" is "does not suit"."""
    return str(value).replace("_", " ")


@register.simple_tag(takes_context=True)
def with_query(context, **changes) -> str:
    """The present query string with some values changed; None takes one away."""
    query = context["request"].GET.copy()
    for key, value in changes.items():
        if value is None:
            query.pop(key, None)
        else:
            query[key] = value
    return f"?{query.urlencode()}"
