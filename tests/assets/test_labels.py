"""Labels: the code leads to the page, and they lie where the sheet has them."""

import re
from datetime import date

import pytest
import segno
from django.urls import reverse

from assets.labels import A4_MM, STATIONERY, Label, part_label, points_label, sheets
from tests.builders import (
    make_fitting,
    make_location,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_stretcher,
)

DAY = date(2026, 11, 3)
ROOT = "https://register.example"


def make_label(name: str = "SKB 12", **fields) -> Label:
    known = {"address": f"{ROOT}/points/SKB/12/", "what": "turnout", "where": "Skelbeck"}
    return Label(**{**known, "printed": DAY, "pk": 1, "name": name, **fields})


def dark_modules(drawn: str) -> set[tuple[int, int]]:
    """Row and column of each dark module of a drawn code, read back from its strokes."""
    path = re.search(r'<path[^>]* d="([^"]+)"', drawn)[1]
    found, x, y = set(), 0.0, 0.0
    for step, numbers in re.findall(r"([Mmh])([^Mmh]*)", path):
        values = [float(n) for n in re.findall(r"-?[\d.]+", numbers)]
        if step == "M":
            x, y = values
        elif step == "m":
            x, y = x + values[0], y + values[1]
        else:
            found |= {(int(y), int(x) + n) for n in range(int(values[0]))}
            x += values[0]
    return found


def matrix_of(address: str) -> set[tuple[int, int]]:
    """The same for an address encoded anew, with the four white modules of the standard."""
    rows = segno.make(address, error="m", micro=False).matrix
    return {(r + 4, c + 4) for r, row in enumerate(rows) for c, dark in enumerate(row) if dark}


# --- one label ----------------------------------------------------------------------------------


@pytest.mark.django_db
def test_the_code_of_points_leads_to_their_page():
    label = points_label(make_points("12"), ROOT, DAY)
    assert dark_modules(label.code) == matrix_of("https://register.example/points/SKB/12/")
    assert (label.name, label.what, label.where) == ("SKB 12", "turnout", "Skelbeck")


@pytest.mark.django_db
def test_the_code_of_a_part_leads_to_its_page_whatever_is_in_its_tag():
    label = part_label(make_stretcher("ST 14&É"), ROOT, DAY)
    address = "https://register.example/parts/stretcher/ST%2014&%C3%89/"
    assert dark_modules(label.code) == matrix_of(address)


@pytest.mark.django_db
def test_a_part_says_what_and_where_it_is():
    place = make_position(make_points("12"), 1)
    rod, machine = make_stretcher("ST-014"), make_machine("MC-003")
    assert part_label(rod, ROOT, DAY).lines == [
        "yellow stretcher",
        "in the store",
        "as on 3 Nov 2026",
    ]
    label = part_label(machine, ROOT, DAY, place)
    assert label.lines == ["motor machine", "at SKB 12, first", "stretcher", "as on 3 Nov 2026"]
    assert part_label(make_machine("M", kind="unknown"), ROOT, DAY).what == "machine"
    sleeve = part_label(make_lost_motion_fitting("LM-001"), ROOT, DAY)
    assert sleeve.what == "lost-motion fitting"


@pytest.mark.parametrize(
    ("name", "letters_mm"), [("SKB 12", 9.0), ("ST-014", 9.0), ("A" * 20, 3.72)]
)
def test_a_name_is_as_large_as_its_label_lets_it(name, letters_mm):
    """59.5 mm of room, letters up to 0.8 of their height wide, 9 mm at the most."""
    assert make_label(name).letters_mm == letters_mm


def test_long_words_take_six_lines_and_no_more():
    label = make_label(what="supplementary drive " * 4, where="at the far end of the yard " * 4)
    assert len(label.lines) == 6
    assert label.lines[1].endswith("…")
    assert max(map(len, label.lines)) <= 17


def test_the_code_brings_no_style_and_is_26_mm_wide():
    code = make_label().code
    assert "style" not in code
    assert "class" not in code
    assert code.startswith('<svg width="26.0" height="26.0"><path transform="scale(0.702')


