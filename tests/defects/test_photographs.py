"""Photographs of a defect."""

import pytest

from assets.photographs.keeping import keep, prepare
from defects.models import DefectPhoto
from inspections.models import ExaminationPhoto
from tests.builders import make_defect, make_examination, make_inspection, make_points
from tests.pictures import make_picture, upload

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def folder(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "photographs"


def test_either_department_adds_photographs_to_a_defect(as_ganger):
    defect = make_defect()
    pictures = [upload(make_picture(colour=colour)) for colour in ("red", "blue")]
    answer = as_ganger.post(
        f"/defects/{defect.number}/photograph/",
        {"photographs": pictures, "caption": "ballast dug out"},
    )
    assert answer.url == f"/defects/{defect.number}/#photographs"
    page = as_ganger.get(f"/defects/{defect.number}/").content.decode()
    for link in DefectPhoto.objects.all():
        assert link.photo.thumbnail_url in page
    assert page.count("ballast dug out") == 4  # the words of the picture and the line below, twice
    assert "Ganger B" in page


def test_photographs_taken_with_the_examination_are_shown_and_stay_the_examinations(as_ganger):
    look = make_examination(make_inspection(make_points("12")), item="ballast")
    photo = keep(prepare(upload()), by="Lineman A", user=None, caption="the crib full of stone")
    ExaminationPhoto.objects.create(photo=photo, examination=look)
    defect = make_defect(examination=look)
    page = as_ganger.get(f"/defects/{defect.number}/").content.decode()
    assert photo.thumbnail_url in page
    assert "Taken when it was examined" in page
    assert "No photograph yet" not in page
    assert not DefectPhoto.objects.exists()


def test_a_viewer_sees_the_photographs_and_adds_none(client, viewer):
    defect = make_defect()
    client.force_login(viewer)
    assert client.get(f"/defects/{defect.number}/photograph/").status_code == 403
    assert "Add a photograph" not in client.get(f"/defects/{defect.number}/").content.decode()
