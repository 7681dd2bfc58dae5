"""Photographs: what is taken in, what is refused, what is left of them, and who sees them."""

import zipfile
from datetime import UTC, datetime
from io import BytesIO

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.db import DatabaseError, transaction
from django.urls import reverse
from PIL import Image

from assets.models import PartPhoto, Photo
from assets.photographs import keeping
from assets.photographs.keeping import prepare
from config.operations import uploads
from tests.builders import make_machine, make_stretcher
from tests.pictures import GPS, make_picture, upload

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def folder(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "photographs"
    return settings.MEDIA_ROOT


def decoded(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


def test_where_a_photograph_was_taken_is_not_kept():
    sent = make_picture(with_place=True)
    assert decoded(sent).getexif().get_ifd(GPS)
    kept = prepare(upload(sent))
    for data in (kept.picture, kept.thumbnail):
        assert not decoded(data).getexif()
        assert b"Exif" not in data


def test_a_photograph_taken_on_its_side_is_turned_upright():
    kept = prepare(upload(make_picture(400, 300, orientation=6)))
    assert (kept.width, kept.height) == (300, 400)


def test_when_it_was_taken_is_read_before_the_notes_go():
    kept = prepare(upload(make_picture(taken="2026:05:04 13:30:00")))
    assert kept.taken_at == datetime(2026, 5, 4, 12, 30, tzinfo=UTC)  # British Summer Time


@pytest.mark.parametrize("taken", ["2099:01:01 00:00:00", "0000:00:00 00:00:00", "yesterday"])
def test_an_absurd_clock_of_the_camera_is_not_believed(taken):
    assert prepare(upload(make_picture(taken=taken))).taken_at is None


@pytest.mark.parametrize(
    ("form", "mode", "colour"),
    [
        ("JPEG", "RGB", "red"),
        ("JPEG", "CMYK", (0, 255, 255, 0)),
        ("JPEG", "L", 128),
        ("PNG", "RGBA", (255, 0, 0, 128)),
        ("PNG", "P", 3),
        ("WEBP", "RGB", "red"),
    ],
)
def test_every_kind_is_kept_as_a_plain_jpeg(form, mode, colour):
    kept = prepare(upload(make_picture(form=form, mode=mode, colour=colour)))
    assert decoded(kept.picture).format == "JPEG"
    assert decoded(kept.picture).mode == "RGB"
    assert max(decoded(kept.thumbnail).size) == 320


def test_a_large_photograph_is_kept_smaller():
    kept = prepare(upload(make_picture(6000, 4000)))
    assert (kept.width, kept.height) == (2560, 1707)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"not a picture",
        make_picture()[:200],
        make_picture(form="GIF"),
        b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
    ],
)
def test_what_is_not_a_photograph_is_refused_whatever_its_name(data):
    with pytest.raises(ValidationError, match="not a picture that can be read"):
        prepare(upload(data))


def test_a_zip_named_jpg_is_refused():
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("a.jpg", make_picture())
    with pytest.raises(ValidationError, match="not a picture"):
        prepare(upload(packed.getvalue()))


class Unread(BytesIO):
    """Fails the test when anybody reads it."""

    def read(self, *args):
        raise AssertionError("it was read")


def test_a_two_gigabyte_file_is_refused_without_reading_a_byte():
    huge = UploadedFile(Unread(), "rod.jpg", "image/jpeg", size=2 * 1024**3)
    with pytest.raises(ValidationError, match="2048 MB: send a photograph of at most 12 MB"):
        prepare(huge)


def test_a_request_of_two_gigabytes_is_refused_before_its_body_is_read(as_technician):
    make_stretcher("ST-014")
    answer = as_technician.generic(
        "POST",
        "/parts/stretcher/ST-014/photograph/",
        content_type="multipart/form-data; boundary=x",
        CONTENT_LENGTH=str(2 * 1024**3),
        **{"wsgi.input": Unread()},
    )
    assert answer.status_code == 413
    assert "80 MB" in answer.content.decode()
    assert uploads.MOST_BYTES == 80 * 1024**2


def png_that_claims(width: int, height: int) -> bytes:
    """A few bytes that unpack to a picture of any size."""
    import struct
    import zlib

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 100))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("size", [(8000, 7000), (60_000, 60_000)])
def test_a_small_file_that_unpacks_to_a_huge_picture_is_refused(size):
    with pytest.raises(ValidationError, match="over 50 megapixels"):
        prepare(upload(png_that_claims(*size)))


def add(client, tag="ST-014", data=None, **fields):
    return client.post(
        f"/parts/stretcher/{tag}/photograph/",
        {"photographs": [upload(data)], "caption": "crack at the gooseneck", **fields},
    )


