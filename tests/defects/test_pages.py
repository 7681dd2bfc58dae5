"""The pages of defects: what each shows, to whom, and what is kept when something goes wrong."""

from datetime import timedelta
from io import BytesIO

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from openpyxl import load_workbook

from assets.models import Points
from config.points import plan_notes
from config.points.list_page import marks_of
from config.points.reader import known, open_defects
from defects.models import Defect
from defects.moves import moves
from tests import pages
from tests.builders import (
    make_defect,
    make_inspection,
    make_location,
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
    return points


@pytest.fixture
def defect(points):
    """Ballast behind the stretchers: P-way mends, signalling checks."""
    return make_defect(points, title="", found="item.ballast", position=points.positions.get())


def send(client, defect, move: str, **fields):
    fields.setdefault("version", defect.version)
    return client.post(reverse("defects:move", args=[defect.number, move]), fields)


def text_of(response) -> str:
    return pages.shown(response)


NOT_YOURS = "You can view this defect but not change it."

# --- the page of one defect ------------------------------------------------------------------


def test_the_page_says_what_is_wrong_who_holds_it_and_what_closes_it(as_technician, defect):
    page = text_of(as_technician.get(defect.get_absolute_url()))
    assert "Ballast behind the stretchers at the first stretcher" in page
    assert "with permanent way" in page
    assert "An examination of ballast behind the stretchers found good" in page


@pytest.mark.parametrize(
    ("post", "shown", "hidden"),
    [
        (
            "ganger",
            ["Accept: we will repair it", "Return it", "Remark"],
            ["Close without a reading"],
        ),
        ("technician", ["Raised in error", "Remark"], ["Accept: we will repair it", "Return it"]),
        ("engineer", ["Accept: we will repair it", "Close without a reading"], []),
        ("viewer", [NOT_YOURS], ["Accept: we will repair it", "Remark"]),
    ],
)
def test_each_is_offered_the_moves_of_their_post(client, request, defect, post, shown, hidden):
    client.force_login(request.getfixturevalue(post))
    page = text_of(client.get(defect.get_absolute_url()))
    assert all(words in page for words in shown)
    assert not any(words in page for words in hidden)


def test_the_whole_way_on_the_page_by_two_people(client, points, technician, ganger):
    set_limit("kicker_clearance", 3, 6)
    place = points.positions.get()
    kicker = {"quantity": "kicker_clearance", "side": "left"}
    low = make_reading(make_inspection(points), place, 2, **kicker)
    defect = make_defect(reading=low)
    client.force_login(ganger)
    send(client, defect, "accept")
    defect.refresh_from_db()
    now = timezone.localtime()
    send(client, defect, "work_done", note="Packed.", done_at=f"{now:%Y-%m-%dT%H:%M}")
    defect.refresh_from_db()
    assert (defect.state, defect.owner) == ("work_done", "signalling")
    client.force_login(technician)
    page = text_of(client.get(defect.get_absolute_url()))
    assert "No reading or examination since the work shows that the fault is gone." in page
    good = make_reading(make_inspection(points, timezone.now()), place, 4, **kicker)
    page = text_of(client.get(defect.get_absolute_url()))
    assert "Kicker clearance 4 mm at the first stretcher, left side: 3 to 6 mm" in page
    response = send(client, defect, "close", evidence=f"r{good.pk}")
    assert response.status_code == 302
    defect.refresh_from_db()
    assert defect.state == "closed"


def test_a_reading_that_proves_nothing_cannot_be_sent_either(as_technician, points, technician):
    low = make_reading(make_inspection(points), points.positions.get(), 46)
    defect = moves.accept(make_defect(reading=low), user=technician, at=NEXT)
    defect = moves.work_done(defect, user=technician, at=NEXT, note="Reset.")
    response = send(as_technician, defect, "close", evidence=f"r{low.pk}")
    assert response.status_code == 422
    defect.refresh_from_db()
    assert defect.is_open


def test_the_engineers_reason_stays_in_sight(as_engineer, defect):
    send(as_engineer, defect, "agree", reason="Points lifted, nothing left to dig.")
    page = text_of(as_engineer.get(defect.get_absolute_url()))
    assert "Closed by the responsible engineer without a reading, for this reason:" in page
    assert "Points lifted, nothing left to dig." in page


@pytest.mark.parametrize("move", ["agree", "accept", "in_error", "close"])
def test_a_move_that_is_not_theirs_is_refused_on_the_page_too(as_ganger, technician, points, move):
    mine = make_defect(points, title="", found="switch_opening.below")
    response = send(as_ganger, mine, move, reason="Mine now.", evidence="r1")
    assert response.status_code == 422
    mine.refresh_from_db()
    assert (mine.state, mine.version) == ("raised", 1)


def test_a_reason_left_out_is_asked_for_beside_the_box_and_the_rest_kept(as_ganger, defect):
    response = send(as_ganger, defect, "return", kind="not_there", reason=" ")
    assert response.status_code == 422
    page = text_of(response)
    assert "Fill this in." in page
    assert '<option value="not_there" selected>' in page


def test_work_done_tomorrow_is_refused_beside_the_time(as_ganger, ganger, defect):
    defect = moves.accept(defect, user=ganger, at=timezone.now())
    later = timezone.localtime() + timedelta(days=1)
    response = send(
        as_ganger, defect, "work_done", note="Dug out.", done_at=f"{later:%Y-%m-%dT%H:%M}"
    )
    page = text_of(response)
    assert "cannot be done later than now" in page
    assert "Dug out." in page


def test_the_second_of_two_is_told_and_keeps_what_was_typed(as_ganger, engineer, defect):
    seen = defect.version
    moves.give_back(defect, user=engineer, at=NEXT, kind="need_more", reason="Which rod?")
    response = send(as_ganger, defect, "hand_over", version=seen, reason="Too deep for us.")
    page = text_of(response)
    assert response.status_code == 409
    assert "Someone else changed this defect while you were writing" in page
    assert "returned by Engineer C" in page
    assert "Which rod?" in page
    assert "Too deep for us." in page
    assert defect.events.count() == 2


def test_sent_again_after_the_change_it_goes_through(as_ganger, engineer, defect):
    moves.edit(defect, user=engineer, at=NEXT, urgency="urgent")
    response = send(as_ganger, defect, "hand_over", version=1, reason="Too deep for us.")
    assert 'name="version" value="2"' in text_of(response)
    assert send(as_ganger, defect, "hand_over", version=2, reason="Too deep.").status_code == 302


def test_an_edit_keeps_both_peoples_changes(as_ganger, engineer, defect):
    address = reverse("defects:edit", args=[defect.number])
    was = {
        "title": defect.title, "description": "", "remedy": defect.remedy,
        "urgency": "planned", "due_on": f"{defect.due_on}", "cause": "",
    }  # fmt: skip
    sent = {"version": 1, **was, **{f"initial-{name}": value for name, value in was.items()}}
    sent["remedy"] = "Dig out by hand."
    moves.edit(defect, user=engineer, at=NEXT, title="Ballast packed against the rod")
    response = as_ganger.post(address, sent)
    page = text_of(response)
    assert response.status_code == 409
    assert "Ballast packed against the rod" in page
    assert "Dig out by hand." in page
    sent |= {"version": 2, "title": "Ballast packed against the rod"}
    sent["initial-title"] = sent["title"]
    assert as_ganger.post(address, sent).status_code == 302
    defect.refresh_from_db()
    assert defect.title == "Ballast packed against the rod"
    assert defect.remedy == "Dig out by hand."


def test_an_unknown_cause_is_told_beside_the_number(as_ganger, defect):
    assert "There is no defect 99." in text_of(send(as_ganger, defect, "link", cause=99))


def test_what_people_wrote_is_shown_as_text(as_ganger, defect):
    send(as_ganger, defect, "comment", note="<script>alert(1)</script>")
    page = text_of(as_ganger.get(defect.get_absolute_url()))
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert" in page


def test_the_page_takes_no_more_queries_for_a_longer_story(
    as_ganger, ganger, defect, django_assert_max_num_queries
):
    for n in range(30):
        moves.comment(defect, user=ganger, at=NEXT, note=f"Remark {n}.")
    with django_assert_max_num_queries(16):
        as_ganger.get(defect.get_absolute_url())


# --- raising by hand -------------------------------------------------------------------------


def test_raising_by_hand_asks_for_the_points_first(as_technician, points):
    assert "Location code and number" in text_of(as_technician.get("/defects/raise/"))
    page = text_of(as_technician.get("/defects/raise/?points=SKB+99"))
    assert "There are no points" in page
    assert "Raise a defect at SKB 12" in text_of(as_technician.get("/defects/raise/?points=skb+12"))


def test_raising_by_hand_routes_by_what_was_found(as_technician, points):
    place = points.positions.get()
    fields = {"found": "item.timber_fouling", "position": place.pk, "title": "", "urgency": ""}
    as_technician.post("/defects/raise/?points=SKB+12", fields)
    defect = Defect.objects.get()
    assert defect.title == "Stretcher close to or cut into a timber at the first stretcher"
    assert (defect.owner, defect.position) == ("permanent_way", place)


def test_what_was_found_is_chosen_by_how_it_is_come_by(as_technician, points):
    page = text_of(as_technician.get("/defects/raise/?points=SKB+12"))
    groups = {part.partition('"')[0]: part for part in page.split('<optgroup label="')[1:]}
    assert list(groups) == ["Measured", "Examined", "Found in the register"]
    assert "Track gauge wide" in groups["Measured"]
    assert "Ballast behind the stretchers" in groups["Examined"]
    assert "Fewer stretchers than the switch needs" in groups["Found in the register"]
    assert "only the responsible engineer can close that" in page


def test_something_else_raised_by_hand_is_described_only_by_who_raised_it(as_technician, points):
    fields = {"title": "Lamp out", "description": "Dark since Sunday.", "mends": "permanent_way"}
    as_technician.post("/defects/raise/?points=SKB+12", fields)
    defect = Defect.objects.get()
    assert (defect.description, defect.owner) == ("Dark since Sunday.", "permanent_way")
    assert "routing row" not in text_of(as_technician.get(defect.get_absolute_url()))


def test_raising_nothing_at_all_is_refused(as_technician, points):
    response = as_technician.post("/defects/raise/?points=SKB+12", {"title": ""})
    assert "Say what is wrong" in text_of(response)
    assert not Defect.objects.exists()


def test_what_is_open_at_the_points_is_shown_before_raising_it_again(as_technician, defect):
    assert defect.title in text_of(as_technician.get("/defects/raise/?points=SKB+12"))


# --- lists -----------------------------------------------------------------------------------


@pytest.fixture
def several(points, ganger, engineer):
    """One of each: urgent and held by signalling, planned and overdue with P-way, closed."""
    tarn = make_points("3", location=make_location("TRN", name="Tarn Halt", mileage=2.5))
    make_defect(tarn, title="", found="switch_opening.below", at=timezone.now())
    make_defect(points, title="", found="item.ballast")
    gone = make_defect(points, title="Lamp out")
    moves.close(gone, user=engineer, at=NEXT, reason="New lamp.")


@pytest.mark.parametrize(
    ("query", "titles"),
    [
        ("", ["Switch opening too small", "Ballast behind the stretchers"]),
        ("?state=closed", ["Lamp out"]),
        ("?state=any&points=SKB+12", ["Ballast behind the stretchers", "Lamp out"]),
        ("?owner=permanent_way", ["Ballast behind the stretchers"]),
        ("?urgency=urgent", ["Switch opening too small"]),
        ("?overdue=true", ["Ballast behind the stretchers"]),
        ("?search=ballast+skb", ["Ballast behind the stretchers"]),
        ("?search=new+lamp&state=any", ["Lamp out"]),
        ("?search=1", ["Switch opening too small"]),
        ("?points=XYZ+1", []),
        ("?measure=true", []),
    ],
)
def test_the_list_is_narrowed_by(as_technician, several, query, titles):
    page = as_technician.get(f"/defects/{query}").context["page"]
    assert [defect.title for defect in page] == titles


BALLAST, OPENING, LAMP = "Ballast behind the stretchers", "Switch opening too small", "Lamp out"


@pytest.mark.parametrize(
    ("sort", "titles", "words"),
    [
        ("urgent", [OPENING, BALLAST, LAMP], "3 defects, most urgent first"),
        ("due", [BALLAST, LAMP, OPENING], "3 defects, by the day due"),
        ("points", [BALLAST, LAMP, OPENING], "3 defects, by points, in walking order"),
        ("newest", [LAMP, BALLAST, OPENING], "3 defects, by number, newest first"),
        ("oldest", [OPENING, BALLAST, LAMP], "3 defects, by number, oldest first"),
    ],
)
def test_the_list_is_sorted_and_says_how(as_technician, several, sort, titles, words):
    response = as_technician.get(f"/defects/?state=any&sort={sort}")
    assert [defect.title for defect in response.context["page"]] == titles
    assert words in text_of(response)


def test_the_list_calls_itself_open_only_while_it_holds_only_open_ones(as_technician, several):
    shown = text_of(as_technician.get("/defects/"))
    assert "<h1>Open defects</h1>" in shown
    assert "2 open defects, most urgent first" in shown
    assert "All defects" not in shown
    every = text_of(as_technician.get("/defects/?state=any"))
    assert "<h1>Defects</h1>" in every
    assert "3 defects, most urgent first" in every


def test_a_filter_that_makes_no_sense_says_so(as_technician, several):
    page = text_of(as_technician.get("/defects/?owner=nobody"))
    assert "cannot be narrowed like that" in page


def test_the_list_takes_the_same_queries_however_long(as_technician, several, points):
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            as_technician.get("/defects/")
        return len(caught)

    few = queries()
    for _ in range(40):
        make_defect(points)
    assert queries() <= few


def test_a_queue_goes_along_the_line_and_holds_only_its_own(as_ganger, points, several):
    ahead = make_points("1", location=make_location("QRY", name="Quarry Sidings", mileage=0))
    make_defect(ahead, title="", found="item.ballast")
    response = as_ganger.get(reverse("defects:queue", args=["permanent_way"]))
    places = response.context["places"]
    assert [place.location.code for place in places] == ["QRY", "SKB"]
    assert [job.defect.owner for place in places for job in place.jobs] == ["permanent_way"] * 2
    assert "Dig out." in text_of(response)


def test_a_queue_shows_the_limit_in_force_and_that_it_is_not_confirmed(as_ganger, points):
    set_limit("kicker_clearance", 3, 6)
    make_defect(points, title="", found="kicker_clearance.below", position=points.positions.get())
    page = text_of(as_ganger.get(reverse("defects:queue", args=["permanent_way"])))
    assert "3 to 6 mm (limit not confirmed)" in page


def test_what_waits_to_be_checked_is_in_the_checkers_queue(as_technician, defect, ganger):
    defect = moves.accept(defect, user=ganger, at=NEXT)
    moves.work_done(defect, user=ganger, at=NEXT, note="Dug out.")
    page = text_of(as_technician.get(reverse("defects:queue", args=["signalling"])))
    assert "Check: an examination of ballast behind the stretchers found good" in page


def test_what_was_returned_looks_returned_until_somebody_takes_it_on(
    as_technician, defect, ganger, technician
):
    defect = moves.give_back(defect, user=ganger, at=NEXT, kind="not_there", reason="All sound.")
    queue = reverse("defects:queue", args=["signalling"])
    page = text_of(as_technician.get(queue))
    assert "Returned by Ganger B, " in page
    assert "Not found there: All sound.<br>Examine, then accept or return" in page
    moves.accept(defect, user=technician, at=NEXT)
    assert "Returned by" not in text_of(as_technician.get(queue))


def test_an_unknown_department_has_no_queue(as_ganger):
    assert as_ganger.get("/defects/queue/catering/").status_code == 404


def test_the_queue_as_a_workbook_has_room_to_write_and_no_formulas(as_ganger, points):
    make_defect(points, title="=1+1", mends="permanent_way")
    response = as_ganger.get(reverse("defects:queue_workbook", args=["permanent_way"]))
    sheet = load_workbook(BytesIO(response.content))["permanent way list"]
    headings = [cell.value for cell in sheet[1]]
    row = dict(zip(headings, sheet[2], strict=True))
    assert row["What is wrong"].value == "=1+1"
    assert row["What is wrong"].data_type == "s"
    assert row["Points"].value == "SKB 12"
    to_fill_in = ["Act", "Of what kind", "Note", "By", "When"]
    assert headings[-6:] == [*to_fill_in, "Version"]
    assert [row[name].value for name in to_fill_in] == [None] * 5
    assert row["Version"].value == 1


def test_a_queue_takes_the_same_queries_however_long(
    as_ganger, points, django_assert_max_num_queries
):
    for _ in range(30):
        make_defect(points, title="", found="item.ballast")
    with django_assert_max_num_queries(7):
        as_ganger.get(reverse("defects:queue", args=["permanent_way"]))


# --- on the register's pages -----------------------------------------------------------------


def test_the_points_page_shows_open_defects_and_measures_until_lifted(
    as_technician, points, defect, engineer, technician
):
    defect = moves.set_temporary_measure(
        defect, user=engineer, at=NEXT, measure="secured", note="Clipped both ways."
    )
    defect = moves.close(defect, user=engineer, at=NEXT, reason="Agreed.")
    page = text_of(as_technician.get(points.get_absolute_url()))
    assert "Secured out of use" in page
    moves.lift_temporary_measure(defect, user=technician, at=NEXT, note="Given back.")
    assert "Secured out of use" not in text_of(as_technician.get(points.get_absolute_url()))


def test_the_marks_of_points_count_open_and_overdue(points, defect):
    [marks] = marks_of([points.pk]).values()
    words = [mark.words for mark in marks]
    assert words[:2] == ["1 open defect", "1 overdue"]


def test_open_defects_stand_on_the_plan_at_their_places(points, defect):
    kicker = {"quantity": "kicker_clearance", "side": "left"}
    set_limit("kicker_clearance", 3, 6)
    low = make_reading(make_inspection(points), points.positions.get(), 2, **kicker)
    make_defect(reading=low)
    make_defect(points, title="Lamp out")
    read = Points.objects.with_places().get(pk=points.pk)
    known_now = known(read, NEXT.date())
    notes = [note for note in plan_notes.notes(known_now, "left_closed") if note.number]
    assert [(note.number, note.x_mm, note.side, note.kind) for note in notes] == [
        (1, 1400, "unknown", "planned"),
        (2, 1400, "left", "urgent"),
        (3, None, "unknown", "planned"),
    ]


def test_a_rods_open_defects_are_told_to_suitability(points, engineer):
    rod = make_stretcher("ST-014")
    defect = make_defect(points, title="Shoe cracked", part=rod)
    assert open_defects([rod]) == {rod: (f"Defect {defect.number}: Shoe cracked.",)}
    moves.close(defect, user=engineer, at=NEXT, reason="Shoe replaced.")
    assert open_defects([rod]) == {}


def test_the_routing_table_is_seen_by_all_and_changed_by_the_engineer(client, viewer, engineer):
    client.force_login(viewer)
    page = text_of(client.get("/routing/"))
    assert "Lift and pack the timbers" in page
    assert "/routing/item.ballast/" not in page
    assert client.get("/routing/item.ballast/").status_code == 403
    client.force_login(engineer)
    assert client.get("/routing/item.ballast/").status_code == 200
