"""A register of an early version, whose tables were drawn up otherwise: refused, never half-read.

The tables were drawn up afresh once, before any railway used the program. What was made before is
left as it is, unless it is the demo railway and somebody asks for that to start again.
"""

from collections.abc import Iterable

from django.core.management.base import CommandError
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.recorder import MigrationRecorder

_BEFORE = ("assets", "0001_initial")

REFUSAL = (
    "This data folder holds a register of an early version, which this version cannot read; "
    "nothing in it was changed. Save it as a workbook with the version that made it, then load "
    "that into an empty folder: name one in TOE_TO_HEEL_DATA. Open defects are raised again there; "
    "closed ones, and what was done, stay in the workbook. If it is only the demo railway, "
    '"python manage.py demo --reset" starts that again.'
)


def is_older(using: str = DEFAULT_DB_ALIAS) -> bool:
    """Whether the database was made by an early version; two queries."""
    recorder = MigrationRecorder(connections[using])
    return recorder.has_table() and _BEFORE in recorder.applied_migrations()


def refuse_older(using: str = DEFAULT_DB_ALIAS, **kwargs) -> None:
    """CommandError where the database was made by an early version; called before a migration."""
    if is_older(using):
        raise CommandError(REFUSAL)


def holds_only(codes: Iterable[str], names: Iterable[str]) -> bool:
    """Whether an older register has locations of these codes and no others, and these accounts."""
    with connections[DEFAULT_DB_ALIAS].cursor() as cursor:
        cursor.execute("SELECT code FROM assets_location")
        held = {code for (code,) in cursor.fetchall()}
        cursor.execute("SELECT username FROM auth_user")
        known = {name for (name,) in cursor.fetchall()}
    return bool(held) and held <= set(codes) and set(names) <= known


def take_away() -> None:
    """Drops every table, with what the database itself keeps of them."""
    connection = connections[DEFAULT_DB_ALIAS]
    names = connection.introspection.table_names()
    with connection.constraint_checks_disabled(), connection.cursor() as cursor:
        cascade = "" if connection.vendor == "sqlite" else " CASCADE"
        for name in names:
            cursor.execute(f"DROP TABLE IF EXISTS {connection.ops.quote_name(name)}{cascade}")
