"""System checks: every named address is guarded, and SQLite is set up to lose nothing."""

from django.core.checks import Error, Tags, Warning, register
from django.db import connections
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


# What SQLite must answer, and why.
PRAGMAS = {
    "journal_mode": (
        lambda value: value in ("wal", "memory"),  # in memory there is nobody to wait for
        "people wait for each other to read",
    ),
    "foreign_keys": (lambda value: value == 1, "links to what is not there are let in"),
    "busy_timeout": (
        lambda value: value >= 5_000,
        "whoever saves at the same moment as someone else is refused at once",
    ),
    "synchronous": (lambda value: value >= 2, "a power cut can take what was confirmed as saved"),
}


@register(Tags.database)
def sqlite_loses_nothing(app_configs, databases=None, **kwargs):
    """Asked of the connections themselves, as they are; run by ``check --database default``."""
    return [
        Error(
            f"SQLite's {name} of the database {alias!r} is {value}: {why}.",
            hint="See DATABASES in config/settings.py.",
            id="config.E003",
        )
        for alias in databases or []
        if connections[alias].vendor == "sqlite"
        for name, (is_right, why) in PRAGMAS.items()
        if not is_right(value := _pragma(alias, name))
    ]


def _pragma(alias: str, name: str):
    with connections[alias].cursor() as cursor:
        return cursor.execute(f"PRAGMA {name}").fetchone()[0]
