"""The form of a survey: what is known stands beside each box, and what contradicts it is told."""

import pytest

from assets.models import Points, Stretcher
from assets.survey.questions import NOT_SEEN, FoundForm
from assets.survey.survey import Survey
from tests.builders import make_fitting, make_machine, make_points, make_position, make_stretcher

pytestmark = pytest.mark.django_db


@pytest.fixture
def points() -> Points:
    points = make_points("12", soleplate="insulated")
    place = make_position(points, 1, distance_mm=950)
    rod = make_stretcher("ST-014", generation="yellow", kicker=True, condition="good")
    make_fitting(rod, place)
    make_fitting(make_machine("MC-1", kind="motor", stroke_mm=150), place)
    return points


def said_in(form: FoundForm) -> dict[str, str]:
    boxes = form.asked(*(name for names in form.facts.values() for name in names))
    return {box["name"]: box["says"] for box in boxes}


def sent(**answers) -> dict:
    """A survey's answers, with __ for a hyphen; the rod at place 1 is confirmed by its tag."""
    given = {"on": "2025-06-01", "by": "Lineman A", "rods-1-role": "drive", "rods-1-tag": "ST-014"}
    return given | {name.replace("__", "-"): value for name, value in answers.items()}


def test_what_is_known_stands_beside_each_box_and_no_key_is_touched_beforehand(points):
    survey = Survey(points)
    place = survey.places[1]
    said = said_in(place)
    assert (said["generation"], said["kicker"], said["distance_mm"]) == ("yellow", "yes", "950 mm")
    assert said["depth"] == ""
    assert said_in(survey.machine)["stroke_mm"] == "150 mm"
    assert said_in(survey.points)["soleplate"] == "insulated"
    assert (survey.machine.initial["tag"], survey.machine.initial["at"]) == ("MC-1", 1)
    assert place["generation"].value() is None
    assert (place.initial["tag"], place.initial["role"]) == ("ST-014", "drive")


def test_lock_notches_are_asked_at_the_lock_alone(points):
    survey = Survey(points)
    assert "notches" in said_in(survey.places[0])
    assert "notches" not in said_in(survey.places[1])


def test_a_contradiction_is_said_once_beside_its_box(points):
    data = sent(**{"rods-1__generation": "red", "rods-1__distance_mm": "960"})
    survey = Survey(points, data)
    assert not survey.is_valid()
    assert survey.contradicts
    place = survey.places[1]
    assert place.errors["generation"] == ["The register says yellow. Look again."]
    assert place.errors["distance_mm"] == ["The register says 950 mm. Look again."]
    assert Survey(points, data | {"told": survey.told}).is_valid()
    other = data | {"told": survey.told, "rods-1-kicker": "false"}
    assert not Survey(points, other).is_valid(), "what was not told yet is told"


def test_the_tag_that_is_typed_says_what_the_register_is_asked_about(points):
    make_stretcher("ST-020", generation="black")
    survey = Survey(points, sent(**{"rods-1__tag": "st-020", "rods-1__generation": "yellow"}))
    assert not survey.is_valid()
    assert survey.places[1].errors["generation"] == ["The register says black. Look again."]
    unknown = Survey(points, sent(**{"rods-1__tag": "ST-999", "rods-1__generation": "red"}))
    assert unknown.is_valid()


@pytest.mark.parametrize(
    "answers",
    [
        {"rods-1__generation": "yellow"},
        {"rods-1__generation": NOT_SEEN},
        {"rods-1__depth": "shallow"},
        {"rods-1__condition": "worn"},  # changes with time
    ],
)
def test_what_agrees_or_was_not_known_or_changes_with_time_contradicts_nothing(points, answers):
    assert Survey(points, sent(**answers)).is_valid()


@pytest.mark.parametrize(
    ("answers", "box", "words"),
    [
        (
            {"form": "straight", "gooseneck_towards": "heel"},
            "gooseneck_towards",
            "This does not go with what is said of: Straight or gooseneck.",
        ),
        (
            {"insulation_side": "none", "insulation_kind": "rubber_bush"},
            "insulation_kind",
            "This does not go with what is said of: Insulation side.",
        ),
        (
            {"kicker": "false", "kicker_end": "left"},
            "kicker_end",
            "This does not go with what is said of: Kicker.",
        ),
    ],
)
def test_an_answer_to_what_does_not_arise_is_refused_not_dropped(points, answers, box, words):
    given = {f"rods-2__{name}": value for name, value in answers.items()}
    survey = Survey(points, sent(**{"rods-2__role": "back", "rods-2__tag": "ST-9", **given}))
    assert not survey.is_valid()
    assert survey.places[2].errors[box] == [words]


def test_facts_without_a_tag_or_a_place_are_asked_about(points):
    survey = Survey(
        points,
        sent(**{"rods-2__role": "back", "rods-2__form": "straight", "machine__tag": "MC-9"}),
    )
    assert not survey.is_valid()
    assert "tag" in survey.places[2].errors
    assert survey.machine.errors["at"] == ["Say at which place the machine takes hold."]


def test_a_rod_with_nothing_unknown_is_folded(points):
    survey = Survey(points)
    assert survey.places[1].unknown > 0
    assert survey.places[1].is_open
    Stretcher.objects.update(
        adjustability="adjustable",
        form="straight",
        insulation_side="none",
        left_shoe="bullhead",
        left_fixings="square_head",
        right_shoe="bullhead",
        right_fixings="square_head",
        kicker=False,
        kicker_end="none",
        drive_lug="none",
        lug_end="none",
        depth="full",
        welded=False,
        insulation_kind="none",
    )
    known = Survey(points).places[1]
    assert known.unknown == 0
    assert not known.is_open


def test_the_form_asks_a_bounded_number_of_times(points, django_assert_max_num_queries):
    with django_assert_max_num_queries(3):
        Survey(points)
