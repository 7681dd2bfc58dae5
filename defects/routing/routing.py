"""Who mends and who checks what was found, and how soon: the railway's routing table.

In workbooks, addresses and the table as delivered, what was found is one code ("fwc.below"), read
and written here: a quantity and which way it is out, with ".gauge_out" where the track gauge is out
as well; a thing examined ("item.weld"); or a check of the register ("check.too_few_rods").
"""

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connections

from assets.departments import Department
from defects.models import Route
from defects.words import Check, Urgency
from inspections.verdicts.finding import LOST_WITH_THE_GAUGE, Finding, Found, Subject
from inspections.words import ItemCode, QuantityCode, SubjectKind, Way

DELIVERED = Path(settings.BASE_DIR) / "fixtures" / "routes.json"

# A gauge either locks or not, so its test goes wrong one way only.
_ONE_WAY = {
    QuantityCode.LOCK_GO: (Way.BELOW,),
    QuantityCode.LOCK_NO_GO: (Way.ABOVE,),
    QuantityCode.DETECT_GO: (Way.BELOW,),
    QuantityCode.DETECT_NO_GO: (Way.ABOVE,),
}
_GAUGE_OUT = "gauge_out"


def code_of(found: Found) -> str:
    """What was found as one code; "" for something else."""
    kind, code = found.subject.kind, found.subject.code
    prefix = [kind] if kind not in ("", SubjectKind.MEASURED) else []
    ways = [found.way] if found.way else []
    return ".".join([*prefix, code, *ways, *([_GAUGE_OUT] if found.gauge_out else [])])


def found_of(code: str) -> Found:
    """What a code says was found. One that the program does not know stays, as text of no kind."""
    head, *rest = code.split(".")
    for kind in (SubjectKind.EXAMINED, SubjectKind.CHECK):
        if head == kind and rest:
            return Found(Subject(kind.value, ".".join(rest)))
    if head not in set(QuantityCode):
        return Found(Subject("", code))
    gauge_out = rest[1:] == [_GAUGE_OUT]
    if rest and (rest[0] not in set(Way) or (rest[1:] and not gauge_out)):
        return Found(Subject("", code))
    return Found(Subject(SubjectKind.MEASURED.value, head), *rest[:1], gauge_out=gauge_out)


def found_by_check(check: Check) -> Found:
    return Found(Subject(SubjectKind.CHECK.value, check.value))


def all_found() -> tuple[Found, ...]:
    """Everything that can be found; the routing table should have a row for each."""
    measured = (
        Found(Subject(SubjectKind.MEASURED.value, quantity.value), way.value)
        for quantity in QuantityCode
        for way in _ONE_WAY.get(quantity, tuple(Way))
    )
    return (
        *measured,
        replace(LOST_WITH_THE_GAUGE, gauge_out=True),
        *(Found(Subject(SubjectKind.EXAMINED.value, item.value)) for item in ItemCode),
        *(found_by_check(check) for check in Check),
    )


@dataclass(frozen=True)
class Routing:
    """Who mends, who checks, how and how soon; ``note`` says so where no row was found."""

    mends: Department = Department.SIGNALLING
    checks: Department = Department.SIGNALLING
    urgency: Urgency = Urgency.PLANNED
    title: str = ""
    works_with: str = ""
    remedy: str = ""
    needs_cause: bool = False
    row: Route | None = None
    note: str = ""


def routing_table() -> dict[Found, Route]:
    """The whole table by what is found, for callers that look up many; one query."""
    return {route.found: route for route in Route.objects.all()}


def routing_of(finding: Finding, table: dict[Found, Route] | None = None) -> Routing:
    """What the table says; signalling looks first at what it does not know.

    A clearance lost with the track gauge has a row of its own, or else that of any other. What
    calls for immediate action is at once, whatever the table says.
    """
    table = routing_table() if table is None else table
    found = finding.found
    row = table.get(found) or table.get(replace(found, gauge_out=False))
    if row is None:
        return Routing(note=_no_row(found), **_at_once(finding))
    about = {"urgency": Urgency(row.urgency), **_at_once(finding)}
    return Routing(
        title=row.title,
        mends=Department(row.mends),
        checks=Department(row.checks),
        works_with=row.works_with,
        remedy=row.remedy,
        needs_cause=row.needs_cause,
        row=row,
        **about,
    )


def _at_once(finding: Finding) -> dict[str, Any]:
    return {"urgency": Urgency.AT_ONCE} if finding.at_once else {}


def _no_row(found: Found) -> str:
    if not found.subject:
        return ""
    return (
        f'No routing row was found for "{code_of(found)}", so it goes to signalling: say who '
        "repairs it."
    )


def delivered_rows() -> list[dict]:
    """The rows of the table as delivered."""
    return json.loads(DELIVERED.read_text(encoding="utf-8"))


def deliver(using: str = "default", **kwargs) -> None:
    """Adds the delivered rows that the table lacks; a row that is there stays as it is."""
    if Route._meta.db_table not in connections[using].introspection.table_names():
        return
    have = {route.found for route in Route.objects.using(using)}
    for fields in delivered_rows():
        found = found_of(fields.pop("found"))
        if found not in have:
            Route(**found.columns, **fields).save(using=using)
