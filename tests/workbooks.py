"""Workbooks made by hand for the tests, loaded as the program loads them."""

import io
from collections.abc import Mapping, Sequence
from datetime import datetime

from django.apps import apps
from django.db import models
from django.utils import timezone
from openpyxl import Workbook, load_workbook
from openpyxl.packaging.custom import StringProperty

from assets.models import Fitting
from assets.sheets.loading import EVERYTHING, Choice
from assets.workbook.opening import open_book
from assets.workbook.planning import Plan
from assets.workbook.writing import Table, write_book
from config import triggers
from config.workbook import register
from defects.models import Judged
from inspections.models import Outlook

Rows = Sequence[Sequence]
Names = dict[tuple, object]  # model and key of a row, to how a link to it is written
# When a row was written down here, and by which account: a register elsewhere has its own.
OWN = {"id", "recorded_at", "recorded_by", "entered_at", "user", "account", "scope_key"}
# A workbook carries no result to judge by: a part is judged where it is loaded.
JUDGED_ANEW = {(Fitting, "outcome"), (Fitting, "against")}
# How often something was written, for what is kept ready: a loading writes in another order.
COUNTED = {(Outlook, "changes"), (Judged, "changes")}


def book_of(sheets: Mapping[str, Rows], exported_at: datetime | None = None) -> io.BytesIO:
    """A workbook with these sheets; the first row of each is its headings."""
    book = Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        page = book.create_sheet(name)
        for row in rows:
            page.append(list(row))
    if exported_at is not None:
        stamp = exported_at.isoformat()
        book.custom_doc_props.append(StringProperty(name="Exported at", value=stamp))
    return _file_of(book)


def saved(choice: Choice = EVERYTHING) -> io.BytesIO:
    """The register as the program saves it."""
    target = io.BytesIO()
    register.save(target, choice)
    target.seek(0)
    return target


def saved_sheets(*bound) -> io.BytesIO:
    """Some sheets of the register alone, which is quicker."""
    target = io.BytesIO()
    tables = [Table(one.sheet, (values for _, values in one.held(EVERYTHING))) for one in bound]
    write_book(target, tables, timezone.now())
    target.seek(0)
    return target


def edited(source: io.BytesIO, changes: Mapping[tuple[str, str, str], object]) -> io.BytesIO:
    """The workbook with some cells changed: (sheet, first cell of the row, heading) to value."""
    source.seek(0)
    book = load_workbook(source)
    for (sheet, name, heading), value in changes.items():
        page = book[sheet]
        headings = [cell.value for cell in page[1]]
        row = next(r for r in page.iter_rows(min_row=2) if str(r[0].value) == name)
        row[headings.index(heading)].value = value
    return _file_of(book)


def extended(source: io.BytesIO, sheet: str, *rows: Mapping[str, object]) -> io.BytesIO:
    """The workbook with rows added to a sheet: heading to value."""
    source.seek(0)
    book = load_workbook(source)
    headings = [cell.value for cell in book[sheet][1]]
    for row in rows:
        assert set(row) <= set(headings), set(row) - set(headings)
        book[sheet].append([row.get(heading) for heading in headings])
    return _file_of(book)


def _file_of(book: Workbook) -> io.BytesIO:
    target = io.BytesIO()
    book.save(target)
    target.seek(0)
    return target


def load(source: io.BytesIO | Mapping[str, Rows], account=None, keep: bool = True) -> Plan:
    """Loads a workbook, or the sheets of one, as an account (None: the program's keeper)."""
    file = source if isinstance(source, io.BytesIO) else book_of(source)
    with open_book(file, "workbook.xlsx") as book:
        return register.load(register.understand(book), account, lambda plan: keep)


def totals(plan: Plan) -> tuple[int, int, int, int, int]:
    """New, changed, same, refused, conflict."""
    return tuple(plan.totals[name] for name in ("new", "changed", "same", "refused", "conflict"))


def refusals(plan: Plan) -> list[tuple[str, int, str, str]]:
    """Sheet, row, column and reason of everything refused."""
    return [(r.sheet, r.row, r.column, r.reason) for r in plan.refusals]


def reason(plan: Plan) -> str:
    """The one reason for which anything is refused."""
    [(_, _, _, sentence)] = refusals(plan)
    return sentence


def railway_models() -> list[type[models.Model]]:
    """The tables of the railway's own records, histories left out."""
    labels = ("assets", "inspections", "defects")
    found = [m for m in apps.get_models() if m._meta.app_label in labels]
    return [m for m in found if not m.__name__.startswith("Historical")]


def empty_the_register() -> None:
    """Takes every record away, past the rules that keep them, as in a new database."""
    triggers.remove_all()
    for model in railway_models():
        for history in (getattr(model, "history", None),):
            if history is not None:
                history.all()._raw_delete("default")
        for field in model._meta.many_to_many:
            field.remote_field.through._base_manager.all()._raw_delete("default")
        model._base_manager.all()._raw_delete("default")
    triggers.install_all()


def everything() -> dict[str, list[dict]]:
    """Every field of every record, links in words, so that two registers can be compared."""
    named: Names = {}
    return {model.__name__: _records(model, named) for model in railway_models()}


def records_of(model: type[models.Model]) -> list[dict]:
    """Every field of every record of a model, links in words."""
    return _records(model, {})


def _records(model: type[models.Model], named: Names) -> list[dict]:
    return sorted((_fields_of(row, named) for row in model._base_manager.all()), key=str)


def _fields_of(row: models.Model, named: Names) -> dict:
    values = {}
    for field in row._meta.concrete_fields:
        if field.name not in OWN and (type(row), field.name) not in JUDGED_ANEW | COUNTED:
            link = field.remote_field and (field.related_model, getattr(row, field.attname))
            if link and link not in named:  # thousands of readings name the same few places
                named[link] = _in_words(getattr(row, field.name))
            values[field.name] = named[link] if link else _in_words(getattr(row, field.name))
    for field in row._meta.many_to_many:
        values[field.name] = sorted(str(other) for other in getattr(row, field.name).all())
    return values


def _in_words(value) -> object:
    if isinstance(value, datetime):
        return value.replace(microsecond=0).isoformat()
    if isinstance(value, models.Model):
        visit = getattr(value, "inspection", None)
        return f"{visit} {visit.at:%H:%M}: {value}" if visit is not None else str(value)
    return value
