"""Moving a whole register from one database to another, with every row counted and compared."""

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime

from django.apps import apps
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connections, models, transaction

from config import triggers

BATCH = 2_000
# Each database makes these for itself, or they end with the move.
OWN = {"contenttypes.contenttype", "auth.permission", "sessions.session", "admin.logentry"}
# A database with any of these is a railway's own.
RAILWAY = {"auth.User", "assets.Location", "assets.Stretcher", "assets.Machine"}


class MoveFailed(Exception):
    """The move was given up and the target left empty; the message says what to do."""


@dataclass(frozen=True)
class Moved:
    """One table as it stands in both databases."""

    table: str
    rows: int
    checksum: str


def move(source: str, target: str, tell: Callable[[str], None] = print) -> list[Moved]:
    """Copies every row from one configured database to another, which must be empty.

    All in one transaction on the target: it is whole or empty. Raises MoveFailed.
    """
    call_command("migrate", database=target, verbosity=0, interactive=False)
    busy = [m for m in _models() if m._base_manager.using(target).exists()]
    if any(model._meta.label in RAILWAY for model in busy):
        words = ", ".join(model._meta.label for model in busy)
        raise MoveFailed(f"The target is not empty ({words}): give an empty database.")
    try:
        with transaction.atomic(using=target):
            triggers.remove_all(target)
            for model in busy:  # what a new database is delivered with: posts, routes
                model._base_manager.using(target).all()._raw_delete(target)
            moved = [_move_table(model, source, target, tell) for model in _models()]
            _reset_sequences(target)
            triggers.install_all(target)
    except Exception as problem:
        raise MoveFailed(f"Nothing was moved: {problem}") from problem
    return moved


def _models() -> list[type[models.Model]]:
    """Every table to be moved, link tables included."""
    found = apps.get_models(include_auto_created=True)
    return [m for m in found if m._meta.managed and m._meta.label_lower not in OWN]


def _move_table(model, source: str, target: str, tell) -> Moved:
    fields = [field.attname for field in model._meta.concrete_fields]
    count = 0
    for batch in _batches(model, source):
        rows = [model(**{name: getattr(row, name) for name in fields}) for row in batch]
        with _times_as_given(model):
            model._base_manager.using(target).bulk_create(rows)
        count += len(rows)
    here, there = checksum(model, source), checksum(model, target)
    if here != there:
        raise MoveFailed(f"{model._meta.label} is not the same in the target.")
    if count:
        tell(f"{model._meta.label}: {count} rows")
    return Moved(model._meta.db_table, count, here)


@contextmanager
def _times_as_given(model) -> Iterator[None]:
    """Fields that note the time of saving keep the time they have."""
    stamped = [f for f in model._meta.concrete_fields if getattr(f, "auto_now_add", False)]
    for field in stamped:
        field.auto_now_add = False
    try:
        yield
    finally:
        for field in stamped:
            field.auto_now_add = True


def _batches(model, using: str) -> Iterator[list]:
    batch = []
    for row in model._base_manager.using(using).order_by("pk").iterator(chunk_size=BATCH):
        batch.append(row)
        if len(batch) == BATCH:
            yield batch
            batch = []
    if batch:
        yield batch


def checksum(model, using: str) -> str:
    """SHA-256 over every value of every row, in the order of the keys."""
    digest = hashlib.sha256()
    names = [field.attname for field in model._meta.concrete_fields]
    rows = model._base_manager.using(using).order_by("pk").values_list(*names)
    for row in rows.iterator(chunk_size=BATCH):
        digest.update(repr([_plain(value) for value in row]).encode())
    return digest.hexdigest()


def _plain(value):
    return value.isoformat() if isinstance(value, datetime) else value


def _reset_sequences(using: str) -> None:
    connection = connections[using]
    statements = connection.ops.sequence_reset_sql(no_style(), _models())
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
