"""The limits: seeing, changing with the consequences told first, and confirming them."""

import re
from datetime import date
from html import unescape

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from inspections.models import Limit
from inspections.verdicts.verdicts_a_limit_changes import changes_by
from tests import builders, pages

pytestmark = pytest.mark.django_db
LIST = reverse("inspections:limits")
NEW = reverse("inspections:limit_new")
TODAY = date(2026, 7, 1)


def page_of(response) -> str:
    return unescape(pages.shown(response))


def filled(**fields) -> dict:
    return {
        "quantity": "fwc",
        "level": "intervention",
        "scope": "railway",
        "minimum": "52",
        "source": "the engineer's letter",
        "effective_from": timezone.localdate().isoformat(),
        **fields,
    }


def seen_mark(page: str) -> str:
    return re.search(r'name="seen" value="([^"]+)"', page)[1]


def save(client, address: str, sent: dict):
    """Looks at what changes, then saves."""
    page = page_of(client.post(address, sent))
    return client.post(address, sent | {"save": "1", "seen": seen_mark(page)})


@pytest.fixture
def readings():
    """Two sets of points with clearances of 51 and 60 mm, judged by 50 mm."""
    limit = builders.set_limit("fwc", 50)
    for number, value in (("12", 51), ("13", 60)):
        points = builders.make_rigged_points(number)
        builders.make_fwc_visit(points, builders.noon(2026, 4, 1), 40)
        builders.make_fwc_visit(points, builders.noon(2026, 6, 1), value)
    return limit


def test_a_stricter_limit_tells_which_present_readings_it_puts_out(readings):
    stricter = Limit(
        quantity="fwc", minimum=52, effective_from=TODAY, source="x", level="intervention"
    )
    changes = changes_by(stricter, TODAY)
    assert [(c.reading.value, c.before.verdict, c.after.verdict) for c in changes] == [
        (51, "within", "intervention")
    ]


def test_a_limit_for_other_rail_changes_nothing_here(readings):
    other = builders.make_rail("60E1", "flat_bottom")
    limit = Limit(
        quantity="fwc",
        minimum=60.5,
        scope="rail_section",
        rail_section=other,
        effective_from=TODAY,
        source="x",
    )
    assert changes_by(limit, TODAY) == []


def test_a_limit_to_come_is_compared_with_what_holds_on_its_day(readings):
    builders.set_limit("fwc", 55, effective_from=date(2026, 9, 1))
    later = Limit(quantity="fwc", minimum=50, effective_from=date(2026, 10, 1), source="x")
    assert [(c.before.verdict.value, c.after.verdict.value) for c in changes_by(later, TODAY)] == [
        ("intervention", "within")
    ]


def test_a_limit_that_a_later_one_has_replaced_already_changes_nothing(readings):
    builders.set_limit("fwc", 50, effective_from=date(2026, 5, 1))
    earlier = Limit(quantity="fwc", minimum=59, effective_from=date(2026, 3, 1), source="x")
    assert changes_by(earlier, TODAY) == []


def test_ending_a_limit_tells_that_nothing_judges_any_more(readings):
    end = Limit(quantity="fwc", effective_from=TODAY, source="x")
    assert {c.after.verdict.value for c in changes_by(end, TODAY)} == {"no_limit"}


def test_readings_of_lifted_points_do_not_count(readings):
    from assets.models import Points

    Points.objects.filter(number="12").update(service_state="lifted")
    stricter = Limit(quantity="fwc", minimum=52, effective_from=TODAY, source="x")
    assert changes_by(stricter, TODAY) == []


def test_telling_the_consequences_takes_three_queries(readings, django_assert_num_queries):
    stricter = Limit(quantity="fwc", minimum=52, effective_from=TODAY, source="x")
    with django_assert_num_queries(3):
        changes_by(stricter, TODAY)


def test_nothing_is_saved_until_the_consequences_were_shown(as_engineer, readings):
    page = page_of(as_engineer.post(NEW, filled(save="1")))
    assert "1 current reading would change result" in page
    assert Limit.objects.count() == 1
    response = as_engineer.post(NEW, filled(save="1", seen=seen_mark(page)))
    assert response.url == LIST
    newest = Limit.objects.latest("pk")
    assert (newest.minimum, newest.confirmed) == (52, False)


def test_figures_altered_after_the_consequences_were_shown_show_them_anew(as_engineer, readings):
    mark = seen_mark(page_of(as_engineer.post(NEW, filled())))
    page = page_of(as_engineer.post(NEW, filled(minimum="61", save="1", seen=mark)))
    assert "2 current readings would change result" in page
    assert Limit.objects.count() == 1


def test_recorded_visits_keep_the_limit_that_judged_them(as_engineer, readings):
    save(as_engineer, NEW, filled())
    kept = {(r.value, r.verdict, r.limit_id) for r in readings.readings.all()}
    assert kept == {
        (40, "intervention", readings.pk),
        (51, "within", readings.pk),
        (60, "within", readings.pk),
    }


