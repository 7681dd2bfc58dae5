"""Every address of the program. Who may use each is said in config.access.

Pages that need register, visits and defects together stand here under the name of the app they
belong to for whoever uses them: "assets:points", "defects:handover". Those that need the arithmetic
are imported when they are first asked for.
"""

from django.contrib import admin
from django.contrib.auth import views as auth
from django.urls import URLPattern, include, path

import assets.urls
import defects.urls
import inspections.urls
from assets.urls import AT, PLACE
from config import guide, phone
from config.lazy_view import late
from config.operations import health
from config.today import handover_page, home_page

handler500 = "config.operations.faults.server_error"


def under(app, pages: list[URLPattern]):
    """An app's own addresses and these pages of the top, in the app's one namespace."""
    return include(([*app.urlpatterns, *pages], app.app_name))


suits = late("config.suiting.suits_page.suits_position")

REGISTER_PAGES = [
    path("points/", late("config.points.list_page.points_list"), name="points_list"),
    path(AT, late("config.points.page.points_page"), name="points"),
    path(f"{AT}plan/", late("config.points.plan_page.plan"), name="plan"),
    path(f"{AT}what-if/", late("config.suiting.what_if_page.what_if"), name="what_if"),
    path(f"{PLACE}suits/", suits, name="suits_position"),
    path(f"{PLACE}suits/<str:kind>/", suits, name="suits_position"),
    path(f"{PLACE}fit/<str:kind>/", late("config.suiting.fit_page.fit"), name="fit"),
    path(
        "fittings/<int:pk>/take-out/",
        late("config.suiting.take_out_page.take_out"),
        name="take_out",
    ),
    path("fittings/<int:pk>/move/", late("config.suiting.fit_page.move"), name="move"),
    path("spares/", late("config.suiting.spares_page.spares_table"), name="spares_table"),
    path(
        "spares/workbook/",
        late("config.suiting.spares_page.workbook"),
        name="spares_table_workbook",
    ),
    path("spares/best-use/", late("config.suiting.spares_page.best_use"), name="best_use"),
    path("parts/<str:kind>/", late("config.points.parts_page.part_list"), name="part_list"),
    path("parts/<str:kind>/<str:tag>/", late("config.points.part_page.part_page"), name="part"),
    path(
        "parts/<str:kind>/<str:tag>/suits/",
        late("config.suiting.suits_page.suits_part"),
        name="suits_part",
    ),
]
VISIT_PAGES = [
    path(f"{AT}switch/", late("config.points.switch_page.switch"), name="switch"),
]
DEFECT_PAGES = [
    path(
        "register-check/",
        late("config.today.register_check_page.register_check"),
        name="register_check",
    ),
    path(f"{AT}handover/", handover_page.handover_note, name="handover"),
]

urlpatterns = [
    path("", home_page.home, name="home"),
    path("health/", health.health, name="health"),
    path("guide/", guide.guide, name="guide"),
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
    path("", under(assets.urls, REGISTER_PAGES)),
    path("", under(inspections.urls, VISIT_PAGES)),
    path("", under(defects.urls, DEFECT_PAGES)),
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
