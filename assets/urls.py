"""Addresses of the register alone; pages that need visits and defects too are in config.urls."""

from django.urls import path

from assets.views import fittings, labels, parts, photographs, points

app_name = "assets"

AT = "points/<str:code>/<str:number>/"
PLACE = f"{AT}<int:order>/"

urlpatterns = [
    path("points/new/", points.points_new, name="points_new"),
    path("locations/", points.location_list, name="location_list"),
    path("locations/new/", points.location_new, name="location_new"),
    path("locations/<str:code>/edit/", points.location_edit, name="location_edit"),
    path(f"{AT}edit/", points.points_edit, name="points_edit"),
    path(f"{AT}as-installed/", points.points_as_installed, name="points_as_installed"),
    path(f"{AT}place/new/", points.position_new, name="position_new"),
    path(f"{PLACE}edit/", points.position_edit, name="position_edit"),
    path("fittings/against/", fittings.against, name="against"),
    path("fittings/<int:pk>/agree/", fittings.agree, name="agree"),
    path("labels/", labels.label_sheet, name="label_sheet"),
    path("labels/<str:what>/", labels.label_sheet, name="label_sheet"),
    path(f"{AT}labels/", labels.points_labels, name="points_labels"),
    path("photographs/<uuid:key>/", photographs.photo, name="photo"),
    path("photographs/<uuid:key>/small/", photographs.photo, {"small": True}, name="photo_small"),
    path("photographs/<uuid:key>/down/", photographs.photo_take_down, name="photo_take_down"),
    path("parts/<str:kind>/new/", parts.part_new, name="part_new"),
    path("parts/<str:kind>/<str:tag>/photograph/", photographs.part_photo, name="part_photo"),
    path("parts/<str:kind>/<str:tag>/edit/", parts.part_edit, name="part_edit"),
]
