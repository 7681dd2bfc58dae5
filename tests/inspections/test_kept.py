"""What lies ahead is followed when it has changed, whichever way the change came, and kept."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import OperationalError, connection

from assets.models import Points
from inspections.models import Inspection, Limit, Outlook, Reaching, Reading
from inspections.upcoming import kept
from inspections.upcoming.due import due_list
from tests import builders

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 1)


@pytest.fixture
def points():
    """Points whose clearance falls by 1.5 mm in 60 days, 1.5 mm above its limit today."""
    builders.set_limit("fwc", 50)
    points = builders.make_rigged_points("12")
    for n, value in enumerate((51.5, 53, 54.5, 56, 57.5)):
        day = TODAY - timedelta(days=60 * n)
        builders.make_fwc_visit(points, builders.noon(day.year, day.month, day.day), value)
    return points


def soonest() -> list[date]:
    return list(kept.reaching(TODAY, 90).values_list("soonest", flat=True))


def test_what_is_followed_is_kept_and_costs_one_query_while_nothing_changes(
    points, django_assert_num_queries
):
    assert kept.keep_up(TODAY) == 0
    [reach] = Reaching.objects.all()
    assert (reach.points, reach.value) == (points, 51.5)
    with django_assert_num_queries(1):
        kept.keep_up(TODAY)


@pytest.mark.parametrize("way", ["one by one", "many at once", "straight into the table"])
def test_a_visit_counts_whichever_way_it_comes_in(points, way):
    kept.keep_up(TODAY)
    before = Outlook.objects.get(points=points).changes
    visit = {"points": points, "at": builders.noon(2026, 6, 1), "by": "Lineman A"}
    if way == "one by one":
        Inspection.objects.create(**visit)
    elif way == "many at once":
        Inspection.objects.bulk_create([Inspection(**visit)])
    else:
        fields = [f.column for f in Inspection._meta.concrete_fields if not f.primary_key]
        taken = ", ".join("%s" if name == "client_id" else name for name in fields)
        with connection.cursor() as cursor:
            cursor.execute(
                f"INSERT INTO inspections_inspection ({', '.join(fields)}) "
                f"SELECT {taken} FROM inspections_inspection LIMIT 1",
                [str(uuid4()) if connection.vendor == "postgresql" else uuid4().hex],
            )
    assert Outlook.objects.get(points=points).changes == before + 1
    assert Outlook.objects.stale(TODAY).count() == 1


def test_a_correction_a_limit_and_other_rails_make_it_stale(points):
    def is_stale_after(change) -> bool:
        kept.keep_up(TODAY)
        assert not Outlook.objects.stale(TODAY).exists()
        change()
        return Outlook.objects.stale(TODAY).exists()

    mistaken = Reading.objects.get(value=51.5)
    correction = Reading(
        inspection=mistaken.inspection,
        quantity="fwc",
        position=mistaken.position,
        lie=mistaken.lie,
        value=52,
        corrects=mistaken,
        correction_reason="read the wrong line",
    )
    assert is_stale_after(correction.save)
    assert is_stale_after(lambda: builders.set_limit("fwc", 55, level="alert"))
    assert is_stale_after(lambda: Limit.objects.filter(level="alert").delete())
    other = builders.make_rail("113A", "flat_bottom")
    assert is_stale_after(lambda: Points.objects.update(rail_section=other))
    assert not is_stale_after(lambda: Points.objects.update(note="painted"))


def test_a_limit_that_comes_into_force_later_is_not_forgotten(points):
    kept.keep_up(TODAY)
    builders.set_limit("fwc", 40, effective_from=TODAY + timedelta(days=10))
    kept.keep_up(TODAY)
    assert len(soonest()) == 1
    later = TODAY + timedelta(days=10)
    assert Outlook.objects.stale(later).exists()
    kept.keep_up(later)
    assert soonest() == []  # 11.5 mm above it: more than a year away


def test_too_many_changes_are_followed_a_part_at_a_time_and_the_rest_is_told(points):
    for _ in range(4):
        other = builders.make_rigged_points()
        builders.make_fwc_visit(other, builders.noon(2026, 5, 1), 60)
    assert [kept.keep_up(TODAY, most=2) for _ in range(3)] == [3, 1, 0]


def test_the_home_page_tells_what_is_left(as_technician, points, monkeypatch):
    monkeypatch.setattr(kept, "keep_up", lambda at: 3)
    page = " ".join(as_technician.get("/").content.decode().split())
    assert "Trends for 3 more sets of points" in page


def test_the_page_comes_while_somebody_else_is_writing(points, monkeypatch):
    def busy(*arguments):
        raise OperationalError("database is locked")

    monkeypatch.setattr(kept, "_follow", busy)
    assert kept.keep_up(TODAY) == 1
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            assert cursor.execute("PRAGMA busy_timeout").fetchone()[0] >= 5_000


def test_points_are_due_from_their_last_whole_visit_in_whatever_order_visits_came(points):
    for day, reason in ((5, "routine"), (3, "routine"), (9, "after_work")):
        Inspection.objects.create(
            points=points, at=builders.noon(2026, 7, day), by="Lineman A", reason=reason
        )
    [due] = due_list(TODAY)
    assert due.last == date(2026, 7, 5)
