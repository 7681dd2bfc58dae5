"""Workbooks of 20,000 rows and 25 columns against the bare library, both timed in one run."""

import io
import re
import subprocess
import sys
import time
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.opening import open_book
from assets.workbook.planning import Plan, plan_rows
from assets.workbook.reading import read_book
from assets.workbook.writing import Table, write_book

pytestmark = pytest.mark.benchmark

ROWS = 20_000
CHOICES = (("black", "black (oldest)"), ("yellow", "yellow (later rods)"), ("unknown", "unknown"))
SHEET = Sheet(
    "Stretchers",
    (
        Column("Tag", "tag", key=True),
        *(Column(f"Text {n}", f"text_{n}") for n in range(6)),
        *(Column(f"Length {n}", f"length_{n}", Kind.NUMBER, unit="mm") for n in range(8)),
        *(Column(f"Count {n}", f"count_{n}", Kind.WHOLE) for n in range(3)),
        *(Column(f"Choice {n}", f"choice_{n}", Kind.CHOICE, choices=CHOICES) for n in range(3)),
        *(Column(f"Answer {n}", f"answer_{n}", Kind.YES_NO) for n in range(2)),
        *(Column(f"Day {n}", f"day_{n}", Kind.DATE) for n in range(2)),
    ),
)


def rows(count: int = ROWS):
    for number in range(count):
        yield {
            "tag": f"ST-{number}",
            **{f"text_{n}": f"from the yard {number % 50}" for n in range(6)},
            **{f"length_{n}": number * 0.25 + n for n in range(8)},
            **{f"count_{n}": number + n for n in range(3)},
            **{f"choice_{n}": "yellow" for n in range(3)},
            "answer_0": number % 2 == 0,
            "answer_1": False,
            "day_0": date(2021, 5, 3),
            "day_1": date(2020, 1, 1),
        }


def timed(work):
    """Processor seconds, which other work on the machine does not lengthen, and the result."""
    started = time.process_time()
    result = work()
    return time.process_time() - started, result


def raced(*works):
    """The best of two turns each, taken in turn, with the last results."""
    turns = [[timed(work) for work in works] for _ in range(2)]
    best = [min(seconds for seconds, _ in runs) for runs in zip(*turns, strict=True)]
    return best, [result for _, result in turns[-1]]


def write_bare(count: int = ROWS) -> io.BytesIO:
    """The same cells by the library alone: no headings' notes, no drop-downs, no styles."""
    book = Workbook(write_only=True)
    page = book.create_sheet("Stretchers")
    page.append([column.title for column in SHEET.columns])
    for row in rows(count):
        page.append(["yes" if v is True else "no" if v is False else v for v in row.values()])
    target = io.BytesIO()
    book.save(target)
    return target


def write_ours(count: int = ROWS) -> io.BytesIO:
    target = io.BytesIO()
    write_book(target, [Table(SHEET, rows(count))], datetime.now(UTC))
    return target


def read_bare(source) -> int:
    book = load_workbook(source, read_only=True, data_only=True)
    return sum(1 for row in book["Stretchers"].iter_rows(values_only=True) if row[0])


def read_ours(source):
    with open_book(source) as book:
        return list(read_book(book, [SHEET]).sheets[0].rows())


def test_writing_takes_at_most_half_as_long_again_as_the_bare_library():
    (bare, ours), _ = raced(write_bare, write_ours)
    print(f"\nwriting {ROWS} x 25: bare {bare:.2f} s, ours {ours:.2f} s, ratio {ours / bare:.2f}")
    assert ours < 1.5 * bare


def test_reading_takes_no_longer_than_the_bare_library():
    source = write_ours()
    (bare, ours), (count, read) = raced(lambda: read_bare(source), lambda: read_ours(source))
    planned, plan = timed(lambda: plan_all(read))
    print(
        f"\nreading {ROWS} x 25: bare {bare:.2f} s, ours with parsing {ours:.2f} s, "
        f"ratio {ours / bare:.2f}; planning {planned:.2f} s"
    )
    assert len(read) == count - 1 == ROWS
    assert plan.totals["same"] == ROWS
    assert ours < bare
    assert planned < bare


def plan_all(read) -> Plan:
    plan = Plan()
    plan.add(plan_rows(SHEET, read, {SHEET.key_of(row): row for row in rows()}))
    return plan


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="reads memory from /proc")
def test_a_hundred_thousand_rows_stay_within_the_memory_of_a_small_machine():
    """Peak memory of writing and reading in a process of its own, rows passing one at a time."""
    root = Path(__file__).resolve().parents[2]
    script = "from tests.benchmarks.test_workbook_speed import write_and_read; write_and_read(5)"
    result = subprocess.run(
        [sys.executable, "-c", script], cwd=root, capture_output=True, text=True, check=True
    )
    peak = float(result.stdout)
    print(f"\npeak memory, {ROWS * 5} x 25 written and read: {peak:.0f} MB")
    assert peak < 300


def write_and_read(times: int) -> None:
    target = io.BytesIO()
    many = (row for _ in range(times) for row in rows())
    write_book(target, [Table(SHEET, many)], datetime.now(UTC))
    with open_book(target) as book:
        count = sum(1 for _ in read_book(book, [SHEET]).sheets[0].rows())
    assert count == times * ROWS
    # Not getrusage: its figure starts from that of the process which started this one.
    status = Path("/proc/self/status").read_text()
    print(int(re.search(r"VmHWM:\s+(\d+) kB", status)[1]) / 1024)