# --- sheets -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("size", "count", "used", "pages", "last"),
    [
        ("small", 0, 0, 0, None),
        ("small", 1, 0, 1, 1),
        ("small", 21, 0, 1, 21),
        ("small", 22, 0, 2, 1),
        ("small", 21, 5, 2, 5),
        ("small", 3, 20, 2, 2),
        ("large", 8, 0, 1, 8),
        ("large", 9, 0, 2, 1),
        ("large", 20, 3, 3, 7),
    ],
)
def test_labels_fill_so_many_sheets(size, count, used, pages, last):
    made = sheets([make_label(str(n)) for n in range(count)], STATIONERY[size], used)
    assert len(made) == pages
    assert sum(len(sheet.cells) for sheet in made) == count
    if made:
        assert len(made[-1].cells) == last


def test_the_small_labels_lie_as_on_sheets_of_21():
    """Three columns 66.04 mm apart and seven rows 38.1 mm apart, centred on A4: as the
    makers of such sheets give it (7.2 mm at the sides, 15.15 mm above)."""
    small = STATIONERY["small"]
    assert small.lefts == [7.21, 73.25, 139.29]
    assert small.tops[0] == 15.15
    assert small.tops[-1] + 38.1 == pytest.approx(297 - 15.15)
    [sheet] = sheets([make_label()], small, used=4)
    assert sheet.cells[0][:2] == (73.25, 53.25)


@pytest.mark.parametrize("size", STATIONERY)
def test_cut_marks_stand_outside_the_labels_and_on_the_paper(size):
    on = STATIONERY[size]
    inside_x = (on.lefts[0], on.lefts[-1] + on.width_mm)
    inside_y = (on.tops[0], on.tops[-1] + on.height_mm)
    marks = re.findall(r"M([\d.]+) ([\d.]+)([vh])([\d.]+)", on.cut_marks)
    edges = (2 * on.columns if on.gap_mm else on.columns + 1), on.rows + 1
    assert len(marks) == 2 * sum(edges)
    for x, y, way, length in marks:
        start, bounds, most = (
            (float(y), inside_y, A4_MM[1]) if way == "v" else (float(x), inside_x, A4_MM[0])
        )
        end = start + float(length)
        assert 0 < start < end < most
        assert end < bounds[0] or start > bounds[1]


# --- pages --------------------------------------------------------------------------------------


def labels_on(client, name: str, *args, **query) -> list[str]:
    """The names of the labels printed, in their order."""
    response = client.get(reverse(f"assets:{name}", args=args), query)
    assert response.status_code == 200
    return [label.name for label in response.context["labels"]]


@pytest.mark.django_db
def test_points_and_parts_have_their_sheets(as_technician):
    make_points("2")
    make_points("12")
    make_stretcher("ST-002", generation="red")
    make_stretcher("ST-001")
    make_machine("MC-001")
    assert labels_on(as_technician, "label_sheet") == ["SKB 2", "SKB 12"]
    assert labels_on(as_technician, "label_sheet", "stretcher") == ["ST-001", "ST-002"]
    assert labels_on(as_technician, "label_sheet", "machine") == ["MC-001"]
    assert labels_on(as_technician, "label_sheet", "lostmotionfitting") == []
    assert labels_on(as_technician, "label_sheet", "stretcher", generation="red") == ["ST-002"]


@pytest.mark.django_db
def test_one_part_is_picked_and_others_are_left_out(as_technician):
    rods = [make_stretcher(f"ST-00{n}") for n in range(3)]
    picked = labels_on(as_technician, "label_sheet", "stretcher", pick=rods[1].pk)
    assert picked == ["ST-001"]
    left = labels_on(as_technician, "label_sheet", "stretcher", without=[rods[0].pk, rods[2].pk])
    assert left == ["ST-001"]


@pytest.mark.django_db
def test_the_labels_of_points_bring_those_of_their_parts(as_technician):
    points = make_points("12")
    place = make_position(points, 1)
    make_fitting(make_stretcher("ST-014"), place)
    make_fitting(make_machine("MC-003"), place)
    make_stretcher("ST-099")
    names = labels_on(as_technician, "points_labels", "SKB", "12")
    assert sorted(names) == ["MC-003", "SKB 12", "ST-014"]


