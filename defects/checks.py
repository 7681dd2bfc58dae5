"""A system check: whatever can be found has a row in the routing table as delivered."""

import json

from django.core.checks import Error, register

from assets.departments import Department
from defects.routing import routing
from defects.words import Urgency


@register
def every_finding_is_routed(app_configs, **kwargs):
    """Each quantity's directions, each thing examined and each register check, once."""
    try:
        rows = routing.delivered_rows()
        codes = [row["found"] for row in rows]
    except (OSError, json.JSONDecodeError, KeyError, TypeError) as problem:
        return [Error(f"The delivered routing table cannot be read: {problem}", id="defects.E001")]
    can_be = {routing.code_of(found) for found in routing.all_found()}
    return [
        *_errors(can_be - set(codes), "{} can be found but is routed nowhere.", "E002"),
        *_errors(set(codes) - can_be, "{} is routed but can never be found.", "E003"),
        *_errors({code for code in codes if codes.count(code) > 1}, "{} is routed twice.", "E004"),
        *_errors(
            {row["found"] for row in rows if not _sound(row)}, "{} has an unknown word.", "E005"
        ),
    ]


def _sound(row: dict) -> bool:
    departments = [department.value for department in Department]
    return (
        row.get("mends") in departments
        and row.get("checks") in departments
        and row.get("works_with", "") in ["", *departments]
        and row.get("urgency") in [urgency.value for urgency in Urgency]
        and bool(row.get("title"))
    )


def _errors(codes: set[str], sentence: str, number: str) -> list[Error]:
    return [
        Error(
            sentence.format(code),
            hint=f"Correct fixtures/{routing.DELIVERED.name}.",
            id=f"defects.{number}",
        )
        for code in sorted(codes)
    ]
