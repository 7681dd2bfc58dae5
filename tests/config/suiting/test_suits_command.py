"""``manage.py suits``: the two questions, as JSON."""

import json

import pytest
from django.core.management import CommandError, call_command

from tests.builders import (
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_stretcher,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def place():
    points = make_points("12")
    make_fitting(make_stretcher("ST-001"), make_position(points, 1))
    spaces = {"space_ahead_mm": 100, "space_behind_mm": 100}
    return make_position(points, 2, separation_mm=1250, **spaces)


def ask(capsys, *args) -> list[dict]:
    call_command("suits", *args, "--json")
    return json.loads(capsys.readouterr().out)["candidates"]


def test_spares_for_a_place_come_best_first(capsys, place):
    make_stretcher("ST-014", left_shoe="flat_bottom", left_shoe_colour="yellow")
    make_stretcher("ST-015")
    found = ask(capsys, "--points", "SKB 12", "--position", "2")
    assert [c["part"] for c in found] == ["ST-015", "ST-014"]
    assert found[0] | {"findings": []} == {
        "part": "ST-015",
        "points": "SKB 12",
        "position": 2,
        "outcome": found[0]["outcome"],
        "findings": [],
    }
    assert [c["outcome"] for c in found] == ["suits", "suits_after_work"]
    shoe = next(f for f in found[1]["findings"] if f["rule"] == "left shoe")
    assert set(shoe) == {"rule", "outcome", "reason", "remedy", "source"}
    assert shoe["reason"].startswith("Flat-bottom shoe on the left")


def test_places_for_a_rod_leave_nothing_out(capsys, place):
    make_stretcher("ST-014")
    found = ask(capsys, "--part", "st-014")
    assert {(c["points"], c["position"]) for c in found} == {("SKB 12", 1), ("SKB 12", 2)}


def test_one_rod_for_one_place(capsys, place):
    make_stretcher("ST-014")
    make_stretcher("ST-015")
    found = ask(capsys, "--points", "SKB 12", "--position", "2", "--part", "ST-014")
    assert [c["part"] for c in found] == ["ST-014"]


def test_spare_machines_for_a_driven_place_come_best_first(capsys, place):
    make_machine("MC-003", quarantined=True)
    make_machine("MC-004")
    found = ask(capsys, "--points", "SKB 12", "--position", "1", "--kind", "machine")
    assert [c["part"] for c in found] == ["MC-004", "MC-003"]
    assert found[1]["outcome"] == "does_not_suit"
    said = {f["rule"]: f for f in found[1]["findings"]}
    assert set(said["quarantine"]) == {"rule", "outcome", "reason", "remedy", "source"}
    assert (
        said["drive lug"]["reason"] == "Stretcher ST-001: driven by motor machine on its plain lug."
    )


def test_places_for_a_machine_tell_the_driven_from_the_rest(capsys, place):
    make_machine("MC-003")
    found = ask(capsys, "--part", "mc-003")
    assert [(c["position"], c["outcome"] == "does_not_suit") for c in found] == [
        (1, False),
        (2, True),
    ]


def test_one_lost_motion_fitting_for_one_place(capsys, place):
    make_lost_motion_fitting("LM-001")
    make_lost_motion_fitting("LM-002")
    [found] = ask(capsys, "--points", "SKB 12", "--position", "1", "--part", "LM-002")
    assert (found["part"], found["position"]) == ("LM-002", 1)


def test_a_tag_of_two_kinds_is_asked_about(capsys, place):
    make_machine("X-1")
    make_stretcher("X-1")
    with pytest.raises(CommandError, match="a stretcher and a machine: say which with --kind"):
        call_command("suits", "--part", "X-1")
    found = ask(capsys, "--part", "X-1", "--kind", "machine")
    assert "kind of machine" in {f["rule"] for f in found[0]["findings"]}


@pytest.mark.parametrize(
    ("args", "sentence"),
    [
        ([], "Give --points with --position"),
        (["--points", "SKB 12"], "go together"),
        (["--points", "SKB 99", "--position", "2"], "There are no points 'SKB 99'"),
        (["--points", "SKB 12", "--position", "7"], "its positions are: 1, 2"),
        (["--part", "ST-999"], "There is no stretcher 'ST-999'"),
        (["--part", "ST-999"], "nor a machine or lost-motion fitting of that tag"),
        (["--part", "ST-999", "--kind", "machine"], "There is no machine 'ST-999'"),
    ],
)
def test_a_wrong_question_is_answered_with_a_sentence(place, args, sentence):
    with pytest.raises(CommandError, match=sentence):
        call_command("suits", *args)
