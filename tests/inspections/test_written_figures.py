"""A figure as somebody writes it is the same reading, whichever way it is handed in."""

import io
from datetime import datetime
from html import unescape

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from inspections.models import Limit, Reading
from inspections.sheets import to_fill_in
from inspections.words import Verdict
from tests import builders, workbooks
from tests.inspections.test_inspect_page import address, opened
from tests.workbooks import load, refusals

pytestmark = pytest.mark.django_db

WHEN = "4 May 2026 11:30"
# Quantity, place, side and lie; what is written; the value, or words of the refusal.
FWC = ("fwc", "1", "", "left_closed")
GAUGE = ("track_gauge", "", "", "left_closed")
RESISTANCE = ("insulation_resistance", "1", "left", "")
TORQUE = ("torque", "1", "left", "")
WRITTEN = [
    (RESISTANCE, "2 mΩ", 0.002),  # a visit sheet stored 2 MΩ, the form refused it
    (RESISTANCE, "2 MΩ", 2_000_000),
    (RESISTANCE, "500k", 500_000),
    (RESISTANCE, "2m", "can be read as 2 MΩ or as 2 mΩ"),
    (RESISTANCE, "9 nm", "is a torque"),
    (GAUGE, "1,435", "can be read as 1435 or as 1.435"),  # the workbook took it, the form did not
    (GAUGE, "4' 8 1/2\"", 1435.1),
    (GAUGE, "1 435", "can be read as 1435 or as 1 and 435"),
    (FWC, "10.8 cm", 108),
    (FWC, "4 1/4", "4 1/4 mm or as 4 1/4 in"),
    (FWC, "50mm 52mm", "one figure, 102 mm, or as 50mm and 52mm"),
    (FWC, "4 in 2 mm", "one figure, 103.6 mm, or as 4 in and 2 mm"),
    (TORQUE, "162 lbf ft", 219.6425076296868648),
    (TORQUE, "162 lb", "is not a torque"),
]


@pytest.fixture
def points():
    return builders.make_rigged_points("12")


def by_form(client, points, where, text) -> str:
    quantity, place, side, lie = where
    at = points.positions.get(order=place).pk if place else "toe"
    sent = opened(client, points) | {f"r-{quantity}-{at}-{side}-{lie}": text}
    return _page(client.post(address(points), sent))


def by_visit_sheet(client, points, where, text) -> str:
    target = io.BytesIO()
    to_fill_in.write(target, [points], by="Lineman A")
    book = load_workbook(target)
    page = book["SKB 12"]
    page["B3"] = datetime(2026, 5, 4, 11, 30)
    code = "|".join(("reading", *where, ""))
    [row] = [
        row for row in page.iter_rows(min_row=9) if str(row[to_fill_in.CODE].value).startswith(code)
    ]
    row[to_fill_in.FOUND].value = text
    return str(refusals(load(workbooks._file_of(book))))


def by_workbook(client, points, where, text) -> str:
    quantity, place, side, lie = where
    headings = ["Points", "When", "Quantity", "Place", "Side", "Lie", "Value"]
    plan = load(
        {
            "Visits": [["Points", "When", "Who", "Why"], ["SKB 12", WHEN, "Lineman A", "routine"]],
            "Readings": [headings, ["SKB 12", WHEN, quantity, place, side, lie, text]],
        }
    )
    return str(refusals(plan))


def by_correction(client, points, where, text) -> str:
    quantity, place, side, lie = where
    position = points.positions.get(order=place) if place else None
    visit = builders.make_inspection(points)
    wrong = builders.make_reading(
        visit, position, None, quantity=quantity, side=side, lie=lie, not_taken_reason="forgotten"
    )
    sent = {"value": text, "reason": "misread"}
    return _page(client.post(reverse("inspections:reading_correct", args=[wrong.pk]), sent))


def _page(response) -> str:
    return unescape(response.content.decode())


@pytest.mark.parametrize("way", [by_form, by_visit_sheet, by_workbook, by_correction])
@pytest.mark.parametrize(("where", "text", "answer"), WRITTEN, ids=[row[1] for row in WRITTEN])
def test_a_written_figure_is_one_reading_or_one_refusal(
    as_technician, points, way, where, text, answer
):
    before = 1 if way is by_correction else 0
    said = way(as_technician, points, where, text)
    readings = list(Reading.objects.order_by("pk"))[before:]
    if isinstance(answer, str):
        assert answer in said
        assert readings == []
    else:
        assert [reading.value for reading in readings] == [answer]


def test_a_dead_short_on_a_visit_sheet_is_out_of_limits(as_technician, points):
    builders.set_limit("insulation_resistance", minimum=500_000)
    by_visit_sheet(as_technician, points, RESISTANCE, "2 mΩ")
    assert Reading.objects.get().verdict == Verdict.INTERVENTION


@pytest.mark.parametrize(
    ("quantity", "least", "value"),
    [
        ("insulation_resistance", "500k", 500_000),
        ("insulation_resistance", 500_000, 500_000),
        ("fwc", "2 in", 50.8),
        ("lock test, gauge that must lock", "1", 1),
        ("free wheel clearance", "500k", "is a resistance, and a length belongs here"),
        ("free wheel clearance", "2 1/2", "2 1/2 mm or as 2 1/2 in"),
        ("torque", "162 lbf ft", 219.6425076296868648),
    ],
)
def test_a_limit_in_a_workbook_is_read_in_the_unit_of_its_quantity(quantity, least, value):
    headings = ["Quantity", "Level", "Holds for", "Effective from", "Least", "Source"]
    row = [quantity, "intervention", "railway", "1 May 2026", least, "made for a test"]
    plan = load({"Limits": [headings, row]})
    if isinstance(value, str):
        [(_, _, heading, sentence)] = refusals(plan)
        assert (heading, value in sentence) == ("Least", True)
        assert not Limit.objects.exists()
    else:
        assert refusals(plan) == []
        assert Limit.objects.get().minimum == value
