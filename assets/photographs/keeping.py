"""Taking photographs in: decoded, turned the right way up, and written anew.

Only the picture survives: where and by which camera it was taken does not. What is not a picture,
or is too big to be one, is refused before it is decoded.
"""

import hashlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from assets.models import Photo, Withdrawal
from assets.models.photographs import picture_name, thumbnail_name

MOST_BYTES = 12 * 1024 * 1024
MOST_PIXELS = 50_000_000
LONGEST_SIDE = 2560  # pixels of the picture as it is kept: enough to see a hairline of rust
THUMBNAIL_SIDE = 320
QUALITY = 85
FORMATS = ("JPEG", "PNG", "WEBP")
NOT_A_PICTURE = (
    "This is not a picture that can be read: send a photograph as JPEG, PNG or WebP, as the "
    "camera makes it."
)
TOO_MANY_PIXELS = f"The picture has over {MOST_PIXELS // 1_000_000} megapixels: send a smaller one."
EARLIEST = datetime(1990, 1, 1, tzinfo=UTC)  # no digital camera's clock says less and means it
_TAKEN = 36867  # the tags of Exif: when it was taken, and where those tags stand
_EXIF = 0x8769


@dataclass(frozen=True)
class Picture:
    """A picture ready to be kept: JPEG data without any note of place or camera."""

    picture: bytes
    thumbnail: bytes
    width: int
    height: int
    taken_at: datetime | None = None

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.picture).hexdigest()


def prepare(upload) -> Picture:
    """The picture in an uploaded file (Django's UploadedFile).

    Raises ValidationError with a sentence for the person who sent it. A file over the limit is
    refused by its size, without being read.
    """
    from PIL import Image, ImageOps

    if upload.size > MOST_BYTES:
        raise ValidationError(
            f"The file has {upload.size / 1024 / 1024:.0f} MB: send a photograph of at most "
            f"{MOST_BYTES // 1024 // 1024} MB."
        )
    try:
        upload.seek(0)
        with Image.open(upload, formats=FORMATS) as sent:
            # Known from the first bytes of the file, before anything is decoded.
            if sent.width * sent.height > MOST_PIXELS:
                raise ValidationError(TOO_MANY_PIXELS)
            taken_at = _taken_at(sent)
            sent.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
            upright = ImageOps.exif_transpose(sent)
            upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            plain = _on_white(upright)
    except ValidationError:
        raise
    except Image.DecompressionBombError as bomb:
        raise ValidationError(TOO_MANY_PIXELS) from bomb
    except Exception as unreadable:
        # Whatever a spoilt or forged file makes the decoder say, it is not a picture.
        raise ValidationError(NOT_A_PICTURE) from unreadable
    small = plain.copy()
    small.thumbnail((THUMBNAIL_SIDE, THUMBNAIL_SIDE))
    return Picture(_as_jpeg(plain), _as_jpeg(small), plain.width, plain.height, taken_at)


def prepare_all(uploads: Iterable) -> list[Picture]:
    """Each of several files; ValidationError names the first that is refused."""
    pictures = []
    for upload in uploads:
        try:
            pictures.append(prepare(upload))
        except ValidationError as refused:
            raise ValidationError(f"{upload.name}: {refused.messages[0]}") from refused
    return pictures


def keep(picture: Picture, *, by: str, user, caption: str = "") -> Photo:
    """Writes the files and the row; see ``files_go_with_the_rows`` for a longer transaction."""
    photo = Photo(
        sha256=picture.sha256,
        width=picture.width,
        height=picture.height,
        taken_at=picture.taken_at,
        caption=" ".join(caption.split())[:200],
        by=by,
        added_by=user,
    )
    try:
        photo.picture.save("picture", ContentFile(picture.picture), save=False)
        photo.thumbnail.save("thumbnail", ContentFile(picture.thumbnail), save=False)
        photo.save()
    except BaseException:
        # A full disk leaves half a file under the name that it was to have.
        for name in (picture_name(photo, ""), thumbnail_name(photo, "")):
            photo.picture.storage.delete(name)
        raise
    return photo


@contextmanager
def files_go_with_the_rows() -> Iterator[list[Photo]]:
    """A transaction: the files of the photographs put into its list go again where it fails."""
    kept: list[Photo] = []
    try:
        with transaction.atomic():
            yield kept
    except BaseException:
        for photo in kept:
            remove_files(photo)
        raise


def take_down(photo: Photo, *, by: str, reason: str) -> Withdrawal:
    """Removes the files of a photograph; that it was there, and why it went, stays."""
    withdrawal = Withdrawal(photo=photo, by=by, reason=" ".join(reason.split()))
    withdrawal.full_clean()
    withdrawal.save()
    transaction.on_commit(lambda: remove_files(photo))
    return withdrawal


def remove_files(photo: Photo) -> None:
    for file in photo.files:
        file.unlink(missing_ok=True)


def _on_white(image):
    """Without transparency: what is clear becomes white."""
    from PIL import Image

    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        layer = image.convert("RGBA")
        white = Image.new("RGBA", layer.size, "white")
        return Image.alpha_composite(white, layer).convert("RGB")
    # A picture made anew carries none of the notes of the one that was sent.
    plain = Image.new("RGB", image.size)
    plain.paste(image.convert("RGB"))
    return plain


def _as_jpeg(image) -> bytes:
    written = BytesIO()
    image.save(written, "JPEG", quality=QUALITY, optimize=True)
    return written.getvalue()


def _taken_at(image) -> datetime | None:
    """By the camera's clock, taken to be set to the railway's own time; None where absurd."""
    written = image.getexif().get_ifd(_EXIF).get(_TAKEN)
    try:
        taken = datetime.strptime(str(written), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
    except ValueError:
        return None
    taken = timezone.make_aware(taken)
    return taken if EARLIEST <= taken <= timezone.now() else None
