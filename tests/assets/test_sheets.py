"""Loading the register's sheets: by the same rules as the screens, refused beside the cell."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from assets import fitting
from assets.models import (
    Fitting,
    Location,
    Points,
    Position,
    RailSection,
    Stretcher,
    WheelStandard,
)
from assets.sheets import register
from assets.sheets.columns import column
from assets.workbook.columns import UNKNOWN, Kind
from tests import builders, workbooks
from tests.workbooks import load, reason, refusals, totals

pytestmark = pytest.mark.django_db

FITTINGS = ["Kind of part", "Part", "Points", "Place", "Fitted on"]


def points_with_places(number: str = "12") -> Points:
    """Three places, at 200, 1400 and 2600 mm; the heel is at 6858 mm."""
    points = builders.make_points(number)
    for order in range(3):
        builders.make_position(points, order)
    return points


# Columns from fields


def test_a_column_takes_heading_unit_kind_and_choices_from_its_field():
    pitch = column(Stretcher, "thread_pitch_mm")
    assert (pitch.heading, pitch.unit, pitch.kind) == (
        "Thread pitch, length per turn", "mm", Kind.NUMBER,
    )  # fmt: skip
    colour = column(Stretcher, "generation")
    assert (colour.kind, colour.blank) == (Kind.CHOICE, UNKNOWN)
    assert ("red", "red") in colour.choices
    assert column(Stretcher, "kicker").blank is None
    assert column(Stretcher, "quarantined").blank is False
    assert column(RailSection, "source").must_be_filled
    assert column(Points, "inspection_interval_days").help == (
        "Leave blank for the railway's usual interval."
    )


def test_every_field_that_people_enter_has_a_column():
    """Nothing of the register is left behind: only keys and what the program works out is, and
    the account that confirmed a figure, since a register elsewhere has its own."""
    own = {"id", "number_order", "account"}
    for bound in register.SHEETS:
        fields = {f.name for f in bound.model._meta.concrete_fields} - own
        if bound is register.FITTINGS:
            fields -= {"stretcher", "machine", "lost_motion_fitting", "position"}
        assert fields <= set(bound.sheet.by_field), bound.name


# A register from nothing


def test_a_small_register_is_loaded_from_sheets_that_a_person_filled_in():
    plan = load(
        {
            "Locations": [["Code", "Name"], ["SKB", "Skelbeck"]],
            "Points": [
                ["Location", "Number", "Layout", "Service state", "Toe to heel, as measured (mm)"],
                ["skb", 12, "turnout", "in use", "22 ft 6 in"],
            ],
            "Places": [
                ["Points", "Place", "Role", "Distance from the toe"],
                ["SKB 12", 0, "lock", 200],
                ["SKB 12", 1, "drive", "4 ft"],
            ],
            "Stretchers": [
                ["Tag", "Colour generation", "Kicker", "Length over backs, least (mm)"],
                [" ST-014 ", "Yellow", "y", "45 1/4 in"],
            ],
            "Fittings": [
                [*FITTINGS, "Found fitted"],
                ["stretcher", "st-014", "SKB 12", 1, "3 May 2021", "yes"],
            ],
        }
    )
    assert refusals(plan) == []
    assert totals(plan) == (6, 0, 0, 0, 0)
    rod = Stretcher.objects.get()
    assert (rod.tag, rod.generation, rod.kicker) == ("ST-014", "yellow", True)
    assert rod.length_min_mm == pytest.approx(45.25 * 25.4)
    assert Points.objects.get().heel_mm == pytest.approx(6858)
    assert Points.objects.get().number_order == 12
    assert Position.objects.get(order=1).distance_mm == pytest.approx(1219.2)
    fitting = Fitting.objects.get()
    assert (str(fitting), fitting.fitted_on) == (
        "ST-014 at SKB 12, first stretcher",
        date(2021, 5, 3),
    )
    assert Location.history.count() == Stretcher.history.count() == Fitting.history.count() == 1


def test_what_is_not_said_stays_unknown():
    load({"Stretchers": [["Tag", "Kicker", "Condition"], ["ST-1", None, "?"]]})
    rod = Stretcher.objects.get()
    assert (rod.kicker, rod.condition, rod.generation) == (None, "unknown", "unknown")


def test_nothing_is_written_where_anything_is_refused():
    plan = load(
        {"Stretchers": [["Tag", "Thread pitch, length per turn"], ["ST-1", 4], ["ST-2", 400]]}
    )
    assert refusals(plan) == [
        ("Stretchers", 3, "Thread pitch, length per turn (mm)",
         "Thread pitch must be between 0 and 20 mm.")
    ]  # fmt: skip
    assert not Stretcher.objects.exists()
    assert not Stretcher.history.exists()


def test_looking_at_the_plan_writes_nothing():
    plan = load({"Stretchers": [["Tag"], ["ST-1"]]}, keep=False)
    assert totals(plan) == (1, 0, 0, 0, 0)
    assert not Stretcher.objects.exists()


def test_who_loaded_it_stands_in_the_history(technician):
    builders.make_stretcher("ST-1", origin="")
    load({"Stretchers": [["Tag", "Origin"], ["ST-1", "the yard"], ["ST-2", ""]]}, technician)
    [changed] = Stretcher.history.filter(history_type="~")
    assert (changed.tag, changed.origin, changed.history_user) == ("ST-1", "the yard", technician)
    assert Stretcher.history.filter(tag="ST-2").get().history_user == technician


# What is refused


def test_a_tag_that_the_register_lacks_is_refused_with_the_row():
    points_with_places()
    plan = load({"Fittings": [FITTINGS, ["stretcher", "ST-404", "SKB 12", 1, "3 May 2021"]]})
    assert refusals(plan) == [
        ("Fittings", 2, "Part", 'There is no stretcher "ST-404" in the register.')
    ]


def test_points_that_the_register_lacks_are_refused_with_what_may_have_been_meant():
    points_with_places("12")
    builders.make_stretcher("ST-1")
    plan = load({"Fittings": [FITTINGS, ["stretcher", "ST-1", "SKB 13", 1, "3 May 2021"]]})
    assert reason(plan) == (
        'The sheet Points has no "SKB 13", and neither has the register. Did you mean SKB 12?'
    )


def test_a_place_that_the_points_lack_is_refused():
    points_with_places()
    builders.make_stretcher("ST-1")
    plan = load({"Fittings": [FITTINGS, ["stretcher", "ST-1", "SKB 12", 5, "3 May 2021"]]})
    assert refusals(plan) == [
        ("Fittings", 2, "Place", "SKB 12 has no place 5 in the sheet Places.")
    ]


def test_a_part_fitted_twice_at_the_same_time_is_refused():
    points_with_places()
    builders.make_stretcher("ST-1")
    plan = load(
        {
            "Fittings": [
                FITTINGS,
                ["stretcher", "ST-1", "SKB 12", 1, "3 May 2021"],
                ["stretcher", "ST-1", "SKB 12", 2, "4 May 2021"],
            ]
        }
    )
    assert totals(plan) == (1, 0, 0, 1, 0)
    assert "a part is in one place at a time" in plan.refusals[0].reason
    assert plan.refusals[0].row in (2, 3)
    assert not Fitting.objects.exists()


def test_two_rods_in_one_place_are_refused():
    points = points_with_places()
    builders.make_fitting(builders.make_stretcher("ST-1"), points.positions.get(order=1))
    builders.make_stretcher("ST-2")
    plan = load({"Fittings": [FITTINGS, ["stretcher", "ST-2", "SKB 12", 1, "3 May 2025"]]})
    assert "a position holds one part of a kind at a time" in plan.refusals[0].reason


def test_a_part_taken_out_and_fitted_elsewhere_goes_in_whatever_the_order_of_the_rows():
    points = points_with_places()
    builders.make_fitting(builders.make_stretcher("ST-1"), points.positions.get(order=1))
    headings = [*FITTINGS, "Taken out on", "Taken out by", "Taken out reason"]
    plan = load(
        {
            "Fittings": [
                headings,
                ["stretcher", "ST-1", "SKB 12", 2, "5 May 2025", None, None, None],
                [
                    "stretcher",
                    "ST-1",
                    "SKB 12",
                    1,
                    "1 Mar 2025",
                    "5 May 2025",
                    "Lineman A",
                    "moved",
                ],
            ]
        }
    )
    assert refusals(plan) == []
    assert totals(plan) == (1, 1, 0, 0, 0)
    assert Stretcher.objects.get().current_fitting().position.order == 2


def test_a_fitting_that_is_over_is_not_rewritten():
    points = points_with_places()
    builders.make_fitting(
        builders.make_stretcher("ST-1"),
        points.positions.get(order=1),
        taken_out_on=date(2025, 4, 1),
        taken_out_reason="worn",
    )
    file = workbooks.edited(workbooks.saved(), {("Fittings", "stretcher", "Taken out on"): None})
    assert reason(load(file)).startswith("What is recorded of a fitting stays.")
    file = workbooks.edited(workbooks.saved(), {("Fittings", "stretcher", "Fitted by"): "Ganger B"})
    assert refusals(load(file))[0][2] == "Fitted by"


def test_a_day_to_come_is_refused():
    points_with_places()
    builders.make_stretcher("ST-1")
    tomorrow = timezone.localdate() + timedelta(days=1)
    plan = load({"Fittings": [FITTINGS, ["stretcher", "ST-1", "SKB 12", 1, tomorrow]]})
    assert refusals(plan)[0][2] == "Fitted on"
    assert "is in the future" in reason(plan)


def test_a_day_that_never_was_is_refused():
    points_with_places()
    builders.make_stretcher("ST-1")
    plan = load({"Fittings": [FITTINGS, ["stretcher", "ST-1", "SKB 12", 1, "31 June 2021"]]})
    assert reason(plan) == "There is no such day or time as 31 June 2021."


def test_a_place_beyond_the_heel_is_refused():
    builders.make_points("12")
    plan = load(
        {
            "Places": [
                ["Points", "Place", "Role", "Distance from the toe (mm)"],
                ["SKB 12", 1, "drive", 1400],
                ["SKB 12", 2, "back", 7000],
            ]
        }
    )
    assert refusals(plan) == [
        ("Places", 3, "Distance from the toe (mm)",
         "7000 mm is beyond the heel, which is 6858 mm from the toe.")
    ]  # fmt: skip


def test_places_out_of_order_are_refused():
    points_with_places()
    file = workbooks.extended(
        workbooks.saved(),
        "Places",
        {"Points": "SKB 12", "Place": 3, "Role": "back", "Distance from the toe (mm)": 2000},
    )
    assert "Positions count from the toe: second stretcher is at 2600 mm" in reason(load(file))


def test_places_moved_along_together_go_in_though_each_alone_could_not():
    points_with_places()
    plan = load(
        {
            "Places": [
                ["Points", "Place", "Distance from the toe (mm)"],
                ["SKB 12", 1, 2700],
                ["SKB 12", 2, 4000],
            ]
        }
    )
    assert refusals(plan) == []
    assert list(Position.objects.order_by("order").values_list("distance_mm", flat=True)) == [
        200, 2700, 4000,
    ]  # fmt: skip


def test_the_wheel_standard_in_force_is_changed_in_one_go():
    common = {"flange_mm": 22, "source": "made for a test"}
    WheelStandard.objects.create(name="A", back_to_back_mm=1357, in_force=True, **common)
    WheelStandard.objects.create(name="B", back_to_back_mm=1358, **common)
    plan = load({"Wheel standards": [["Name", "In force"], ["B", "yes"], ["A", "no"]]})
    assert totals(plan) == (0, 2, 0, 0, 0)
    assert WheelStandard.objects.get(in_force=True).name == "B"


def test_a_number_given_twice_is_refused_with_both_rows():
    builders.make_location()
    plan = load(
        {
            "Points": [
                ["Location", "Number", "Service state"],
                ["SKB", "12", "in use"],
                ["SKB", " 12", "in use"],
            ]
        }
    )
    assert reason(plan) == "Row 2 is SKB 12 already. Keep one of the two rows."


def test_a_row_that_names_a_refused_row_is_refused_too():
    plan = load(
        {
            "Locations": [["Code", "Name"], ["SKB", "x" * 200]],
            "Points": [["Location", "Number", "Service state"], ["SKB", "12", "in use"]],
        }
    )
    assert [(sheet, column) for sheet, _, column, _ in refusals(plan)] == [
        ("Locations", "Name"),
        ("Points", "Location"),
    ]


def test_a_text_that_is_too_long_is_refused_beside_its_cell():
    plan = load({"Stretchers": [["Tag", "Origin"], ["ST-1", "x" * 121]]})
    assert refusals(plan)[0][2] == "Origin"
    assert "120" in reason(plan)


def test_a_figure_beyond_its_range_is_refused_by_the_name_of_its_column():
    plan = load(
        {"Stretchers": [["Tag", "Length over backs, most (mm)"], ["ST-1", -5], ["ST-2", 9000.5]]}
    )
    assert [(r.column, r.value) for r in plan.refusals] == [
        ("Length over backs, most (mm)", "-5"),
        ("Length over backs, most (mm)", "9000.5"),
    ]
    assert {r.reason for r in plan.refusals} == {
        "Length over backs, most must be between 0 and 2000 mm."
    }


def test_contradictions_are_refused_in_the_words_of_the_screens():
    plan = load(
        {
            "Stretchers": [
                ["Tag", "Length over backs, least", "Length over backs, most", "Insulation side",
                 "Insulation kind"],
                ["ST-1", 1300, 1200, None, None],
                ["ST-2", None, None, "not insulated", "rubber bush"],
                ["ST/3", None, None, None, None],
            ]
        }
    )  # fmt: skip
    assert [sentence for *_, sentence in refusals(plan)] == [
        "The shortest length must not be above the longest.",
        "A stretcher that is not insulated has no kind of insulation.",
        "Give a tag, without a slash: it is part of the page's address.",
    ]


def test_many_bad_rows_are_each_named_and_a_hopeless_sheet_is_turned_away():
    from assets.workbook.refusals import WorkbookRefused

    heading = ["Tag", "Thread pitch, length per turn"]
    rows = [[f"ST-{n}", 400 if n % 10 == 0 else 4] for n in range(300)]
    plan = load({"Stretchers": [heading, *rows]})
    assert totals(plan) == (270, 0, 0, 30, 0)
    assert [row for _, row, _, _ in refusals(plan)] == list(range(2, 302, 10))
    rows = [[f"ST-{n}", 400] for n in range(600)]
    with pytest.raises(WorkbookRefused, match="More than 500 rows of the sheet Stretchers"):
        load({"Stretchers": [heading, *rows]})
    assert not Stretcher.objects.exists()


def test_loading_never_deletes():
    builders.make_stretcher("ST-1")
    load({"Stretchers": [["Tag"], ["ST-2"]]})
    assert Stretcher.objects.count() == 2


# Fitted by a workbook


SCRAP = "ST-1 does not suit SKB 12, first stretcher. Condition: "
ADVICE = (
    'If it is fitted all the same, give the reason in "Why it was fitted"; if it was only found '
    'there, mark "Found fitted".'
)


def fit_scrap(*headings, **given):
    points_with_places()
    builders.make_stretcher("ST-1", condition="scrap")
    row = ["stretcher", "ST-1", "SKB 12", 1, "3 May 2021", *given.values()]
    return load({"Fittings": [[*FITTINGS, *headings], row]})


def test_a_part_that_does_not_suit_is_refused_with_the_rule_and_the_way_out():
    plan = fit_scrap()
    assert reason(plan).startswith(SCRAP)
    assert reason(plan).endswith(ADVICE)
    assert plan.refusals[0].column == "Part"
    assert not Fitting.objects.exists()


def test_with_the_reason_it_is_fitted_and_marked():
    plan = fit_scrap("Why it was fitted", why="a trial, points secured")
    assert refusals(plan) == []
    fitted = Fitting.objects.against_the_verdict().get()
    assert fitted.against.startswith("Condition: ")
    [record] = fitted.history.all()
    assert (record.outcome, record.against) == ("does_not_suit", fitted.against)


def test_found_fitted_it_needs_no_reason_and_is_marked_all_the_same():
    assert refusals(fit_scrap("Found fitted", found="yes")) == []
    assert Fitting.objects.against_the_verdict().exists()


def test_what_was_taken_out_again_is_not_judged():
    plan = fit_scrap("Taken out on", "Taken out reason", on="5 May 2021", why="scrap")
    assert refusals(plan) == []
    assert Fitting.objects.get().outcome == ""


def test_the_result_is_read_in_a_workbook_and_never_written_by_it():
    fit_scrap("Found fitted", found="yes")
    marked = ("Fittings", "stretcher", "Result when it was fitted")
    file = workbooks.edited(workbooks.saved(), {marked: "suits"})
    assert totals(load(file))[:2] == (0, 0)
    assert Fitting.objects.get().outcome == "does_not_suit"


def test_two_fittings_of_a_day_have_their_order_in_the_workbook_and_come_back():
    place = points_with_places().positions.get(order=1)
    rod, other = builders.make_stretcher("ST-1"), builders.make_stretcher("ST-2")
    for one in (rod, other, rod):
        fitting.fit(one, place, on=date(2021, 5, 3), by="Lineman A", replacing="tried")
    file = workbooks.saved()
    assert totals(load(file))[:2] == (0, 0)
    before = list(Fitting.objects.values_list("stretcher__tag", "order_on_day", "taken_out_on"))
    Fitting.objects.all().delete()
    Fitting.history.all().delete()
    assert refusals(load(file)) == []
    assert before == list(
        Fitting.objects.values_list("stretcher__tag", "order_on_day", "taken_out_on")
    )


def test_two_fittings_of_a_day_without_an_order_are_refused():
    points_with_places()
    builders.make_stretcher("ST-1")
    headings = [*FITTINGS, "Taken out on", "Taken out reason"]
    row = ["stretcher", "ST-1", "SKB 12", 1, "3 May 2021", "3 May 2021", "tried"]
    plan = load({"Fittings": [headings, row, [*row[:3], 2, *row[4:]]]})
    assert "give the order that day" in plan.refusals[0].reason


def test_a_large_workbook_is_judged_in_few_queries(django_assert_max_num_queries):
    headings = [*FITTINGS, "Found fitted"]
    rows = []
    for number in range(20):
        points = points_with_places(str(number))
        for place in range(3):
            rod = builders.make_stretcher()
            rows.append(["stretcher", rod.tag, points.key, place, "3 May 2021", "yes"])
    file = {"Fittings": [headings, *rows]}
    with django_assert_max_num_queries(60):
        assert refusals(load(file)) == []
    assert not Fitting.objects.filter(outcome="").exists()