def test_a_limit_may_be_written_in_inches(as_engineer):
    save(as_engineer, NEW, filled(minimum="1 3/4 in", maximum="4 1/4 in"))
    limit = Limit.objects.get()
    assert (limit.minimum, limit.maximum) == (44.45, 107.95)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"minimum": "60", "maximum": "50"}, "The least must not be more than the most."),
        ({"minimum": "fifty"}, "is not a length"),
        ({"minimum": "500"}, "is between 0 mm and 250 mm"),
        ({"scope": "layout"}, "Fill in only the field that the limit applies to"),
        ({"layout": "trap"}, "Fill in only the field that the limit applies to"),
        ({"source": ""}, "Fill this in."),
        ({"effective_from": "soon"}, "Enter a valid date."),
        ({"quantity": "weight"}, "weight is not in the list"),
    ],
)
def test_a_limit_that_cannot_be_is_refused(as_engineer, change, words):
    assert words in page_of(as_engineer.post(NEW, filled(**change)))
    assert not Limit.objects.exists()


def test_a_limit_of_one_set_of_points_needs_its_reason(as_engineer):
    points = builders.make_points("12")
    sent = filled(scope="points", points=points.pk)
    assert "needs a reason" in page_of(as_engineer.post(NEW, sent))
    save(as_engineer, NEW, sent | {"reason": "a tight curve"})
    assert Limit.objects.get().reason == "a tight curve"


def test_two_limits_of_one_scope_cannot_begin_on_the_same_day(as_engineer):
    save(as_engineer, NEW, filled())
    page = page_of(as_engineer.post(NEW, filled(minimum="53")))
    assert "already begins on that day" in page
    first = Limit.objects.get()
    with pytest.raises(IntegrityError), transaction.atomic():
        Limit.objects.create(
            quantity="fwc", minimum=53, effective_from=first.effective_from, source="x"
        )


def test_a_limit_that_has_judged_is_changed_by_a_new_one_from_its_figures(as_engineer, readings):
    response = as_engineer.get(reverse("inspections:limit_edit", args=[readings.pk]))
    assert response.url == f"{NEW}?like={readings.pk}"
    page = page_of(as_engineer.get(response.url))
    assert 'name="minimum" value="50"' in page


def test_a_limit_that_has_judged_nothing_is_put_right_and_needs_confirming_again(as_engineer):
    limit = builders.set_limit("fwc", 50, confirmed_by="Engineer C", confirmed_on=date(2026, 1, 2))
    save(as_engineer, reverse("inspections:limit_edit", args=[limit.pk]), filled())
    limit.refresh_from_db()
    assert (limit.minimum, limit.confirmed) == (52, False)


def test_the_engineer_confirms_a_limit_by_name_and_day_and_only_once(as_engineer):
    limit = builders.set_limit("fwc", 50)
    address = reverse("inspections:limit_confirm", args=[limit.pk])
    assert as_engineer.get(address).status_code == 405
    as_engineer.post(address)
    limit.refresh_from_db()
    assert (limit.confirmed_by, limit.confirmed_on) == ("Engineer C", timezone.localdate())
    assert "was confirmed already" in page_of(as_engineer.post(address, follow=True))


@pytest.mark.parametrize("who", ["technician", "ganger", "viewer"])
def test_others_see_the_limits_and_cannot_change_or_confirm_them(client, request, who):
    client.force_login(request.getfixturevalue(who))
    limit = builders.set_limit("fwc", 50)
    page = page_of(client.get(LIST))
    assert "at least 50 mm" in page
    assert "limit not confirmed" in page
    assert "Change" not in page
    for address in (
        NEW,
        reverse("inspections:limit_edit", args=[limit.pk]),
        reverse("inspections:limit_confirm", args=[limit.pk]),
    ):
        assert client.post(address, filled()).status_code == 403
    limit.refresh_from_db()
    assert not limit.confirmed


def test_the_list_shows_what_holds_and_what_is_to_come_and_the_past_on_asking(as_engineer):
    builders.set_limit("fwc", 48, effective_from=date(2020, 1, 1))
    builders.set_limit("fwc", 50, effective_from=date(2021, 1, 1))
    builders.set_limit("fwc", 55, effective_from=date(2999, 1, 1))
    page = page_of(as_engineer.get(LIST))
    assert "at least 50 mm" in page
    assert "to come" in page
    assert "at least 48 mm" not in page
    assert "No limit yet for: switch opening" in page
    assert "at least 48 mm" in page_of(as_engineer.get(f"{LIST}?past"))


def test_the_list_takes_the_same_queries_for_many_limits(
    as_engineer, django_assert_max_num_queries
):
    for day in range(1, 20):
        builders.set_limit("fwc", 50, effective_from=date(2021, 1, day))
        points = builders.make_points()
        builders.set_limit("fwc", 50 + day, scope="points", points=points, reason="x")
    with django_assert_max_num_queries(7):
        as_engineer.get(f"{LIST}?past")


def test_a_change_of_limit_is_kept_as_history(as_engineer):
    limit = builders.set_limit("fwc", 50)
    as_engineer.post(reverse("inspections:limit_confirm", args=[limit.pk]))
    newest = limit.history.first()
    assert (newest.confirmed_by, newest.history_user.username) == ("Engineer C", "engineer")


def test_the_model_itself_refuses_what_the_form_refuses():
    with pytest.raises(ValidationError, match="Fill in only the field"):
        Limit(
            quantity="fwc",
            minimum=1,
            scope="layout",
            effective_from=date(2026, 1, 1),
            source="x",
        ).full_clean()
