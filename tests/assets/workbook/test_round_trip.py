"""Whatever a register may hold survives writing and reading; whatever a grid holds is answered."""

import io
from datetime import date, datetime, time, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.worksheet.formula import ArrayFormula

from assets.workbook.columns import fold, tidy, tidy_lines
from assets.workbook.opening import open_book
from assets.workbook.planning import Plan, plan_rows
from assets.workbook.reading import Row, read_book
from assets.workbook.refusals import WorkbookRefused

from .files import RODS, read_all, rod_rows, saved, written

EXAMPLES = settings(max_examples=60, deadline=None)

texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=40)
sharp = st.sampled_from(
    [
        "=1+1",
        "+1",
        "-1",
        "@A1",
        "\t=1",
        "#REF!",
        "#N/A",
        "TRUE",
        "01/02",
        "1e5",
        "_x0041_",
        "a\r\nb",
    ]
)
names = st.one_of(texts, sharp).map(tidy).filter(bool)
references = names.filter(lambda name: fold(name) not in {"unknown", "not known", "n/k"})
references = references.filter(lambda name: name not in {"?", "-", "–", "—"})
numbers = st.floats(allow_nan=False, allow_infinity=False)
moments = st.datetimes().map(lambda moment: moment.replace(microsecond=0))
rods = st.fixed_dictionaries(
    {
        "tag": names,
        "generation": st.sampled_from(["black", "yellow", "unknown"]),
        "pitch_mm": st.none() | numbers,
        "turns": st.none() | st.integers(-(10**15) + 1, 10**15 - 1),
        "kicker": st.sampled_from([None, True, False]),
        "fitted_on": st.none() | st.dates(),
        "seen_at": st.none() | moments,
        "points": st.none() | references,
        "note": st.one_of(texts, sharp).map(tidy_lines),
    }
)
tables = st.lists(rods, max_size=6, unique_by=RODS.key_of)


@EXAMPLES
@given(tables)
def test_any_typed_table_survives_writing_and_reading_unchanged(table):
    rows, refusals, _ = rod_rows(written((RODS, table)))
    assert refusals == []
    assert [row.values for row in rows] == table


@EXAMPLES
@given(tables)
def test_loading_an_export_changes_nothing(table):
    register = {RODS.key_of(rod): rod for rod in table}
    plan = Plan()
    with open_book(written((RODS, table))) as book:
        for reading in read_book(book, [RODS]).sheets:
            plan.add(plan_rows(RODS, reading.rows(), register))
    assert plan.totals["same"] == len(table)
    assert plan.rows == []


cells = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(
        ["Tag", "Turns", "Kicker", "Seen at", "Thread pitch (in)", "=A1", "#REF!", " "]
    ),
    st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12),
    st.dates(date(1900, 3, 1)),
    st.datetimes(datetime(1900, 3, 1)),
    st.times(),
    st.timedeltas(timedelta(0), timedelta(days=1000)),
    st.just(ArrayFormula("A1:A2", "=1")),
)


@EXAMPLES
@given(st.lists(st.lists(cells, max_size=6), max_size=8), st.booleans())
def test_any_grid_of_cells_is_read_or_refused_cleanly(grid, with_headings):
    book = Workbook()
    book.active.title = "Stretchers"
    for row in ([["Tag", "Turns", "Seen at"]] if with_headings else []) + grid:
        book.active.append(row)
    rows, refusals, _ = rod_rows(saved(book))
    for row in rows:
        assert isinstance(row, Row)
        wrong = {refusal.column for refusal in row.refusals}
        for name, value in row.values.items():
            assert RODS.by_field[name].title not in wrong
            assert value is None or isinstance(value, (str, int, float, bool, date, datetime))
            assert not isinstance(value, time)
    assert all(refusal.reason and refusal.sheet for refusal in refusals)


@EXAMPLES
@given(st.binary(max_size=400), st.sampled_from(["a.csv", "Stretchers.csv", "a.xlsx", "a.xls"]))
def test_any_bytes_are_read_or_refused_cleanly(content, name):
    assert answer(io.BytesIO(content), name)


@EXAMPLES
@given(st.text(max_size=200))
def test_any_text_as_csv_is_read_or_refused_cleanly(content):
    source = io.BytesIO(("Tag,Turns\n" + content).encode("utf-8", "surrogatepass"))
    assert answer(source, "Stretchers.csv")


def answer(source, name: str) -> str:
    """What the person is told: that it was read, or why it was not."""
    try:
        read_all(source, RODS, name=name)
    except WorkbookRefused as refusal:
        return str(refusal)
    return "read"
