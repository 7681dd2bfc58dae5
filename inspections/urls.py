"""Addresses of visits, limits and instruments."""

from django.urls import path

from inspections.views import (
    figures,
    instruments,
    limits,
    phone,
    reference,
    regimes,
    setting_up,
    trends,
    visits,
    which_rod,
)

app_name = "inspections"

urlpatterns = [
    path("points/<str:code>/<str:number>/inspect/", visits.inspect, name="inspect"),
    path("points/<str:code>/<str:number>/setting-up/", setting_up.setting_up, name="setting_up"),
    path("points/<str:code>/<str:number>/inspect/send/", phone.receive, name="receive"),
    path("take/", phone.take, name="take"),
    path("queue/", phone.queue, name="queue"),
    path("token/", phone.token, name="token"),
    path("visits/differences/<int:pk>/", which_rod.difference, name="difference"),
    path("visits/", visits.visit_list, name="list"),
    path("visits/due/", reference.due, name="due"),
    path("visits/trends/", trends.trends, name="trends"),
    path("points/<str:code>/<str:number>/trend/", trends.trend, name="trend"),
    path("visits/<int:pk>/", visits.visit_page, name="inspection"),
    path("readings/<int:pk>/correct/", visits.reading_correct, name="reading_correct"),
    path("examinations/<int:pk>/correct/", visits.examination_correct, name="examination_correct"),
    path("limits/", limits.limits, name="limits"),
    path("limits/new/", limits.limit_new, name="limit_new"),
    path("limits/<int:pk>/edit/", limits.limit_edit, name="limit_edit"),
    path("limits/<int:pk>/confirm/", limits.limit_confirm, name="limit_confirm"),
    path("regimes/", regimes.regimes, name="regimes"),
    path("regimes/new/", regimes.regime_new, name="regime_new"),
    path("regimes/<int:pk>/edit/", regimes.regime_edit, name="regime_edit"),
    path("regimes/<int:pk>/choose/", regimes.regime_choose, name="regime_choose"),
    path("regimes/<int:pk>/confirm/", regimes.regime_confirm, name="regime_confirm"),
    path("figures/", figures.figures, name="figures"),
    path("figures/<str:code>/", figures.figure_confirm, name="figure_confirm"),
    path("figures/<str:code>/withdraw/", figures.figure_withdraw, name="figure_withdraw"),
    path("instruments/", instruments.instruments, name="instruments"),
    path("instruments/new/", instruments.instrument_new, name="instrument_new"),
    path("instruments/<int:pk>/edit/", instruments.instrument_edit, name="instrument_edit"),
    path("instruments/<int:pk>/", instruments.instrument, name="instrument"),
    path("instruments/<int:pk>/check/", instruments.check_new, name="check_new"),
    path("checks/<int:pk>/correct/", instruments.check_correct, name="check_correct"),
    path("seasons/new/", reference.season_new, name="season_new"),
    path("seasons/<int:pk>/edit/", reference.season_edit, name="season_edit"),
]