@pytest.mark.django_db
def test_codes_on_the_page_lead_to_the_address_it_was_asked_at(as_technician, settings):
    settings.ALLOWED_HOSTS = ["register.example"]
    make_points("12")
    url = reverse("assets:label_sheet")
    text = as_technician.get(url, headers={"host": "register.example"}).content.decode()
    drawn = re.search(r'<g transform="translate\(1 11\)">(.*?)</g>', text, re.DOTALL)[1]
    assert dark_modules(drawn) == matrix_of("http://register.example/points/SKB/12/")
    assert "phones will not be able to open codes" not in text
    settings.ALLOWED_HOSTS = ["localhost"]
    text = as_technician.get(url, headers={"host": "localhost:8000"}).content.decode()
    assert "phones will not be able to open codes" in text


@pytest.mark.django_db
def test_the_page_has_a_drawing_for_each_sheet_and_no_inline_style(as_technician):
    for number in range(1, 24):
        make_points(str(number))
    url = reverse("assets:label_sheet")
    text = as_technician.get(url, {"marks": "on"}).content.decode()
    assert text.count('<svg class="labels"') == 2
    assert "23 labels on 2 sheets of A4" in text
    assert not re.search(r"\sstyle=", text)
    large = as_technician.get(url, {"size": "large", "used": "7"}).content.decode()
    assert "23 labels on 4 sheets of A4" in large


@pytest.mark.django_db
@pytest.mark.parametrize(
    "query", [{"size": "huge"}, {"used": "-1"}, {"used": "8", "size": "large"}, {"pick": "x"}]
)
def test_a_sheet_that_cannot_be_is_told_of(as_technician, query):
    make_points("12")
    response = as_technician.get(reverse("assets:label_sheet"), query)
    assert "correct the marked boxes" in response.content.decode()
    assert response.context["sheets"] == []


@pytest.mark.django_db
def test_labels_of_nothing_known_are_not_found(as_technician):
    assert as_technician.get(reverse("assets:label_sheet", args=["signal"])).status_code == 404
    assert as_technician.get("/points/SKB/99/labels/").status_code == 404


@pytest.mark.django_db
def test_only_people_with_a_post_see_labels(client, viewer, outsider):
    url = reverse("assets:label_sheet")
    client.force_login(viewer)
    assert client.get(url).status_code == 200
    client.force_login(outsider)
    assert client.get(url).status_code == 403


@pytest.mark.django_db
def test_pages_and_lists_link_to_their_labels(as_technician):
    points, rod = make_points("12"), make_stretcher("ST-014")
    for page, link in (
        (points.get_absolute_url(), "/points/SKB/12/labels/"),
        (rod.get_absolute_url(), f"/labels/stretcher/?pick={rod.pk}"),
        ("/points/?layout=turnout&page=1", "/labels/points/?layout=turnout"),
        ("/parts/machine/?where=spare", "/labels/machine/?where=spare"),
    ):
        assert link in as_technician.get(page).content.decode()


@pytest.mark.django_db
def test_more_labels_take_no_more_queries(as_technician, django_assert_max_num_queries):
    location = make_location()
    for number in range(1, 31):
        position = make_position(make_points(str(number), location), 1)
        make_fitting(make_stretcher(f"ST-{number:03}"), position)
        make_fitting(make_machine(f"MC-{number:03}"), position)
    for what, most in (("points", 7), ("stretcher", 7), ("machine", 7)):
        with django_assert_max_num_queries(most):
            assert len(labels_on(as_technician, "label_sheet", what)) == 30
    with django_assert_max_num_queries(9):
        assert len(labels_on(as_technician, "points_labels", "SKB", "7")) == 3


@pytest.mark.django_db
def test_beyond_ten_sheets_the_rest_is_on_the_next_page(as_technician, monkeypatch):
    monkeypatch.setattr("assets.views.labels.MOST", 4)
    for number in range(1, 7):
        make_points(str(number))
    assert len(labels_on(as_technician, "label_sheet")) == 4
    assert labels_on(as_technician, "label_sheet", page=2) == ["SKB 5", "SKB 6"]


def test_a_list_that_cannot_be_narrowed_like_that_says_so_and_gives_no_labels(as_technician):
    make_points("12")
    answer = as_technician.get(reverse("assets:label_sheet"), {"layout": "roundabout"})
    assert answer.status_code in (200, 422)
    assert not answer.context["labels"]
    assert "roundabout is not in the list" in answer.content.decode()
