"""A system check: every named address stands in the table of who may do what, and no other."""

from django.core.checks import Error, Warning, register
from django.urls import URLPattern, URLResolver, get_resolver

from .access import ADDRESSES


def view_names(resolver=None, namespace: str = "") -> set[str]:
    """Every named address below a resolver, with its namespace; the admin's are left out."""
    names = set()
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            if pattern.namespace != "admin":
                names |= view_names(pattern, inner)
        elif isinstance(pattern, URLPattern):
            names.add(f"{namespace}{pattern.name}")
    return names


@register
def every_address_is_guarded(app_configs, **kwargs):
    names = view_names()
    unguarded = [
        Error(
            f"The address {name} is not in config.access.ADDRESSES, so nobody may use it.",
            hint="Add it with what it takes to use it.",
            id="config.E001",
        )
        for name in sorted(names - set(ADDRESSES))
    ]
    stale = [
        Warning(
            f"config.access.ADDRESSES names {name}, which is no address.",
            hint="Take it out, or name the address so.",
            id="config.W002",
        )
        for name in sorted(set(ADDRESSES) - names)
    ]
    return unguarded + stale
