"""Addresses of the defects."""

from django.urls import path

from .views import acting, checking, lists, photographs, proposing, raising, routes

app_name = "defects"

urlpatterns = [
    path("defects/", lists.defect_list, name="list"),
    path("defects/queue/<str:department>/", lists.queue, name="queue"),
    path("defects/queue/<str:department>/workbook/", lists.queue_workbook, name="queue_workbook"),
    path("defects/raise/", raising.raise_by_hand, name="raise"),
    path("defects/<int:number>/", acting.defect_page, name="defect"),
    path("defects/<int:number>/move/<str:move>/", acting.move, name="move"),
    path("defects/<int:number>/edit/", acting.edit, name="edit"),
    path("defects/<int:number>/photograph/", photographs.photo, name="photo"),
    path("visits/<int:pk>/proposals/", proposing.proposals, name="proposals"),
    path("register-check/", checking.register_check, name="register_check"),
    path("points/<str:code>/<str:number>/handover/", checking.handover_note, name="handover"),
    path("routing/", routes.route_list, name="routes"),
    path("routing/<str:found>/", routes.route_edit, name="route_edit"),
]
