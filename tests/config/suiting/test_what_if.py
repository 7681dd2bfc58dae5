"""Other rods put in without saving: every answer as if they were fitted."""

import pytest

from assets.models import Fitting
from tests.builders import make_fitting, make_machine, make_points, make_position, make_stretcher

ADDRESS = "/points/SKB/12/what-if/"


@pytest.fixture
def points(db):
    """SKB 12: lock, first (driven) and third stretcher fitted, all insulated left; second empty."""
    points = make_points("12")
    places = [make_position(points, order) for order in range(4)]
    make_fitting(make_stretcher("ST-0", for_lock=True, notches="uncut"), places[0])
    make_fitting(make_stretcher("ST-1"), places[1])
    make_fitting(make_machine("MC-1", drive_insulated=False, lock_rod_insulated=False), places[1])
    make_fitting(make_stretcher("ST-3"), places[3])
    return points


def asked(client, query=""):
    return client.get(f"{ADDRESS}{query}")


def outcomes(context, which="after") -> list[str]:
    return [str(at.outcome) if at.outcome else "no rod" for at in context[which].places]


def test_with_nothing_chosen_it_is_the_register_as_it_is(points, as_technician):
    answer = asked(as_technician)
    assert "Nothing is changed yet" in answer.content.decode()
    assert outcomes(answer.context) == outcomes(answer.context, "before")


def test_a_spare_put_in_the_empty_place_counts_and_is_drawn(points, as_technician):
    make_stretcher("ST-20")
    answer = asked(as_technician, "?2=ST-20")
    context, page = answer.context, answer.content.decode()
    assert context["before"].number.reason.startswith("2 stretchers, not counting")
    assert context["after"].number.reason.startswith("3 stretchers, not counting")
    assert context["after"].at(2).place.stretcher.tag == "ST-20"
    assert "2 · ST-20 yellow" in " ".join(page.split())
    assert "ST-20 as second stretcher" in page


def test_a_rod_insulated_on_the_other_side_joins_the_rails_through_the_machine(
    points, as_technician
):
    """Bare to the left rail and to the machine, as its neighbours are to the right rail."""
    make_stretcher("ST-21", insulation_side="right", can_be_turned=False)
    context = asked(as_technician, "?1=ST-21").context
    assert context["before"].circuit.bridged is False
    assert context["after"].circuit.bridged is True
    assert "machine" in context["after"].circuit.path
    changed = {(c.place.stretcher.tag, c.rule) for c in context["others"]}
    assert ("ST-0", "insulation side") in changed


def test_a_place_named_without_a_tag_is_left_empty(points, as_technician):
    context = asked(as_technician, "?1=&3=").context
    assert outcomes(context)[1:] == ["no rod", "no rod", "no rod"]
    assert context["after"].number.reason.startswith("No stretcher")
    assert [answer.reason for _, answer in context["after"].lost_motion] == [
        "Driven here, and there is no stretcher to drive."
    ]


def test_a_rod_of_these_points_moved_leaves_its_old_place_empty(points, as_technician):
    context = asked(as_technician, "?2=ST-3").context
    tags = [at.place.stretcher and at.place.stretcher.tag for at in context["after"].places]
    assert tags == ["ST-0", "ST-1", "ST-3", None]


def test_two_rods_can_change_places(points, as_technician):
    context = asked(as_technician, "?1=ST-3&3=ST-1").context
    tags = [at.place.stretcher and at.place.stretcher.tag for at in context["after"].places]
    assert tags == ["ST-0", "ST-3", None, "ST-1"]


def test_one_rod_in_two_places_is_refused_beside_the_form(points, as_technician):
    make_stretcher("ST-20")
    answer = asked(as_technician, "?2=ST-20&3=ST-20")
    assert "ST-20 is chosen for more than one place" in answer.content.decode()
    assert answer.context["changed"] is False


@pytest.mark.parametrize("tag", ["ST-999", "<b>", "MC-1", "ST-30"])
def test_a_rod_that_is_neither_spare_nor_here_is_named_and_refused(points, as_technician, tag):
    other = make_points("14")
    make_fitting(make_stretcher("ST-30"), make_position(other, 1))
    answer = asked(as_technician, f"?2={tag}")
    assert answer.status_code == 200
    assert answer.context["form"].errors["2"] == [
        f"There is no {tag} in the store or on these points."
    ]
    assert "<b>" not in answer.content.decode().split("What the rules say")[0].split("<form")[2]


def test_tags_may_be_written_in_small_letters(points, as_technician):
    make_stretcher("ST-20")
    assert asked(as_technician, "?2=st-20").context["after"].at(2).place.stretcher.tag == "ST-20"


def test_the_lie_is_kept_while_trying_and_the_tabs_keep_the_rods(points, as_technician):
    make_stretcher("ST-20")
    page = asked(as_technician, "?2=ST-20&lie=right_closed").content.decode()
    assert '<input type="hidden" name="lie" value="right_closed">' in page
    assert 'href="?2=ST-20&amp;lie=left_closed#plan"' in page


def test_nothing_is_saved(points, as_technician):
    make_stretcher("ST-20")
    before = list(Fitting.objects.values_list("pk", "position", "stretcher", "taken_out_on"))
    asked(as_technician, "?2=ST-20&1=")
    assert (
        list(Fitting.objects.values_list("pk", "position", "stretcher", "taken_out_on")) == before
    )


def test_only_who_may_fit_is_offered_to_record_it(points, client, viewer, technician):
    make_stretcher("ST-20")
    for user, offered in ((viewer, False), (technician, True)):
        client.force_login(user)
        page = asked(client, "?2=ST-20").content.decode()
        assert ("Fit ST-20 here" in page) is offered


def test_many_spares_cost_no_more_queries(points, as_technician, django_assert_max_num_queries):
    for _ in range(30):
        make_stretcher()
    with django_assert_max_num_queries(40):
        asked(as_technician, "?2=")
