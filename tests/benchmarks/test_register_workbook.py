"""Loading 20,000 stretchers with 25 columns against a bare reading and a bare bulk insert."""

import io
import resource
import time

import pytest
from django.db import transaction
from openpyxl import load_workbook

from assets.models import Stretcher
from assets.sheets import register as sheets
from assets.workbook.opening import open_book
from assets.workbook.writing import Table, write_book
from config.workbook import register
from tests import builders

pytestmark = [pytest.mark.benchmark, pytest.mark.django_db]

ROWS = 20_000
COMMON = {
    "generation": "yellow", "adjustability": "adjustable", "form": "straight", "for_lock": False,
    "for_drive": True, "for_intermediate": True, "for_back": False, "insulation_side": "left",
    "insulation_kind": "bush_and_plates", "left_shoe": "bullhead", "left_shoe_colour": "orange",
    "right_shoe": "bullhead", "right_shoe_colour": "orange", "kicker": False, "drive_lug": "plain",
    "thread_pitch_mm": 4.0, "shim_left_mm": 1.5, "left_fixings": "captive_nut",
    "right_fixings": "captive_nut", "torque_nm": 220.0,
    "condition": "good", "origin": "from the yard", "quarantined": False,
}  # fmt: skip


def rows():
    for number in range(ROWS):
        yield {
            "tag": f"ST-{number:05}",
            "length_min_mm": 1150 + number / 100,
            "length_max_mm": 1450 + number / 100,
            **COMMON,
        }


def load_bare(source: io.BytesIO) -> None:
    """The floor: every cell read by the library, the same rows inserted, nothing checked."""
    page = load_workbook(source, read_only=True)["Stretchers"]
    read = list(page.iter_rows(values_only=True))
    assert len(read) == ROWS + 1
    with transaction.atomic():
        Stretcher.objects.bulk_create([Stretcher(**row) for row in rows()])
        transaction.set_rollback(True)


def load_ours(source: io.BytesIO) -> None:
    """Read, checked, planned, written with their history; then undone."""
    with open_book(source, "rods.xlsx") as book:
        plan = register.load(register.understand(book), keep=lambda plan: False)
    assert plan.totals["new"] == ROWS


def seconds(work, *given) -> float:
    """Processor seconds, which other work on the machine does not lengthen."""
    started = time.process_time()
    work(*given)
    return time.process_time() - started


def test_loading_takes_at_most_twice_as_long_as_reading_and_inserting_alone():
    assert len(next(rows())) == 25
    source = io.BytesIO()
    write_book(source, [Table(sheets.STRETCHERS.sheet, rows())], builders.noon(2026, 5, 4))
    turns = [(seconds(load_bare, source), seconds(load_ours, source)) for _ in range(2)]
    bare, ours = (min(column) for column in zip(*turns, strict=True))
    ratio = ours / bare
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"\nloading {ROWS} x 25: bare {bare:.2f} s, ours {ours:.2f} s, "
        f"ratio {ratio:.2f}; peak {peak:.0f} MB"
    )
    assert ratio <= 2


def test_saving_takes_at_most_half_as_long_again_as_writing_alone():
    from openpyxl import Workbook

    with transaction.atomic():
        Stretcher.objects.bulk_create([Stretcher(**row) for row in rows()])
        names = [c.field for c in sheets.STRETCHERS.columns if not c.info]

        def bare() -> None:
            book = Workbook(write_only=True)
            page = book.create_sheet("Stretchers")
            for row in Stretcher.objects.order_by("tag").values_list(*names).iterator():
                page.append(row)
            book.save(io.BytesIO())

        def ours() -> None:
            held = sheets.STRETCHERS.held(register.EVERYTHING)
            table = Table(sheets.STRETCHERS.sheet, (values for _, values in held))
            write_book(io.BytesIO(), [table], builders.noon(2026, 5, 4))

        turns = [(seconds(bare), seconds(ours)) for _ in range(2)]
        floor, mine = (min(column) for column in zip(*turns, strict=True))
        print(f"\nsaving {ROWS} x {len(names)}: bare {floor:.2f} s, ours {mine:.2f} s, "
              f"ratio {mine / floor:.2f}")  # fmt: skip
        transaction.set_rollback(True)
    assert mine / floor <= 1.5
