"""Photographs of a defect."""

from assets.views.photographs import add_photos
from defects.models import DefectPhoto

from .acting import defect_or_404


def photo(request, number: int):
    defect = defect_or_404(number)
    return add_photos(
        request,
        heading=f"Photograph defect {defect.number}: {defect.title}",
        back=defect.get_absolute_url(),
        section="defects",
        link=lambda photo: DefectPhoto.objects.create(photo=photo, defect=defect),
    )
