"""Addresses of the defects alone; the register check and the handover note are in config.urls."""

from django.urls import path

from defects.views import acting, lists, photographs, proposing, raising, routes

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
    path("routing/", routes.route_list, name="routes"),
    path("routing/<str:found>/", routes.route_edit, name="route_edit"),
]
