"""Every address of the program. Who may use each is said in config.access."""

from django.contrib import admin
from django.contrib.auth import views as auth
from django.urls import include, path

from . import health, home, phone, workbook_pages

urlpatterns = [
    path("", home.home, name="home"),
    path("health/", health.health, name="health"),
    path("guide/", home.guide, name="guide"),
    path("sw.js", phone.service_worker, name="service_worker"),
    path("workbook/", workbook_pages.workbook, name="workbook"),
    path("workbook/save/", workbook_pages.save, name="workbook_save"),
    path("workbook/load/", workbook_pages.load, name="workbook_load"),
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
