"""The developers' tools: the invented railway and the drawn picture of the README."""

from pathlib import Path

import pytest
from django.conf import settings

from assets.models import Fitting, Points
from defects.models import Defect
from inspections.models import Reading
from tests.tools import invented_railway
from tests.tools.open_switches import open_switches


@pytest.mark.django_db
def test_an_invented_railway_has_as_many_sets_of_points_as_asked_for_and_is_grown_only_once():
    rows = invented_railway.grow(3, lambda line: None)
    assert rows["points"] == Points.objects.count() == 3
    assert Fitting.objects.count() == 3 * len(invented_railway.PLACES)
    a_visit = 2 * (1 + len(invented_railway.PLACES))  # the opening and each place, on either lie
    assert Reading.objects.count() == 3 * invented_railway.VISITS * a_visit
    assert Defect.objects.count() == 3 * invented_railway.DEFECTS
    with pytest.raises(invented_railway.NotEmptyError):
        invented_railway.grow(3, lambda line: None)


def test_the_readme_shows_the_open_switches_as_they_are_now_worked_out():
    drawn = (Path(settings.BASE_DIR) / "docs" / "open_switches.svg").read_text(encoding="utf-8")
    assert open_switches() == drawn
