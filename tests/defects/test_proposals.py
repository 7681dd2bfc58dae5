"""From a visit's findings to defects: proposed, confirmed, added, dismissed; never forgotten."""

import pytest
from django.urls import reverse

from defects import proposals
from defects.models import Defect, Dismissal
from defects.moves import moves
from defects.routing.routing import code_of
from inspections.models import Examination, Reading
from tests.builders import (
    make_defect,
    make_examination,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    make_stretcher,
    noon,
    set_limit,
)

pytestmark = pytest.mark.django_db

NEXT = noon(2025, 6, 2)


@pytest.fixture
def points(db):
    points = make_points("12")
    make_position(points, 1)
    make_position(points, 2, role="back")
    return points


@pytest.fixture
def visit(points):
    return make_inspection(points)


@pytest.fixture
def back(points):
    return points.positions.get(order=2)


def only(visit) -> proposals.Proposal:
    [proposal] = proposals.proposals_for(visit)
    return proposal


def test_a_low_clearance_is_proposed_in_the_trades_words(visit, back):
    make_reading(visit, back, 46)
    proposal = only(visit)
    assert proposal.title == (
        "Free wheel clearance 46 mm at the second stretcher, left closed: at least 50 mm"
    )
    assert (proposal.routing.mends, proposal.routing.checks) == ("signalling", "signalling")
    assert proposal.urgency == "urgent"


@pytest.mark.parametrize(
    ("fields", "limit", "title"),
    [
        (
            {"value": 1441, "quantity": "track_gauge", "lie": ""},
            {"minimum": 1430, "maximum": 1437},
            "Track gauge 1441 mm at the toe: 1430 to 1437 mm",
        ),
        (
            {"value": 2.5, "quantity": "kicker_clearance", "lie": "", "side": "left"},
            {"minimum": 3, "maximum": 6},
            "Kicker clearance 2.5 mm at the second stretcher, left side: 3 to 6 mm",
        ),
        (
            {"value": 0, "quantity": "lock_go", "lie": "left_closed"},
            {"minimum": 1, "maximum": None},
            (
                "Lock test, gauge that must lock: not locked at the lock stretcher, left closed: "
                "must lock"
            ),
        ),
        (
            {"value": 47, "at_mm": 2100},
            {"minimum": 50, "maximum": None},
            "Free wheel clearance 47 mm 2100 mm from the toe, left closed: at least 50 mm",
        ),
    ],
    ids=["gauge", "kicker", "lock", "between the rods"],
)
def test_titles_give_the_figure_the_place_and_the_limit(visit, back, fields, limit, title):
    quantity = fields.get("quantity", "fwc")
    place = None if quantity == "track_gauge" or "at_mm" in fields else back
    if quantity == "lock_go":
        place = make_position(back.points, 0)
    set_limit(quantity, **limit)
    make_reading(visit, place, **fields)
    assert only(visit).title == title


def test_an_examination_found_defective_is_proposed_with_its_rod(visit, points):
    rod = make_stretcher("ST-014")
    place = points.positions.get(order=1)
    make_examination(visit, place, item="gooseneck_crack", stretcher=rod, note="20 mm long.")
    proposal = only(visit)
    assert proposal.title == "Gooseneck cracked at the first stretcher"
    defect = proposals.confirm(proposal, user=visit_user(), at=NEXT)
    assert defect.stretcher == rod
    assert defect.description == "20 mm long."
    assert defect.urgency == "at_once"


def visit_user():
    from tests.builders import make_user

    return make_user("technician", "signalling", "Lineman A")


def test_what_the_track_does_to_a_rod_is_not_laid_at_the_rods_door(visit, points):
    place = points.positions.get(order=1)
    make_examination(visit, place, item="ballast", stretcher=make_stretcher())
    assert only(visit).finding.part is None


def test_a_reading_at_a_place_that_has_lost_its_rod_is_proposed_all_the_same(visit, back):
    make_reading(visit, back, 46, stretcher=None)
    assert proposals.confirm(only(visit), user=visit_user(), at=NEXT).part is None


