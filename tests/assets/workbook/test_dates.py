"""Dates as people write them and as spreadsheets count them."""

from datetime import date, datetime, time

import pytest

from assets.workbook.dates import EPOCH_1900, EPOCH_1904, from_serial, read_written, shows_date
from assets.workbook.refusals import BadCell, CellRefused


@pytest.mark.parametrize(
    "written",
    [
        "3/5/2021",
        "03/05/2021",
        "3.5.2021",
        "3-5-21",
        "03 05 2021",
        "3 May 2021",
        "3rd May 2021",
        "3rd of May, 2021",
        "03-MAY-21",
        "Monday 3 May 2021",
        "Mon, 3 May 2021",
        "May 3, 2021",
        "2021-05-03",
        "2021/05/03",
        " 3\u00a0May 2021 ",
    ],
)
def test_the_third_of_may_is_known_however_it_is_written(written):
    assert read_written(written) == date(2021, 5, 3)


@pytest.mark.parametrize(
    "written",
    ["3/5/2021 14:30", "3 May 2021, 2:30 pm", "2021-05-03T14:30", "3 May 2021 at 14:30:00"],
)
def test_a_time_may_follow_the_date(written):
    assert read_written(written) == datetime(2021, 5, 3, 14, 30)


def test_years_of_two_figures_are_parted_at_69():
    # POSIX strptime %y: 69 to 99 are the twentieth century, 00 to 68 the twenty-first.
    assert read_written("1/2/69").year == 1969
    assert read_written("1/2/68").year == 2068


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("5/13/2021", "the day comes first"),
        ("31/02/2021", "no such day"),
        ("29/02/2021", "no such day"),
        ("3/5/2021 25:00", "no such day or time"),
        ("3/5/2021 13:30 pm", "no such day or time"),
        ("0/5/2021", "no such day"),
        ("3/5/0000", "no such day"),
        ("May 2021", "not a date"),
        ("1987", "not a date"),
        ("last spring", "not a date"),
        ("2021-05-03T14:30:00+01:00", "not a date"),
    ],
)
def test_what_is_no_date_is_refused_with_what_to_write(written, hint):
    with pytest.raises(CellRefused, match=hint):
        read_written(written)


@pytest.mark.parametrize(
    ("serial", "epoch", "moment"),
    [
        # ECMA-376 part 1, 18.17.4.1 and 18.17.4.3: 1 January 1900 is 1 in the one system,
        # 1 January 1904 is 0 in the other; both name the same days 1,462 apart.
        (1.0, EPOCH_1900, datetime(1900, 1, 1)),
        (59.0, EPOCH_1900, datetime(1900, 2, 28)),
        (61.0, EPOCH_1900, datetime(1900, 3, 1)),
        (44319.0, EPOCH_1900, datetime(2021, 5, 3)),
        (44319.0 - 1462, EPOCH_1904, datetime(2021, 5, 3)),
        (44319.75, EPOCH_1900, datetime(2021, 5, 3, 18, 0)),
        (44319.999999999, EPOCH_1900, datetime(2021, 5, 4)),
        (2958465.0, EPOCH_1900, datetime(9999, 12, 31)),
    ],
)
def test_a_date_cell_counts_days_in_either_system(serial, epoch, moment):
    assert from_serial(serial, epoch) == moment


def test_a_number_below_one_is_a_time_of_day():
    assert from_serial(0.5, EPOCH_1900) == time(12, 0)


@pytest.mark.parametrize("serial", [60.5, -1.0, 3e6, 1e300, float("inf"), float("nan")])
def test_a_date_cell_that_is_no_day_is_a_bad_cell(serial):
    assert isinstance(from_serial(serial, EPOCH_1900), BadCell)


@pytest.mark.parametrize(
    ("number_format", "date"),
    [
        ("dd/mm/yyyy", True),
        ("[$-809]d mmmm yyyy;@", True),
        ("h:mm AM/PM", True),
        ("[h]:mm", True),
        ("[mm]:ss", True),
        ("General", False),
        ("0.00", False),
        ('0.0" mm"', False),
        ("0\\ \\m\\m", False),
        ("[Red]0.00;[Magenta]-0.00", False),
        ("#,##0_);(#,##0)", False),
        ("0.00E+00", False),
        ("@", False),
        ("", False),
    ],
)
def test_a_number_format_says_whether_a_cell_is_a_date(number_format, date):
    assert shows_date(number_format) is date
