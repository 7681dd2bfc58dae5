"""Pictures made for tests, with and without what a camera writes into them."""

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

GPS, ORIENTATION, EXIF, TAKEN = 0x8825, 0x0112, 0x8769, 36867


def make_picture(
    width: int = 400,
    height: int = 300,
    *,
    form: str = "JPEG",
    mode: str = "RGB",
    colour="red",
    with_place: bool = False,
    orientation: int | None = None,
    taken: str | None = None,
) -> bytes:
    """A plain picture. ``with_place`` writes where it was taken, as a phone does."""
    image = Image.new(mode, (width, height), colour)
    notes = Image.Exif()
    if with_place:
        notes[GPS] = {1: "N", 2: (54.0, 12.0, 33.0), 3: "W", 4: (2.0, 4.0, 5.0)}
    if orientation:
        notes[ORIENTATION] = orientation
    if taken:
        notes[EXIF] = {TAKEN: taken}
    written = BytesIO()
    image.save(written, form, exif=notes)
    return written.getvalue()


def upload(data: bytes | None = None, name: str = "rod.jpg", kind: str = "image/jpeg"):
    return SimpleUploadedFile(name, make_picture() if data is None else data, kind)