def test_the_gauge_measured_at_the_same_visit_decides_who_is_first(visit, back):
    make_reading(visit, back, 46)
    set_limit("track_gauge", 1430, 1437)
    make_reading(visit, None, 1440, quantity="track_gauge")
    found = {code_of(p.finding.found): p.routing.mends for p in proposals.proposals_for(visit)}
    assert found == {
        "fwc.below.gauge_out": "permanent_way",
        "track_gauge.above": "permanent_way",
    }


def test_within_limits_and_not_seen_propose_nothing(visit, back):
    make_reading(visit, back, 55)
    make_examination(visit, back, found="not_seen")
    make_examination(visit, back, item="weld", found="good")
    assert proposals.proposals_for(visit) == []


def test_an_open_defect_at_the_place_takes_the_reading_as_measured_again(points, back, technician):
    first = make_defect(reading=make_reading(make_inspection(points), back, 46))
    visit = make_inspection(points, NEXT)
    reading = make_reading(visit, back, 45)
    proposal = only(visit)
    assert proposal.open_defect == first
    proposals.add_to_open(proposal, user=technician, at=NEXT)
    event = first.events.order_by("pk").last()
    assert (event.move, event.reading) == ("measured_again", reading)
    assert event.sentence == "Measured again, still out of limits."
    assert event.note == ""
    assert not proposals.unhandled(Reading).exists()


def test_a_worse_reading_makes_the_open_defect_as_urgent_and_due_as_soon(points, back, technician):
    first = make_defect(reading=make_reading(make_inspection(points), back, 46))
    assert first.urgency == "urgent"
    visit = make_inspection(points, NEXT)
    set_limit("fwc", 40, level="immediate")
    make_reading(visit, back, 38)
    proposals.add_to_open(only(visit), user=technician, at=NEXT)
    first.refresh_from_db()
    assert (first.urgency, first.due_on) == ("at_once", NEXT.date())
    event = first.events.order_by("pk").last()
    assert event.urgency == "at_once"
    assert event.sentence == "Measured again, still out of limits. Urgency now: at once."


def test_a_milder_reading_leaves_the_open_defect_as_urgent_as_it_was(points, back, technician):
    first = make_defect(reading=make_reading(make_inspection(points), back, 46), urgency="at_once")
    visit = make_inspection(points, NEXT)
    make_reading(visit, back, 46)
    proposals.add_to_open(only(visit), user=technician, at=NEXT)
    first.refresh_from_db()
    assert first.urgency == "at_once"


def test_a_closed_defect_at_the_place_makes_it_a_repeat_one_step_more_urgent(
    points, back, engineer
):
    first = make_defect(reading=make_reading(make_inspection(points), back, 46))
    moves.close(first, user=engineer, at=NEXT, reason="Agreed.")
    visit = make_inspection(points, noon(2025, 8, 1))
    make_reading(visit, back, 45)
    proposal = only(visit)
    assert (proposal.open_defect, proposal.repeat_of) == (None, first)
    assert proposal.urgency == "at_once"
    defect = proposals.confirm(proposal, user=engineer, at=noon(2025, 8, 1))
    assert (defect.repeat_of, defect.urgency) == (first, "at_once")


def test_a_finding_stays_unhandled_until_somebody_decides(visit, back, technician):
    reading = make_reading(visit, back, 46)
    look = make_examination(visit, back)
    assert list(proposals.unhandled(Reading)) == [reading]
    assert list(proposals.unhandled(Examination)) == [look]
    defect = make_defect(reading=reading)
    proposals.dismiss(look, user=technician, at=NEXT, reason="Paint, no crack.")
    assert not proposals.unhandled(Reading).exists()
    assert not proposals.unhandled(Examination).exists()
    moves.raise_in_error(defect, user=technician, at=NEXT, reason="Wrong points.")
    assert list(proposals.unhandled(Reading)) == [reading]


