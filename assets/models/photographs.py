"""Photographs: the picture as it is kept, what it shows, and when one was taken down."""

import uuid
from pathlib import Path

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from .fields import Text
from .fittings import PartLink, one_part


def picture_name(photo: "Photo", filename: str) -> str:
    """A name that tells nothing and cannot be guessed; the sender's own name is not kept."""
    return f"{photo.key}.jpg"


def thumbnail_name(photo: "Photo", filename: str) -> str:
    return f"{photo.key}-small.jpg"


class PhotoQuerySet(models.QuerySet):
    def shown(self) -> "PhotoQuerySet":
        """In the order they were added, with those taken down, which are named but not shown."""
        return self.select_related("withdrawal").order_by("added_at", "pk")


class Photo(models.Model):
    """One picture, decoded and written anew: only what it shows is kept.

    It is never changed. What it belongs to is said by one link row of the app concerned.
    """

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    picture = models.FileField(upload_to=picture_name)
    thumbnail = models.FileField(upload_to=thumbnail_name)
    sha256 = Text(max_length=64, help_text="Of the picture as it is stored.")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = Text(max_length=200, blank=True)
    taken_at = models.DateTimeField(
        null=True, blank=True, help_text="According to the camera's own clock."
    )
    by = Text("who", max_length=80)
    added_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    added_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ["added_at", "pk"]
        verbose_name = "photograph"
        constraints = [
            models.CheckConstraint(
                name="photo_who_given",
                condition=~Q(by=""),
                violation_error_message="Say who took the photograph.",
            ),
        ]

    def __str__(self) -> str:
        return self.caption or f"photograph by {self.by}"

    def get_absolute_url(self) -> str:
        return reverse("assets:photo", args=[self.key])

    @property
    def thumbnail_url(self) -> str:
        return reverse("assets:photo_small", args=[self.key])

    @property
    def taken_down(self) -> "Withdrawal | None":
        """When and why it was taken down; None while it is shown. May cost a query."""
        return getattr(self, "withdrawal", None)

    @property
    def files(self) -> tuple[Path, Path]:
        return Path(self.picture.path), Path(self.thumbnail.path)


class Withdrawal(models.Model):
    """A photograph taken down: its files are gone, that it was there and why it went stays."""

    photo = models.OneToOneField(Photo, on_delete=models.PROTECT, related_name="withdrawal")
    at = models.DateTimeField(default=timezone.now, editable=False)
    by = Text(max_length=80)
    reason = Text(max_length=200)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="withdrawal_reason_given",
                condition=~Q(reason=""),
                violation_error_message="Say why the photograph is taken down.",
            ),
        ]

    def __str__(self) -> str:
        return f"taken down by {self.by}: {self.reason}"


class PhotoLink(models.Model):
    """What one photograph belongs to; each app links its own things."""

    photo = models.OneToOneField(Photo, on_delete=models.PROTECT, related_name="%(class)s")

    class Meta:
        abstract = True


class PartPhoto(PhotoLink, PartLink):
    """A photograph of a part."""

    class Meta:
        ordering = ["photo__added_at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="part_photo_has_one_part",
                condition=one_part(),
                violation_error_message="A photograph is of one part: no less and no more.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.part}: {self.photo}"
