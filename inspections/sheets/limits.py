"""The sheets of what visits go by; those of the visits themselves are in ``visit_sheets``."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Q, QuerySet

from assets.sheets.columns import Link, column
from assets.sheets.loading import Choice, Loading
from assets.sheets.model_sheets import ModelSheet
from assets.sheets.register import DESIGN_LINK, POINTS_LINK, RAIL_LINK
from assets.workbook.planning import Outcome, PlannedRow
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Instrument, InstrumentCheck, Limit, Season
from inspections.recording.triggers import CHECK_STAYS
from inspections.words import InstrumentKind, QuantityCode

INSTRUMENT_LINK = Link("Instruments", Instrument, ("tag",))


def _limits_of(rows: QuerySet, choice: Choice) -> QuerySet:
    """A choice of points leaves out the limits of other sets of points alone."""
    if choice.points is None:
        return rows
    return rows.filter(Q(points__isnull=True) | Q(points__in=choice.points))


def _where(name: str, **details):
    """A column that names what the limit holds for, blank where it is another kind of thing."""
    return column(Limit, name, key=True, optional=True, **details)


def unit_of_quantity(values: Mapping[str, Any]) -> str:
    """The unit of the figures in a row about one quantity; "" where it is a test, or not known."""
    code = values.get("quantity")
    quantity = QUANTITIES[QuantityCode(code)] if code else None
    return quantity.unit if quantity and not quantity.answers else ""


_IN_UNIT = {
    "unit": "",
    "figure_unit": "",
    "unit_in_row": unit_of_quantity,
    "help": "In the unit of the quantity.",
}

LIMITS = ModelSheet(
    "Limits",
    Limit,
    (
        column(Limit, "quantity", key=True),
        column(Limit, "level", key=True),
        column(Limit, "scope", key=True, help="Fill in the column for it, and no other."),
        _where("rail_section", refers_to="Rail sections"),
        _where("layout"),
        _where("design", refers_to="Switch designs"),
        _where("points", refers_to="Points"),
        column(Limit, "effective_from", key=True),
        column(Limit, "minimum", "Least", **_IN_UNIT),
        column(Limit, "nominal", "Nominal", **_IN_UNIT),
        column(Limit, "maximum", "Most", **_IN_UNIT),
        column(Limit, "reason"),
        column(Limit, "source"),
        column(Limit, "confirmed_by", help="The responsible engineer; blank: an example limit."),
        column(Limit, "confirmed_on"),
    ),
    "What readings are judged by, from a day on. Least and most both blank: ends the one before.",
    ("quantity", "level", "scope", "scope_key", "effective_from"),
    links={"rail_section": RAIL_LINK, "design": DESIGN_LINK, "points": POINTS_LINK},
    narrow=_limits_of,
)


def _unit_of_kind(values: Mapping[str, Any]) -> str:
    """The unit of the figures of an instrument; "" where its kind is not known."""
    kind = values.get("kind")
    return InstrumentKind(kind).unit if kind else ""


_IN_KIND = {"unit": "", "figure_unit": "", "unit_in_row": _unit_of_kind}

INSTRUMENTS = ModelSheet(
    "Instruments",
    Instrument,
    (
        column(Instrument, "tag", key=True),
        column(Instrument, "kind"),
        column(Instrument, "resolution", **_IN_KIND),
        column(Instrument, "uncertainty", **_IN_KIND),
        column(Instrument, "repeats"),
        column(Instrument, "check_due"),
        column(Instrument, "note"),
    ),
    "What readings are taken with, and how finely each reads. Check due counts until its first "
    "check is recorded.",
    ("tag",),
    link=INSTRUMENT_LINK,
)

SEASONS = ModelSheet(
    "Seasons",
    Season,
    (
        column(Season, "name", key=True),
        column(Season, "first_use"),
        column(Season, "last_use"),
    ),
    "A period in which trains run.",
    ("first_use",),
)


def _standing(rows: QuerySet, choice: Choice) -> QuerySet:
    """A check that was entered anew is left to the register that it is in."""
    return rows.filter(correction__isnull=True)


def _enter_check(
    loading: Loading, row: PlannedRow, check: InstrumentCheck, given: Mapping[str, Any]
) -> None:
    if row.outcome is Outcome.CHANGED:
        row.refuse(CHECK_STAYS)
        return
    for name, value in given.items():
        if name != "instrument":
            setattr(check, name, value)
    check.instrument_id = loading.pk_of(INSTRUMENT_LINK, given["instrument"])
    if check.instrument_id is None:
        row.refuse("The row of Instruments that this names is refused.", "instrument")


CHECKS = ModelSheet(
    "Instrument checks",
    InstrumentCheck,
    (
        column(InstrumentCheck, "instrument", key=True, refers_to="Instruments"),
        column(InstrumentCheck, "day", key=True),
        column(InstrumentCheck, "certificate", key=True, optional=True),
        column(InstrumentCheck, "by"),
        column(InstrumentCheck, "passed", required=True, blank=None),
        column(
            InstrumentCheck,
            "found_error",
            unit="",
            figure_unit="",
            help="In the unit of the instrument's kind.",
        ),
        column(InstrumentCheck, "next_due"),
        column(
            InstrumentCheck,
            "entered_by",
            help="Who entered it. The account that loads it is kept in any case.",
        ),
    ),
    "The checks of instruments. Rows are added and never changed: correct one on its page.",
    ("instrument__tag", "day"),
    links={"instrument": INSTRUMENT_LINK},
    narrow=_standing,
    fill=_enter_check,
)

SHEETS = (LIMITS, INSTRUMENTS, CHECKS, SEASONS)
