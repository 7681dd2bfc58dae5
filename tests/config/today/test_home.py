"""The home page: each person sees what is theirs to do, in few queries."""

import os
import subprocess
import sys
from datetime import date

import pytest
from django.conf import settings
from django.urls import reverse

from assets.departments import Department
from config.today.home import SHOWN, home_of
from defects import proposals
from defects.moves import moves
from defects.words import TemporaryMeasure
from tests import builders

TODAY = date(2025, 6, 20)
SIGNALLING, PERMANENT_WAY = Department.SIGNALLING, Department.PERMANENT_WAY


def titles(queue) -> list[str]:
    return [defect.title for defect in queue.first]


@pytest.mark.django_db
class TestQueues:
    def test_a_technician_sees_what_waits_for_signalling_the_most_urgent_first(self, technician):
        points = builders.make_points()
        builders.make_defect(points, title="Bush worn", urgency="planned")
        builders.make_defect(points, title="Lock fails", urgency="at_once")
        builders.make_defect(points, title="Timber rotten", mends=PERMANENT_WAY)
        [queue] = home_of(technician, TODAY).queues
        assert queue.department == SIGNALLING
        assert titles(queue) == ["Lock fails", "Bush worn"]
        assert (queue.waiting, queue.overdue, queue.more) == (2, 1, 0)

    def test_a_ganger_sees_what_was_handed_to_the_permanent_way(self, ganger, technician):
        defect = builders.make_defect(title="Kicker low", urgency="planned")
        [before] = home_of(ganger, TODAY).queues
        assert before.waiting == 0
        moves.hand_over(
            defect, user=technician, at=builders.noon(2025, 6, 2), reason="the timbers sank"
        )
        [after] = home_of(ganger, TODAY).queues
        assert titles(after) == ["Kicker low"]
        assert home_of(technician, TODAY).queues[0].waiting == 0

    def test_a_defect_past_its_day_says_when_it_was_due(self, as_technician):
        builders.make_defect(title="Bush worn", urgency="planned")  # raised on 1 June 2025
        page = as_technician.get("/").content.decode()
        assert "was due 29 Jun 2025" in page
        assert "overdue since" not in page

    def test_work_done_comes_back_to_who_checks_it(self, ganger, technician):
        defect = builders.make_defect(title="Kicker low", mends=PERMANENT_WAY, checks=SIGNALLING)
        defect = moves.accept(defect, user=ganger, at=builders.noon(2025, 6, 2))
        moves.work_done(defect, user=ganger, at=builders.noon(2025, 6, 3), note="packed")
        assert titles(home_of(technician, TODAY).queues[0]) == ["Kicker low"]
        assert home_of(ganger, TODAY).queues[0].waiting == 0

    @pytest.mark.parametrize("who", ["engineer", "viewer"])
    def test_engineer_and_viewer_see_both_departments(self, who, request):
        user = request.getfixturevalue(who)
        builders.make_defect()
        page = home_of(user, TODAY)
        assert [(q.department, q.waiting) for q in page.queues] == [
            (SIGNALLING, 1),
            (PERMANENT_WAY, 0),
        ]

    def test_a_long_queue_shows_its_first_and_says_how_many_more(self, technician):
        points = builders.make_points()
        for _ in range(SHOWN + 3):
            builders.make_defect(points)
        [queue] = home_of(technician, TODAY).queues
        assert (len(queue.first), queue.waiting, queue.more) == (SHOWN, SHOWN + 3, 3)


@pytest.mark.django_db
class TestFinds:
    def test_a_reading_out_with_no_defect_is_shown_until_it_is_raised(self, technician):
        points = builders.make_rigged_points()
        visit = builders.make_inspection(points)
        reading = builders.make_reading(visit, points.positions.get(order=1), 46)
        [find] = home_of(technician, TODAY).finds
        assert find.visit == visit
        assert find.words == [
            "Free wheel clearance 46 mm at the first stretcher, left closed: at least 50 mm"
        ]
        builders.make_defect(points, reading=reading, title="Clearance low")
        assert home_of(technician, TODAY).finds == []

    def test_a_dismissed_find_is_gone(self, technician):
        points = builders.make_rigged_points()
        look = builders.make_examination(
            builders.make_inspection(points), points.positions.get(order=1)
        )
        assert len(home_of(technician, TODAY).finds) == 1
        proposals.dismiss(
            look, user=technician, at=builders.noon(2025, 6, 2), reason="paint, not a crack"
        )
        assert home_of(technician, TODAY).finds == []

    def test_finds_of_one_visit_stand_together_the_latest_visit_first(self, technician):
        points = builders.make_rigged_points()
        first, second = points.positions.get(order=1), points.positions.get(order=2)
        old = builders.make_inspection(points, builders.noon(2025, 5, 1))
        new = builders.make_inspection(points, builders.noon(2025, 6, 1))
        builders.make_reading(old, first, 46)
        builders.make_reading(new, first, 45)
        builders.make_examination(new, second)
        page = home_of(technician, TODAY)
        assert [(find.visit, len(find.words)) for find in page.finds] == [(new, 2), (old, 1)]


