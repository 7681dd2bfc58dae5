"""Addresses of the register."""

from django.urls import path

from .views import fittings, labels, parts, photographs, plan, points, suits, table, what_if

app_name = "assets"

AT = "points/<str:code>/<str:number>/"
PLACE = f"{AT}<int:order>/"

urlpatterns = [
    path("points/", points.points_list, name="points_list"),
    path("points/new/", points.points_new, name="points_new"),
    path("locations/", points.location_list, name="location_list"),
    path("locations/new/", points.location_new, name="location_new"),
    path("locations/<str:code>/edit/", points.location_edit, name="location_edit"),
    path(AT, points.points_page, name="points"),
    path(f"{AT}plan/", plan.plan, name="plan"),
    path(f"{AT}what-if/", what_if.what_if, name="what_if"),
    path(f"{AT}edit/", points.points_edit, name="points_edit"),
    path(f"{AT}as-installed/", points.points_as_installed, name="points_as_installed"),
    path(f"{AT}place/new/", points.position_new, name="position_new"),
    path(f"{PLACE}edit/", points.position_edit, name="position_edit"),
    path(f"{PLACE}suits/", suits.suits_position, name="suits_position"),
    path(f"{PLACE}suits/<str:kind>/", suits.suits_position, name="suits_position"),
    path(f"{PLACE}fit/<str:kind>/", fittings.fit, name="fit"),
    path("fittings/<int:pk>/take-out/", fittings.take_out, name="take_out"),
    path("fittings/<int:pk>/move/", fittings.move, name="move"),
    path("labels/", labels.label_sheet, name="label_sheet"),
    path("labels/<str:what>/", labels.label_sheet, name="label_sheet"),
    path(f"{AT}labels/", labels.points_labels, name="points_labels"),
    path("photographs/<uuid:key>/", photographs.photo, name="photo"),
    path("photographs/<uuid:key>/small/", photographs.photo, {"small": True}, name="photo_small"),
    path("photographs/<uuid:key>/down/", photographs.photo_take_down, name="photo_take_down"),
    path("spares/", table.spares_table, name="spares_table"),
    path("spares/workbook/", table.workbook, name="spares_table_workbook"),
    path("spares/best-use/", table.best_use, name="best_use"),
    path("parts/<str:kind>/", parts.part_list, name="part_list"),
    path("parts/<str:kind>/new/", parts.part_new, name="part_new"),
    path("parts/<str:kind>/<str:tag>/", parts.part_page, name="part"),
    path("parts/<str:kind>/<str:tag>/photograph/", photographs.part_photo, name="part_photo"),
    path("parts/<str:kind>/<str:tag>/edit/", parts.part_edit, name="part_edit"),
    path("parts/<str:kind>/<str:tag>/suits/", suits.suits_part, name="suits_part"),
]
