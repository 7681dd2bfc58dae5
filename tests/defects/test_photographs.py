"""Photographs of a defect."""

import pytest

from defects.models import DefectPhoto
from tests.builders import make_defect
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


def test_a_viewer_sees_the_photographs_and_adds_none(client, viewer):
    defect = make_defect()
    client.force_login(viewer)
    assert client.get(f"/defects/{defect.number}/photograph/").status_code == 403
    assert "Add a photograph" not in client.get(f"/defects/{defect.number}/").content.decode()