@pytest.mark.django_db
class TestTheRest:
    def test_points_out_of_use_are_named(self, technician):
        builders.make_points("7", service_state="out_of_use")
        builders.make_points("8")
        assert [points.number for points in home_of(technician, TODAY).out_of_use] == ["7"]

    def test_a_measure_stands_even_when_there_are_many_and_ends_when_lifted(self, technician):
        points = builders.make_points()
        at = builders.noon(2025, 6, 2)
        held = [
            moves.set_temporary_measure(
                builders.make_defect(points),
                user=technician,
                at=at,
                measure=TemporaryMeasure.SPEED,
                note="10 mph",
            )
            for _ in range(SHOWN + 2)
        ]
        assert len(home_of(technician, TODAY).measures) == SHOWN + 2
        moves.lift_temporary_measure(held[0], user=technician, at=at, note="rod fitted")
        assert len(home_of(technician, TODAY).measures) == SHOWN + 1

    def test_inspections_overdue_and_soon_due_are_listed_the_longest_overdue_first(
        self, technician
    ):
        late = builders.make_points("1", inspection_interval_days=20)
        soon = builders.make_points("2", inspection_interval_days=29)
        later = builders.make_points("3", inspection_interval_days=90)
        for points in (soon, late, later):
            builders.make_inspection(points, builders.noon(2025, 5, 25))
        rows = home_of(technician, TODAY).due
        assert [(row.points, row.words) for row in rows] == [
            (late, "overdue by 6 days"),
            (soon, "due in 3 days"),
        ]

    def test_only_the_engineer_is_shown_limits_to_confirm(self, engineer, technician):
        builders.make_points()
        limit = builders.set_limit("fwc", 50)
        assert home_of(engineer, TODAY).unconfirmed == [(limit, "at least 50 mm")]
        assert home_of(technician, TODAY).unconfirmed == []
        limit.confirmed_by, limit.confirmed_on = "Engineer C", TODAY
        limit.save()
        assert home_of(engineer, TODAY).unconfirmed == []

    def test_an_empty_register_says_how_to_begin(self, as_technician):
        page = as_technician.get(reverse("home")).content.decode()
        assert "There are no points in the register yet." in page
        assert reverse("assets:location_list") in page

    def test_a_quiet_day_says_what_would_come_here(self, as_technician):
        points = builders.make_points()
        builders.make_inspection(points, builders.noon(2026, 1, 1))
        page = as_technician.get(reverse("home")).content.decode()
        assert "No defects with signalling." in page
        assert "has been raised or dismissed" in page


@pytest.mark.django_db
def test_the_number_of_queries_does_not_grow_with_the_register(
    as_engineer, django_assert_max_num_queries
):
    for _ in range(12):
        points = builders.make_rigged_points()
        visit = builders.make_inspection(points)
        builders.make_reading(visit, points.positions.get(order=1), 46)
        builders.make_defect(points)
    for _ in range(2):
        as_engineer.get(reverse("home"))  # follows, judges and calculates what has changed
    with django_assert_max_num_queries(19):
        as_engineer.get(reverse("home"))


LOOK = """
import sys, django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group
from django.test import Client
from assets.models import Location, Points
user = get_user_model().objects.create(username="technician")
user.groups.add(Group.objects.get(name="signalling"))
Points.objects.create(location=Location.objects.create(code="SKB", name="Skelbeck"), number="1")
client = Client()
client.force_login(user)
answer = client.get("/", headers={"host": "localhost"})
print(answer.status_code, sorted({"scipy", "numpy", "networkx"} & set(sys.modules)))
"""


def test_the_home_page_loads_none_of_the_heavy_arithmetic(tmp_path):
    """The libraries for sums take seconds to load; who only looks should not wait for them."""
    kept = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
    result = subprocess.run(
        [sys.executable, "-c", LOOK],
        env={
            **kept,
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "TOE_TO_HEEL_DATA": str(tmp_path),
            "HTTPS": "off",
        },
        cwd=settings.BASE_DIR,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert result.stdout.strip() == "200 []", result.stderr
