"""Drawing what a form's box offers."""

from collections.abc import Iterable
from html import escape

from django import template
from django.forms.utils import flatatt
from django.utils.safestring import SafeString, mark_safe

register = template.Library()


@register.filter
def as_options(groups: Iterable[tuple]) -> SafeString:
    """The options of a select; in Python, for a template's loop over hundreds takes long."""
    return mark_safe("\n".join(_group(name, options) for name, options, _ in groups))  # noqa: S308 - each is escaped


def _group(name: str | None, options: list[dict]) -> str:
    written = "\n".join(_option(option) for option in options)
    return f'<optgroup label="{escape(str(name))}">{written}</optgroup>' if name else written


def _option(option: dict) -> str:
    attributes = flatatt(option["attrs"]) if option["attrs"] else ""
    value, label = escape(str(option["value"])), escape(str(option["label"]))
    return f'<option value="{value}"{attributes}>{label}</option>'
