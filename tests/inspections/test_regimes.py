"""Lock and detection tests by the railway's regime: kept, chosen, asked and judged."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse

from config import reference
from inspections.catalogue.trials import Trial, tells
from inspections.models import Inspection, Limit, Reading, Regime
from inspections.recording.corrections import correct_reading
from inspections.recording.entries import ReadingEntry
from inspections.recording.regimes import put_in_force
from inspections.recording.visit import record_inspection
from tests import builders
from tests.builders import noon

pytestmark = pytest.mark.django_db
TOE, BOLT = "at the toe", "in line with the first slide-chair bolt"
LEFT = "left_closed"


@pytest.fixture
def regime() -> Regime:
    """IRSE News, February 2022, "Back to basics: Points, part one"; read as an excerpt (E)."""
    reference.load()
    chosen = Regime.objects.get(name="lock 1.5 and 3.5 mm, detection 3.5 and 5 mm")
    put_in_force(chosen, date(2026, 1, 1))
    return chosen


@pytest.fixture
def points():
    return builders.make_rigged_points("12")


def tried(points, quantity: str, value: float, tried=None) -> Reading:
    """One test, recorded by a visit of its own."""
    lock = points.positions.get(order=0) if quantity.startswith("lock") else None
    entry = ReadingEntry(quantity, value, lock, lie=LEFT, **({"tried": tried} if tried else {}))
    visit = record_inspection(
        points=points,
        at=noon(2026, 5, 4),
        by="Lineman A",
        user=builders.make_user("technician"),
        reason="routine",
        readings=[entry],
        examinations=(),
    )
    return visit.readings.get()


@pytest.mark.parametrize(
    ("asked", "gauge", "held", "says"),
    [
        (1.5, 1.5, True, True),
        (1.5, 1.5, False, True),
        (1.5, 2.5, True, True),  # what locks with a thicker gauge locks with a thinner one
        (1.5, 2.5, False, False),  # between must and must not nothing is said
        (1.5, 1.0, True, False),
        (1.5, 1.0, False, True),
        (3.5, 2.5, True, False),
        (3.5, 2.5, False, True),
        (3.5, 5.0, True, True),
        (3.5, 5.0, False, False),
    ],
)
def test_what_a_gauge_of_another_thickness_says(asked, gauge, held, says):
    assert tells(Trial(asked, TOE), Trial(gauge, TOE), held) is says


def test_a_gauge_put_elsewhere_says_nothing_and_one_that_nobody_named_is_as_asked():
    assert not tells(Trial(3.5, BOLT), Trial(3.5, TOE), held=True)
    assert tells(Trial(3.5, BOLT), Trial(None), held=True)
    assert tells(None, Trial(2.0, TOE), held=True)


@pytest.mark.parametrize(
    ("quantity", "value", "gauge", "verdict"),
    [
        ("lock_go", 1, Trial(1.5, TOE), "within"),
        ("lock_go", 0, Trial(1.5, TOE), "intervention"),
        ("lock_go", 0, Trial(2.5, TOE), "no_limit"),
        ("lock_no_go", 0, Trial(3.5, BOLT), "within"),
        ("lock_no_go", 1, Trial(3.5, BOLT), "intervention"),
        ("lock_no_go", 1, Trial(2.5, BOLT), "no_limit"),
        ("lock_no_go", 1, Trial(3.5, TOE), "no_limit"),
        ("detect_go", 0, Trial(3.5, TOE), "intervention"),
        ("detect_go", 0, Trial(4.0, TOE), "no_limit"),
        ("detect_no_go", 1, Trial(5, TOE), "intervention"),
        ("detect_no_go", 1, Trial(4.0, TOE), "no_limit"),
        ("detect_no_go", 0, Trial(5, TOE), "within"),
    ],
)
def test_a_test_is_judged_by_what_was_really_tried(points, regime, quantity, value, gauge, verdict):
    """The lock must hold 1.5 mm and must not 3.5; detection 3.5 and 5 mm (IRSE News, E)."""
    reading = tried(points, quantity, value, gauge)
    assert reading.verdict == verdict
    assert (reading.thickness_mm, reading.tried_at) == (gauge.thickness_mm, gauge.at)


def test_a_test_recorded_without_its_gauge_keeps_its_meaning(points, regime):
    assert tried(points, "lock_go", 0).verdict == "intervention"


def test_a_correction_keeps_the_gauge_that_was_tried(points, regime):
    mistaken = tried(points, "lock_go", 0, Trial(2.5, TOE))
    anew = correct_reading(mistaken, value=1, by="Lineman A", reason="Written on the wrong line.")
    assert (anew.thickness_mm, anew.tried_at, anew.verdict) == (2.5, TOE, "within")


def test_a_gauge_belongs_to_a_test_alone(points):
    entry = ReadingEntry("switch_opening", 108, lie=LEFT, tried=Trial(1.5, TOE), name="box")
    with pytest.raises(ValidationError, match="is not tried with a gauge"):
        record_inspection(
            points=points,
            at=noon(2026, 5, 4),
            by="Lineman A",
            user=None,
            reason="routine",
            readings=[entry],
            examinations=(),
        )


def test_the_examples_name_their_sources_and_none_is_in_force_or_confirmed():
    reference.load()
    examples = Regime.objects.all()
    assert not any(one.in_force or one.confirmed for one in examples)
    told = {one.source.split(",")[0].split(" (")[0]: one.trials for one in examples}
    gauges = {
        source: {code.value: trial.thickness_mm for code, trial in trials.items()}
        for source, trials in told.items()
    }
    # New South Wales TMG E1583 (T), Indian signal manual (T), 49 CFR 236.327 and 236.342 (T).
    assert gauges["New South Wales TMG E1583 V1.0"] == {"lock_go": 1.6, "lock_no_go": 3.2}
    assert gauges["Indian signal manual 12.14.5 and 19.3.6"] == {
        "lock_no_go": 5,
        "detect_no_go": 5,
    }
    assert gauges["49 CFR 236.327"] == {"lock_no_go": 9.525, "detect_no_go": 6.35}


def test_one_regime_is_in_force_and_its_tests_are_never_without_a_limit():
    first = Regime.objects.create(name="a", lock_go_mm=1.5, lock_go_at=TOE, source="a test")
    second = Regime.objects.create(name="b", detect_no_go_mm=5, detect_no_go_at=TOE, source="b")
    put_in_force(first, date(2026, 1, 1))
    [added] = put_in_force(second, date(2026, 2, 1))
    assert (added.quantity, added.maximum, added.confirmed) == ("detect_no_go", 0, False)
    assert put_in_force(second, date(2026, 3, 1)) == []
    assert list(Regime.objects.filter(in_force=True)) == [second]
    assert Limit.objects.get(quantity="lock_go").minimum == 1


@pytest.mark.parametrize(
    "wrong",
    [
        {"lock_go_mm": 3.5, "lock_go_at": TOE, "lock_no_go_mm": 1.5, "lock_no_go_at": TOE},
        {"detect_go_mm": 6, "detect_go_at": TOE, "detect_no_go_mm": 4, "detect_no_go_at": TOE},
        {"lock_go_mm": 1.5},
        {"lock_go_at": TOE},
        {"lock_go_mm": 31, "lock_go_at": TOE},
        {},
    ],
)
def test_the_database_refuses_a_regime_that_cannot_be(wrong):
    with pytest.raises(IntegrityError), transaction.atomic():
        Regime.objects.create(name="wrong", source="a test", **wrong)


def test_the_engineer_chooses_and_confirms_on_a_page(as_engineer):
    reference.load()
    regime = Regime.objects.get(name="lock 1.6 and 3.2 mm")
    page = as_engineer.get(reverse("inspections:regimes")).content.decode()
    assert "example until the responsible engineer confirms it" in page
    assert "New South Wales TMG E1583 V1.0 (2009), 4.3.2, 5.5 to 5.7" in page
    as_engineer.post(reverse("inspections:regime_choose", args=[regime.pk]))
    as_engineer.post(reverse("inspections:regime_confirm", args=[regime.pk]))
    regime.refresh_from_db()
    assert regime.in_force
    assert regime.confirmed_by
    as_engineer.post(reverse("inspections:regime_choose", args=[regime.pk]))
    assert not Regime.objects.filter(in_force=True).exists()


def test_a_regime_that_is_changed_is_to_be_confirmed_again(as_engineer, regime):
    regime.confirmed_by, regime.confirmed_on = "Engineer C", date(2026, 1, 1)
    regime.save()
    address = reverse("inspections:regime_edit", args=[regime.pk])
    given = as_engineer.get(address).context["form"].initial
    given = {name: "" if value is None else value for name, value in given.items()}
    assert as_engineer.post(address, {**given, "lock_go_mm": "2"}).status_code == 302
    regime.refresh_from_db()
    assert (regime.lock_go_mm, regime.confirmed) == (2.0, False)


def test_the_form_says_the_gauge_and_keeps_the_one_really_used(as_technician, points, regime):
    address = reverse("inspections:inspect", args=["SKB", "12"])
    response = as_technician.get(address)
    assert "1.5 mm gauge at the toe · must lock" in response.content.decode()
    form = response.context["form"]
    name = next(n for n, s in form.spots.items() if (s.quantity.code, s.lie) == ("lock_go", LEFT))
    sent = {n: form[n].value() for n in ("at", "by", "reason", "client_id", "rods")}
    sent |= {"at": "2026-05-04T11:30", name: "0", "gauge-lock_go": "2.5", "put-lock_go": TOE}
    as_technician.post(address, {**sent, "rail_temperature_c": "31"})
    reading = Reading.objects.get()
    assert (reading.thickness_mm, reading.tried_at, reading.verdict) == (2.5, TOE, "no_limit")
    assert Inspection.objects.get().rail_temperature_c == 31
    page = as_technician.get(Inspection.objects.get().get_absolute_url()).content.decode()
    assert "2.5 mm gauge at the toe" in page
    assert "Rail temperature: 31 °C" in page
