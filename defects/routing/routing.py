"""What was found, as a code, and what the railway's routing table says of it.

A code is a quantity and a direction ("fwc.below"), with ".gauge_out" where the track gauge is out
as well; a thing examined ("item.weld"); or a register check ("check.too_few_rods").
"""

import json
from dataclasses import dataclass, replace
from pathlib import Path

from django.conf import settings
from django.db import connections

from assets.departments import Department
from defects.models import Route
from defects.words import Check, Urgency
from inspections.models import Examination, Reading
from inspections.words import ItemCode, QuantityCode, Verdict

DELIVERED = Path(settings.BASE_DIR) / "fixtures" / "routes.json"
GAUGE_OUT = ".gauge_out"

# A gauge either locks or not, so its test goes wrong one way only.
_ONE_WAY = {QuantityCode.LOCK_GO: ("below",), QuantityCode.LOCK_NO_GO: ("above",)}


def quantity_codes(quantity: QuantityCode) -> tuple[str, ...]:
    """The codes of one quantity: one for each way in which it can be out."""
    ways = _ONE_WAY.get(quantity, ("below", "above"))
    return tuple(f"{quantity.value}.{way}" for way in ways)


def item_code(item: str) -> str:
    return f"item.{item}"


def check_code(check: str) -> str:
    return f"check.{check}"


def subject_of(found: str) -> str:
    """How a finding of this code is come by, as a heading over a list of them."""
    if found.startswith(item_code("")):
        return "Examined"
    return "Found in the register" if found.startswith(check_code("")) else "Measured"


def all_codes() -> tuple[str, ...]:
    """Every code that can be found; the routing table should have a row for each."""
    quantities = tuple(code for quantity in QuantityCode for code in quantity_codes(quantity))
    return (
        *quantities,
        QuantityCode.FWC.value + ".below" + GAUGE_OUT,
        *(item_code(item.value) for item in ItemCode),
        *(check_code(check.value) for check in Check),
    )


@dataclass(frozen=True)
class Routing:
    """Who mends, who checks, how and how soon; ``note`` says so where no row was found."""

    found: str
    title: str
    mends: Department
    checks: Department
    urgency: Urgency
    works_with: str = ""
    remedy: str = ""
    needs_cause: bool = False
    row: Route | None = None
    note: str = ""


def routing_table() -> dict[str, Route]:
    """The whole table by code, for callers that look up many; one query."""
    return {route.found: route for route in Route.objects.all()}


def found_in_reading(reading: Reading) -> str:
    """The code of a reading that is out, by the limit that judged it (reads the limit).

    Without the limit the direction is not known and the code is the bare quantity.
    """
    limit, value = reading.limit, reading.value
    if limit is not None and value is not None:
        if limit.minimum is not None and value < limit.minimum:
            return f"{reading.quantity}.below"
        if limit.maximum is not None and value > limit.maximum:
            return f"{reading.quantity}.above"
    return reading.quantity


def gauge_is_out(inspection) -> bool:
    """Whether the track gauge was out at this visit; one query."""
    gauges = Reading.objects.standing().out().filter(inspection=inspection)
    return gauges.filter(quantity=QuantityCode.TRACK_GAUGE.value).exists()


def route_for(found: str, table: dict[str, Route] | None = None) -> Routing:
    """The routing of a code; signalling looks first at what the table does not know."""
    table = routing_table() if table is None else table
    row = table.get(found) or table.get(found.removesuffix(GAUGE_OUT))
    if row is None:
        return Routing(
            found=found,
            title="",
            mends=Department.SIGNALLING,
            checks=Department.SIGNALLING,
            urgency=Urgency.PLANNED,
            note=_no_row(found) if found else "",
        )
    return Routing(
        found=found,
        title=row.title,
        mends=Department(row.mends),
        checks=Department(row.checks),
        urgency=Urgency(row.urgency),
        works_with=row.works_with,
        remedy=row.remedy,
        needs_cause=row.needs_cause,
        row=row,
    )


def _no_row(found: str) -> str:
    return f'No routing row was found for "{found}", so it goes to signalling: say who repairs it.'


def route_for_reading(
    reading: Reading, gauge_out: bool = False, table: dict[str, Route] | None = None
) -> Routing:
    """Who mends what this reading shows; a clearance lost with the gauge is the gauge's first."""
    found = found_in_reading(reading)
    if gauge_out and found == QuantityCode.FWC.value + ".below":
        found += GAUGE_OUT
    route = route_for(found, table)
    return replace(route, urgency=urgency_with(route.urgency, reading))


def urgency_with(urgency: Urgency, reading: Reading | None) -> Urgency:
    """At once where the reading calls for immediate action, whatever the table says."""
    immediate = reading is not None and reading.verdict == Verdict.IMMEDIATE
    return Urgency.AT_ONCE if immediate else urgency


def route_for_examination(
    examination: Examination, table: dict[str, Route] | None = None
) -> Routing:
    return route_for(item_code(examination.item), table)


def route_for_check(check: Check, table: dict[str, Route] | None = None) -> Routing:
    return route_for(check_code(check), table)


def delivered_rows() -> list[dict]:
    """The rows of the table as delivered."""
    return [row["fields"] for row in json.loads(DELIVERED.read_text(encoding="utf-8"))]


def deliver(using: str = "default", **kwargs) -> None:
    """Adds the delivered rows that the table lacks; a row that is there stays as it is."""
    if Route._meta.db_table not in connections[using].introspection.table_names():
        return
    have = set(Route.objects.using(using).values_list("found", flat=True))
    for fields in delivered_rows():
        if fields["found"] not in have:
            Route(**fields).save(using=using)
