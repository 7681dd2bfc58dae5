"""Every spare against every place: the window, the filters, the workbook, and the best use."""

from io import BytesIO

import pytest
from openpyxl import load_workbook

from assets.engineering.suitability import Outcome
from assets.models import Points, Stretcher
from config.suiting import spares
from config.suiting.best_use import best_use_of_store
from config.suiting.spares import Asked, window
from config.suiting.suits import spares_for
from tests.builders import (
    make_fitting,
    make_location,
    make_points,
    make_position,
    make_stretcher,
)

ADDRESS = "/spares/"


def make_set(number: str, *rods, location=None, **fields):
    """Points with a place per rod from the first on; None leaves the place empty."""
    points = make_points(number, location=location, **fields)
    for order, rod in enumerate(rods, start=1):
        place = make_position(points, order, role="intermediate", driven=False)
        if rod:
            make_fitting(rod, place)
    return points


@pytest.fixture
def store(db):
    """SKB 12 with an empty place, TRN 2 with a condemned rod; three spares, one of them scrap."""
    tarn = make_location("TRN", name="Tarn Halt", mileage=2.4)
    make_set("12", make_stretcher("ST-1"), None, make_stretcher("ST-3"))
    make_set("2", make_stretcher("ST-4"), make_stretcher("ST-5", condition="scrap"), location=tarn)
    make_stretcher("ST-20")
    make_stretcher("ST-21", generation="red")
    make_stretcher("ST-22", condition="scrap")


def shown(found) -> dict[str, list[str]]:
    return {
        spare.tag: [
            f"{cell.place.points.key}/{cell.place.position.order} {cell.short}" for cell in cells
        ]
        for spare, cells in found.table.rows
    }


def test_every_cell_says_what_the_rules_say_of_that_pair(store):
    table = window(Asked()).table
    assert [spare.tag for spare in table.spares] == ["ST-20", "ST-21", "ST-22"]
    for column, place in enumerate(table.places):
        by_rules = {o.part.tag: o.assessment.outcome for o in spares_for(place.position)}
        for row, spare in enumerate(table.spares):
            assert table.outcomes.outcome(row, column) is by_rules[spare.tag]


def test_places_stand_in_walking_order_from_the_toe(store):
    places = window(Asked()).table.places
    assert [f"{p.points.key}/{p.position.order}" for p in places] == [
        "SKB 12/1",
        "SKB 12/2",
        "SKB 12/3",
        "TRN 2/1",
        "TRN 2/2",
    ]


def test_a_condemned_spare_suits_nowhere(store):
    assert {cell.split()[-1] for cell in shown(window(Asked()))["ST-22"]} == {"no"}


def test_lifted_points_have_no_column(store):
    Points.objects.filter(number="2").update(service_state="lifted")
    assert {p.points.key for p in window(Asked()).table.places} == {"SKB 12"}


def test_filters_by_location_generation_and_places_that_want_a_rod(store):
    tarn = make_location("TRN")
    assert list(shown(window(Asked(generation="red")))) == ["ST-21"]
    assert {p.points.key for p in window(Asked(location=tarn)).table.places} == {"TRN 2"}
    wanting = window(Asked(wanting=True)).table.places
    assert [f"{p.points.key}/{p.position.order}" for p in wanting] == ["SKB 12/2", "TRN 2/2"]


def test_an_outcome_keeps_the_spares_and_places_that_have_it_and_counts_all(store):
    found = window(Asked(outcome=Outcome.DOES_NOT_SUIT.value))
    assert list(shown(found)) == ["ST-22"]
    assert len(found.table.places) == 5
    assert sum(found.counts.values()) == 15
    assert found.counts[Outcome.DOES_NOT_SUIT] == 5


def test_the_page_is_a_window_both_ways(store, monkeypatch):
    monkeypatch.setattr(spares, "SPARES_A_PAGE", 2)
    monkeypatch.setattr(spares, "PLACES_A_PAGE", 3)
    last = window(Asked(), spares_page=2, places_page="2")
    assert shown(last).keys() == {"ST-22"}
    assert [f"{p.points.key}/{p.position.order}" for p in last.table.places] == [
        "TRN 2/1",
        "TRN 2/2",
    ]
    beyond = window(Asked(outcome=Outcome.DOES_NOT_SUIT.value), 9, "x")
    assert len(beyond.table.places) == 3


