"""Addresses of visits, limits and instruments."""

from django.urls import path

from .views import switch, visits

app_name = "inspections"

urlpatterns = [
    path("points/<str:code>/<str:number>/inspect/", visits.inspect, name="inspect"),
    path("points/<str:code>/<str:number>/switch/", switch.switch, name="switch"),
    path("points/<str:code>/<str:number>/setting-up/", switch.setting_up, name="setting_up"),
    path("visits/", visits.visit_list, name="list"),
    path("visits/<int:pk>/", visits.visit_page, name="inspection"),
    path("readings/<int:pk>/correct/", visits.reading_correct, name="reading_correct"),
    path("examinations/<int:pk>/correct/", visits.examination_correct, name="examination_correct"),
]
