"""Why each index is there: the question of which everyday page it answers, by SQLite's own plan.

PostgreSQL plans by how many rows there are, so that a small table tells nothing: SQLite only.
"""

from datetime import date

import pytest
from django.db import connection
from django.db.models import Count, Q

from assets.departments import Department
from assets.models import Stretcher
from assets.paging import keys_of
from defects import proposals
from defects.models import Defect
from inspections.models import Examination, Inspection, Reading
from inspections.upcoming import kept
from tests import builders

TODAY = date(2026, 6, 1)


@pytest.fixture(autouse=True)
def on_sqlite(db):
    if connection.vendor != "sqlite":
        pytest.skip("asks SQLite for its plans")


def queue():
    return Defect.objects.owned_by(Department.SIGNALLING).most_urgent_first().values("pk")[:8]


def queue_counts():
    overdue = Count("pk", filter=Q(due_on__lt=TODAY))
    counted = Defect.objects.open().order_by().values("owner")
    return counted.annotate(waiting=Count("pk"), overdue=overdue)


QUESTIONS = {
    "a department's queue, on the home page": (queue, "INDEX defect_open_queue (owner=?)"),
    "how many wait, on the home page": (queue_counts, "COVERING INDEX defect_open_queue"),
    "measures in force, on the home page": (
        lambda: Defect.objects.with_measure().most_urgent_first(),
        "INDEX defect_measure_stands (temporary_measure=?)",
    ),
    "readings out that nobody raised, on the home page": (
        lambda: proposals.unhandled(Reading).order_by(),
        "INDEX reading_out_of_limits (verdict=?)",
    ),
    "things seen defective that nobody raised, on the home page": (
        lambda: proposals.unhandled(Examination).order_by(),
        "INDEX examination_defective",
    ),
    "what reaches a limit, on the home page": (
        lambda: kept.reaching(TODAY, 90)[:8],
        "INDEX reaching_soonest (soonest<?)",
    ),
    "the newest visits, in their list": (
        lambda: keys_of(Inspection.objects.with_counts().order_by("-at", "-pk"))[:50],
        "COVERING INDEX inspection_newest",
    ),
    "the last readings, on the page of the points": (
        lambda: Reading.objects.filter(inspection__points=1).latest(),
        "COVERING INDEX inspection_by_points (points_id=?)",
    ),
    "spares, in the list of parts": (
        lambda: Stretcher.objects.spare().order_by("tag", "pk")[:50],
        "INDEX fitting_stretcher_in_one_place (stretcher_id=?)",
    ),
}


@pytest.mark.parametrize("question", QUESTIONS)
def test_the_index_answers_the_question(question):
    rows, index = QUESTIONS[question]
    assert index in rows().explain()


def test_no_everyday_question_reads_every_reading():
    points = builders.make_rigged_points("12")
    asked = (
        Reading.objects.filter(inspection__points=points).latest().out(),
        Reading.objects.standing().filter(inspection__points=points).in_time(),
        Reading.objects.standing().filter(stretcher=1).order_by("-inspection__at", "-pk"),
        proposals.unhandled(Reading),
    )
    for rows in asked:
        assert "SCAN inspections_reading" not in rows.explain()