def test_a_corrected_reading_is_no_longer_to_be_handled(visit, back):
    reading = make_reading(visit, back, 46)
    make_reading(visit, back, 56, corrects=reading, correction_reason="Misread by 10.")
    assert not proposals.unhandled(Reading).exists()


def test_dismissing_needs_a_reason_and_happens_once(visit, back, technician, viewer):
    reading = make_reading(visit, back, 46)
    with pytest.raises(moves.Refused, match="Say why"):
        proposals.dismiss(reading, user=technician, at=NEXT, reason=" ")
    with pytest.raises(moves.Refused, match="Only signalling or permanent way may dismiss"):
        proposals.dismiss(reading, user=viewer, at=NEXT, reason="No.")
    proposals.dismiss(reading, user=technician, at=NEXT, reason="Gauge was bent.")
    with pytest.raises(moves.Refused, match="already"):
        proposals.dismiss(reading, user=technician, at=NEXT, reason="Gauge was bent.")


def test_proposals_take_no_more_queries_for_more_findings(
    visit, back, django_assert_max_num_queries
):
    for lie in ("left_closed", "right_closed"):
        make_reading(visit, back, 46, lie=lie)
    for item in ("weld", "fixings", "ballast", "shoe_crack", "lock_nuts"):
        make_examination(visit, back, item=item)
    with django_assert_max_num_queries(6):
        assert len(proposals.proposals_for(visit)) == 7


# --- the page --------------------------------------------------------------------------------


def address(visit) -> str:
    return reverse("defects:proposals", args=[visit.pk])


def answer(finding, decision: str, **fields) -> dict:
    key = f"{'e' if hasattr(finding, 'item') else 'r'}{finding.pk}"
    values = {
        "decision": decision, "title": "Clearance low", "urgency": "urgent",
        "mends": "signalling", "checks": "signalling", "remedy": "", "reason": "", **fields,
    }  # fmt: skip
    return {f"{key}-{name}": value for name, value in values.items()}


def test_the_page_raises_what_is_confirmed_as_edited(as_technician, visit, back):
    reading = make_reading(visit, back, 46)
    page = as_technician.get(address(visit)).content.decode()
    assert "Free wheel clearance 46 mm at the second stretcher" in page
    as_technician.post(address(visit), answer(reading, "raise", mends="permanent_way"))
    defect = Defect.objects.get()
    assert (defect.title, defect.owner, defect.reading) == (
        "Clearance low", "permanent_way", reading,
    )  # fmt: skip


def test_the_page_dismisses_only_with_a_reason(as_technician, visit, back):
    look = make_examination(visit, back)
    response = as_technician.post(address(visit), answer(look, "dismiss"))
    assert "Say why no defect is raised." in response.content.decode()
    assert not Dismissal.objects.exists()
    as_technician.post(address(visit), answer(look, "dismiss", reason="Paint only."))
    assert Dismissal.objects.get().reason == "Paint only."


def test_deciding_of_several_is_all_or_nothing(as_technician, visit, back):
    reading, look = make_reading(visit, back, 46), make_examination(visit, back)
    sent = answer(reading, "raise") | answer(look, "dismiss")
    as_technician.post(address(visit), sent)
    assert not Defect.objects.exists()


def test_what_somebody_else_decided_meanwhile_is_not_decided_twice(visit, back, technician):
    reading = make_reading(visit, back, 46)
    proposal = only(visit)
    make_defect(reading=reading)
    with pytest.raises(moves.Refused, match="already dealt with this"):
        proposals.claim(visit, [proposal])


def test_two_findings_added_to_one_open_defect_are_both_kept(as_technician, points, back):
    first = make_defect(points, found="fwc.below", position=back)
    visit = make_inspection(points, NEXT)
    both = [make_reading(visit, back, 46, lie=lie) for lie in ("left_closed", "right_closed")]
    as_technician.post(address(visit), answer(both[0], "add") | answer(both[1], "add"))
    assert {e.reading for e in first.events.filter(move="measured_again")} == set(both)