def test_a_part_shows_its_photographs_with_who_and_what(as_technician):
    make_stretcher("ST-014")
    assert add(as_technician).status_code == 302
    photo = Photo.objects.get()
    page = as_technician.get("/parts/stretcher/ST-014/").content.decode()
    assert photo.thumbnail_url in page
    assert "crack at the gooseneck" in page
    assert "Lineman A" in page
    assert photo.sha256 == keeping.prepare(upload()).sha256


def test_the_senders_file_name_is_not_kept(as_technician, folder):
    make_stretcher("ST-014")
    add(as_technician)
    photo = Photo.objects.get()
    names = sorted(file.name for file in folder.iterdir())
    assert names == [f"{photo.key}-small.jpg", f"{photo.key}.jpg"]


def test_a_photograph_that_is_refused_leaves_nothing_behind(as_technician, folder):
    make_stretcher("ST-014")
    answer = add(as_technician, data=b"not a picture")
    assert answer.status_code == 422
    assert "not a picture that can be read" in answer.content.decode()
    assert not Photo.objects.exists()
    assert not folder.exists() or not list(folder.iterdir())


def keep_and_fail(technician, folder):
    with keeping.files_go_with_the_rows() as kept:
        kept.append(keeping.keep(prepare(upload()), by="Lineman A", user=technician))
        assert len(list(folder.iterdir())) == 2
        raise RuntimeError


def test_files_go_where_the_transaction_fails(technician, folder):
    with pytest.raises(RuntimeError):
        keep_and_fail(technician, folder)
    assert not list(folder.iterdir())
    assert not Photo.objects.exists()


def keep_one(part=None) -> Photo:
    photo = keeping.keep(prepare(upload()), by="Lineman A", user=None, caption="a crack")
    field = "machine" if part and part._meta.model_name == "machine" else "stretcher"
    PartPhoto.objects.create(photo=photo, **{field: part or make_stretcher()})
    return photo


def test_a_photograph_is_shown_to_whoever_is_logged_in_and_to_nobody_else(client, viewer):
    photo = keep_one(make_machine())
    for address in (photo.get_absolute_url(), photo.thumbnail_url):
        refused = client.get(address)
        assert refused.status_code == 302
        assert refused.url.startswith("/login/")
    client.force_login(viewer)
    shown = client.get(photo.get_absolute_url())
    assert shown["Content-Type"] == "image/jpeg"
    assert shown["X-Content-Type-Options"] == "nosniff"
    assert shown["Cache-Control"] == "private, no-cache"
    assert "default-src 'none'" in shown["Content-Security-Policy"]
    assert decoded(b"".join(shown.streaming_content)).size == (400, 300)
    again = client.get(photo.get_absolute_url(), HTTP_IF_NONE_MATCH=shown["ETag"])
    assert again.status_code == 304


def test_there_is_no_public_address_of_the_folder(client, viewer):
    photo = keep_one()
    client.force_login(viewer)
    for address in (f"/{photo.picture.name}", f"/media/{photo.picture.name}"):
        assert client.get(address).status_code == 404


def test_only_the_responsible_engineer_takes_a_photograph_down(client, technician, engineer):
    photo = keep_one()
    address = reverse("assets:photo_take_down", args=[photo.key])
    client.force_login(technician)
    assert client.post(address, {"reason": "shows a person"}).status_code == 403
    client.force_login(engineer)
    assert client.post(address, {"reason": " "}).status_code == 422
    assert client.get(photo.get_absolute_url()).status_code == 200


def test_a_photograph_taken_down_leaves_who_and_why(
    as_engineer, django_capture_on_commit_callbacks
):
    photo = keep_one(make_stretcher("ST-014"))
    with django_capture_on_commit_callbacks(execute=True):
        as_engineer.post(
            reverse("assets:photo_take_down", args=[photo.key]), {"reason": "shows a person"}
        )
    assert as_engineer.get(photo.get_absolute_url()).status_code == 404
    assert not any(file.exists() for file in photo.files)
    page = as_engineer.get("/parts/stretcher/ST-014/").content.decode()
    assert "taken down by Engineer C: shows a person" in page
    assert photo.thumbnail_url not in page


@pytest.mark.parametrize("change", [{"caption": "no crack"}, {"by": "somebody else"}])
def test_a_photograph_is_never_changed(change):
    photo = keep_one()
    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
        Photo.objects.filter(pk=photo.pk).update(**change)
    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
        PartPhoto.objects.all()._raw_delete("default")


def test_a_viewer_adds_no_photographs(client, viewer):
    make_stretcher("ST-014")
    client.force_login(viewer)
    assert add(client).status_code == 403


def test_seven_photographs_at_once_are_refused(as_technician):
    make_stretcher("ST-014")
    answer = add(as_technician, photographs=[upload() for _ in range(7)])
    assert "at most 6 photographs at once" in answer.content.decode()
    assert not Photo.objects.exists()
