"""Every address of the program. Who may use each is said in config.access."""

from django.contrib import admin
from django.contrib.auth import views as auth
from django.urls import include, path

from config import home, phone
from config.lazy_view import late
from config.operations import health

handler500 = "config.operations.faults.server_error"

urlpatterns = [
    path("", home.home, name="home"),
    path("health/", health.health, name="health"),
    path("guide/", home.guide, name="guide"),
    path("sw.js", phone.service_worker, name="service_worker"),
    path("workbook/", late("config.workbook.pages.workbook"), name="workbook"),
    path("workbook/save/", late("config.workbook.pages.save"), name="workbook_save"),
    path("workbook/columns/", late("config.workbook.pages.columns"), name="workbook_columns"),
    path(
        "workbook/visit-sheet/",
        late("config.workbook.pages.visit_sheet"),
        name="workbook_visit_sheet",
    ),
    path("workbook/load/", late("config.workbook.loading.load"), name="workbook_load"),
    path("workbook/file/<str:token>/", late("config.workbook.loading.plan"), name="workbook_plan"),
    path(
        "workbook/file/<str:token>/load/",
        late("config.workbook.loading.apply"),
        name="workbook_apply",
    ),
    path(
        "workbook/file/<str:token>/notes/",
        late("config.workbook.loading.notes"),
        name="workbook_notes",
    ),
    path(
        "workbook/file/<str:token>/match/",
        late("config.workbook.matching.match"),
        name="workbook_match",
    ),
    path(
        "workbook/matching/<int:pk>/forget/",
        late("config.workbook.pages.forget_matching"),
        name="workbook_forget_matching",
    ),
    path("", include("assets.urls")),
    path("", include("inspections.urls")),
    path("", include("defects.urls")),
    path(
        "login/",
        auth.LoginView.as_view(template_name="config/login.html", redirect_authenticated_user=True),
        name="login",
    ),
    path("logout/", auth.LogoutView.as_view(), name="logout"),
    path(
        "password/",
        auth.PasswordChangeView.as_view(template_name="config/password_change.html"),
        name="password_change",
    ),
    path(
        "password/changed/",
        auth.PasswordChangeDoneView.as_view(template_name="config/password_changed.html"),
        name="password_change_done",
    ),
    path("admin/", admin.site.urls),
]
