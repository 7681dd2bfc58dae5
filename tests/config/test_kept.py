"""What was measured, seen or done stays: no row is put in its place, no table emptied at a stroke.

``REPLACE`` on SQLite takes a row away without asking the triggers of a removal; ``TRUNCATE`` on
PostgreSQL asks none of a row's. Both are plain SQL by somebody with the database in hand.
"""

from datetime import date

import pytest
from django.core.management import call_command
from django.db import Error, connection, transaction

from assets.triggers import Kept
from config.triggers import TRIGGERS
from defects import proposals
from defects.models import Defect, Dismissal
from inspections.models import Difference, Inspection, InstrumentCheck, Limit, Reading
from tests.builders import (
    make_defect,
    make_fwc_visit,
    make_inspection,
    make_instrument,
    make_points,
    make_position,
    noon,
    set_limit,
)

KEPT = {rule.table for rule in TRIGGERS if isinstance(rule, Kept)}
on_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="REPLACE is SQLite's")
on_postgresql = pytest.mark.skipif(connection.vendor == "sqlite", reason="TRUNCATE is PostgreSQL's")


@pytest.fixture
def written(db, technician):
    """One row at least in each of the tables that hold words of a visit and a defect."""
    points = make_points("12")
    place = make_position(points, 1)
    set_limit("fwc", 50)
    visit = make_fwc_visit(points, noon(2025, 6, 1), 46)
    make_defect(reading=visit.readings.get())
    other = make_fwc_visit(points, noon(2025, 6, 2), 45)
    proposals.dismiss(other.readings.get(), user=technician, at=noon(2025, 6, 2), reason="Misread.")
    InstrumentCheck.objects.create(
        instrument=make_instrument(), day=date(2025, 6, 2), by="Test house", passed=True
    )
    Difference.objects.create(
        inspection=visit,
        position=place,
        answer="then",
        answered_by="A",
        answered_at=noon(2025, 6, 3),
    )
    return visit


def test_every_table_whose_rows_stay_is_kept_whole():
    stay = {rule.table for rule in TRIGGERS if rule.name.endswith("stays")}
    assert stay <= KEPT
    assert len(KEPT) == 14


def refused(sql: str, *values) -> str:
    with pytest.raises(Error) as told, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql, values)
    return str(told.value)


@on_sqlite
@pytest.mark.parametrize(
    "model", [Reading, Inspection, Defect, Dismissal, Difference, Limit, InstrumentCheck]
)
def test_no_row_is_replaced_by_its_id(written, model):
    table = model._meta.db_table
    assert "never" in refused(f"REPLACE INTO {table} SELECT * FROM {table}")


@on_sqlite
def test_no_row_is_replaced_by_another_unique_key(written):
    columns = "points_id, at, by, reason, note, client_id, recorded_at, partial"
    same = f"SELECT {columns} FROM inspections_inspection"
    said = refused(f"REPLACE INTO inspections_inspection ({columns}) {same}")
    assert "never changed or removed" in said
    assert set(Inspection.objects.values_list("pk", flat=True)) >= {written.pk}


@on_sqlite
def test_no_row_is_moved_into_the_place_of_another(written):
    first, last = Limit.objects.get(), set_limit("fwc", 10, effective_from=date(2019, 1, 1))
    said = refused(
        "UPDATE OR REPLACE inspections_limit SET id = %s WHERE id = %s", first.pk, last.pk
    )
    assert "never takes the place" in said
    open_one = Difference.objects.create(
        inspection=make_inspection(written.points, noon(2025, 6, 4)),
        position=written.points.positions.get(),
    )
    said = refused(
        "UPDATE OR REPLACE inspections_difference SET id = (SELECT MIN(id) FROM "
        "inspections_difference) WHERE id = %s",
        open_one.pk,
    )
    assert "never takes the place" in said


@on_sqlite
def test_what_is_new_is_still_written(written):
    before = Reading.objects.count()
    make_fwc_visit(written.points, noon(2025, 6, 5), 52)
    assert Reading.objects.count() == before + 1


@on_postgresql
@pytest.mark.parametrize("table", sorted(KEPT))
def test_no_table_is_emptied_at_a_stroke(db, table):
    for more in ("", " CASCADE"):
        with pytest.raises(Error), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"TRUNCATE {table}{more}")


@on_postgresql
def test_nor_by_way_of_the_points_they_are_of(written):
    connection.check_constraints()  # nothing of the test's own is left to be looked at later
    assert "never" in refused("TRUNCATE assets_points CASCADE")
    assert Reading.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_a_database_is_still_emptied_on_purpose_and_is_kept_again_after_it():
    make_inspection(make_points("12"))
    call_command("flush", interactive=False, verbosity=0)
    assert not Inspection.objects.exists()
    visit = make_inspection(make_points("12"))
    if connection.vendor == "sqlite":
        refused("REPLACE INTO inspections_inspection SELECT * FROM inspections_inspection")
    else:
        refused("TRUNCATE inspections_inspection CASCADE")
    assert Inspection.objects.get() == visit


def test_no_two_triggers_have_one_name():
    """On PostgreSQL the second would take the place of the first."""
    names = [rule.name for rule in TRIGGERS]
    assert sorted(names) == sorted(set(names))
