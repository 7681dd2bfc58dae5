"""The photographs of a part, as a panel of its page."""

from django.urls import reverse

from assets.models import Photo
from assets.models.fittings import link_field
from assets.models.parts import Part
from config.points.pieces.panel import Panel


def of_part(part: Part) -> Panel:
    """Every photograph of the part, oldest first; one query."""
    mine = Photo.objects.filter(**{f"partphoto__{link_field(part)}": part}).shown()
    add = reverse("assets:part_photo", args=[part._meta.model_name, part.tag])
    return Panel(
        "Photographs",
        "points/_photographs.html",
        {"photos": list(mine), "add": add},
        anchor="photographs",
    )