def test_a_window_needs_no_more_queries_than_a_larger_one(store, django_assert_max_num_queries):
    def rows():
        return shown(window(Asked()))

    with django_assert_max_num_queries(16):
        rows()
    for n in range(6):
        make_set(f"3{n}", make_stretcher(), None)
        make_stretcher()
    with django_assert_max_num_queries(16):
        rows()


# --- the page and the workbook ------------------------------------------------------------------


def test_a_cell_leads_to_the_findings_of_that_pair(store, as_technician):
    page = as_technician.get(ADDRESS).content.decode()
    assert 'href="/points/SKB/12/what-if/?2=ST-20"' in page
    assert "ST-20 at SKB 12, second stretcher:</span>" in page
    answer = as_technician.get("/points/SKB/12/what-if/?2=ST-20").content.decode()
    assert "ST-20 as second stretcher" in answer


def test_a_wrong_filter_is_said_and_nothing_is_hidden(store, as_technician):
    page = as_technician.get(f"{ADDRESS}?outcome=splendid").content.decode()
    assert "cannot be narrowed like that" in page
    assert "ST-22" in page


def test_an_empty_store_is_said(db, as_technician):
    make_set("12", None)
    page = as_technician.get(ADDRESS).content.decode()
    assert "There is no spare stretcher in the store" in page


def test_the_workbook_holds_the_whole_table_in_words(store, as_technician):
    answer = as_technician.get(f"{ADDRESS}workbook/?generation=yellow")
    rows = sheet_of(answer)
    assert rows[0][3:] == ("SKB 12", "SKB 12", "SKB 12", "TRN 2", "TRN 2")
    assert rows[3][3:] == ("ST-1", "no stretcher", "ST-3", "ST-4", "ST-5")
    assert rows[4][7] == "does not suit"
    assert rows[5][:3] == ("Spare", "Generation", "Insulation")
    assert [row[0] for row in rows[6:]] == ["ST-20", "ST-22"]
    assert set(rows[7][3:]) == {"does not suit"}


def test_a_tag_that_looks_like_a_formula_stays_a_text_in_the_workbook(store, as_technician):
    make_stretcher("=1+1")
    rows = sheet_of(as_technician.get(f"{ADDRESS}workbook/"))
    assert "=1+1" in [row[0] for row in rows]


def sheet_of(answer):
    content = b"".join(answer.streaming_content)
    book = load_workbook(BytesIO(content), data_only=True)
    return list(book["Spares and places"].iter_rows(values_only=True))


def test_only_people_with_a_post_see_the_table(store, client, outsider):
    client.force_login(outsider)
    for address in (ADDRESS, f"{ADDRESS}workbook/", f"{ADDRESS}best-use/"):
        assert client.get(address).status_code == 403


# --- best use -----------------------------------------------------------------------------------


def test_the_store_goes_to_the_empty_and_the_failing_place(store):
    found = best_use_of_store()
    assert {use.spare.tag for use in found.uses} == {"ST-20", "ST-21"}
    places = [(use.place.points.key, use.place.position.order) for use in found.uses]
    assert places == [("SKB 12", 2), ("TRN 2", 2)]
    assert [spare.tag for spare in found.unused] == ["ST-22"]
    [failing] = [use for use in found.uses if use.place.points.key == "TRN 2"]
    assert [answer.reason for answer in failing.instead_of] == ["Scrap."]


def test_the_best_use_page_explains_itself(store, as_technician):
    page = as_technician.get(f"{ADDRESS}best-use/").content.decode()
    assert "2 of 2 places can be filled" in page
    assert "Instead of ST-5, which does not suit: Scrap." in page
    assert "/points/SKB/12/what-if/?2=ST-2" in page


def test_a_place_that_nothing_fits_says_what_comes_nearest(store, as_technician):
    Stretcher.objects.filter(tag__in=["ST-20", "ST-21"]).update(quarantined=True)
    page = as_technician.get(f"{ADDRESS}best-use/").content.decode()
    assert "0 of 2 places can be filled" in page
    assert "no spare suits" in page


def test_the_best_use_takes_few_queries(store, django_assert_max_num_queries):
    with django_assert_max_num_queries(14):
        best_use_of_store()
