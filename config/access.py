"""Who may do what: one table, read by the middleware that guards every address.

Every named address stands in ``ADDRESSES`` with what it takes to use it; an address that is not
there is refused to all, and a system check says so. What may be done to one defect by which
department is decided in ``defects.moves.moves``, on top of this.
"""

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied

from assets.departments import Post, posts_of
from assets.engineering.words import Vocabulary


class Need(Vocabulary):
    """What an address asks of a person."""

    ANYONE = "anyone", "nothing, not even an account"
    SEE = "see", "any account with a post"
    REGISTER = "register", "changing the records of points and parts"
    FIT = "fit", "recording a part fitted or taken out"
    INSPECT = "inspect", "recording visits"
    DEFECTS = "defects", "acting on defects"
    LOAD = "load", "loading a workbook"
    LIMITS = "limits", "changing the railway's limits, routes and reference data"


S, P, E, V = Post.SIGNALLING, Post.PERMANENT_WAY, Post.ENGINEER, Post.VIEWER

MAY: dict[Need, frozenset[Post]] = {
    Need.SEE: frozenset({S, P, E, V}),
    Need.REGISTER: frozenset({S, E}),
    Need.FIT: frozenset({S, E}),
    Need.INSPECT: frozenset({S, P, E}),
    Need.DEFECTS: frozenset({S, P, E}),
    Need.LOAD: frozenset({S, P, E}),  # each sheet asks its own need besides
    Need.LIMITS: frozenset({E}),
}

ADDRESSES: dict[str, Need] = {
    "login": Need.ANYONE,
    "logout": Need.ANYONE,
    "health": Need.ANYONE,
    "service_worker": Need.ANYONE,
    "password_change": Need.SEE,
    "password_change_done": Need.SEE,
    "home": Need.SEE,
    "guide": Need.SEE,
    # the register
    "assets:points_list": Need.SEE,
    "assets:points": Need.SEE,
    "assets:plan": Need.SEE,
    "assets:what_if": Need.SEE,
    "assets:points_new": Need.REGISTER,
    "assets:points_edit": Need.REGISTER,
    "assets:points_as_installed": Need.REGISTER,
    "assets:position_new": Need.REGISTER,
    "assets:position_edit": Need.REGISTER,
    "assets:part_list": Need.SEE,
    "assets:part": Need.SEE,
    "assets:part_new": Need.REGISTER,
    "assets:part_edit": Need.REGISTER,
    "assets:fit": Need.FIT,
    "assets:take_out": Need.FIT,
    "assets:move": Need.FIT,
    "assets:against": Need.SEE,
    "assets:agree": Need.LIMITS,
    "assets:suits_position": Need.SEE,
    "assets:suits_part": Need.SEE,
    "assets:label_sheet": Need.SEE,
    "assets:points_labels": Need.SEE,
    "assets:photo": Need.SEE,
    "assets:photo_small": Need.SEE,
    "assets:photo_take_down": Need.LIMITS,
    "assets:part_photo": Need.INSPECT,
    "assets:spares_table": Need.SEE,
    "assets:spares_table_workbook": Need.SEE,
    "assets:best_use": Need.SEE,
    "assets:location_list": Need.SEE,
    "assets:location_new": Need.REGISTER,
    "assets:location_edit": Need.REGISTER,
    # visits
    "inspections:list": Need.SEE,
    "inspections:inspect": Need.INSPECT,
    "inspections:inspection": Need.SEE,
    "inspections:receive": Need.INSPECT,
    "inspections:difference": Need.INSPECT,
    "inspections:take": Need.INSPECT,
    "inspections:queue": Need.ANYONE,  # holds nothing of the register: the phone fills it in
    "inspections:token": Need.SEE,
    "inspections:reading_correct": Need.INSPECT,
    "inspections:examination_correct": Need.INSPECT,
    "inspections:due": Need.SEE,
    "inspections:season_new": Need.LIMITS,
    "inspections:season_edit": Need.LIMITS,
    "inspections:trends": Need.SEE,
    "inspections:trend": Need.SEE,
    "inspections:limits": Need.SEE,
    "inspections:switch": Need.SEE,
    "inspections:setting_up": Need.SEE,
    "inspections:limit_new": Need.LIMITS,
    "inspections:limit_edit": Need.LIMITS,
    "inspections:limit_confirm": Need.LIMITS,
    "inspections:figures": Need.SEE,
    "inspections:figure_confirm": Need.LIMITS,
    "inspections:figure_withdraw": Need.LIMITS,
    "inspections:instruments": Need.SEE,
    "inspections:instrument": Need.SEE,
    "inspections:check_new": Need.INSPECT,
    "inspections:check_correct": Need.INSPECT,
    "inspections:instrument_new": Need.INSPECT,
    "inspections:instrument_edit": Need.INSPECT,
    # defects
    "defects:list": Need.SEE,
    "defects:queue": Need.SEE,
    "defects:queue_workbook": Need.SEE,
    "defects:defect": Need.SEE,
    "defects:raise": Need.DEFECTS,
    "defects:move": Need.DEFECTS,
    "defects:edit": Need.DEFECTS,
    "defects:photo": Need.DEFECTS,
    "defects:proposals": Need.DEFECTS,
    "defects:routes": Need.SEE,
    "defects:route_edit": Need.LIMITS,
    "defects:register_check": Need.DEFECTS,
    "defects:handover": Need.SEE,
    # workbooks
    "workbook": Need.SEE,
    "workbook_save": Need.SEE,
    "workbook_columns": Need.SEE,
    "workbook_visit_sheet": Need.SEE,
    "workbook_load": Need.LOAD,
    "workbook_plan": Need.LOAD,
    "workbook_apply": Need.LOAD,
    "workbook_notes": Need.LOAD,
    "workbook_match": Need.LOAD,
    "workbook_forget_matching": Need.LOAD,
}


def may(user, need: Need) -> bool:
    """Whether a user's posts give what is needed."""
    if need == Need.ANYONE:
        return True
    return bool(posts_of(user) & MAY[need])


def need_of(view_name: str) -> Need | None:
    """What an address asks; None for an address that is not in the table."""
    if view_name.startswith("admin:"):
        return Need.LIMITS
    return ADDRESSES.get(view_name)


class AccessMiddleware:
    """Asks the table before any view runs."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        need = need_of(request.resolver_match.view_name or "")
        if need == Need.ANYONE:
            return None
        if not request.user.is_authenticated:
            return redirect_to_login(request.get_full_path(), settings.LOGIN_URL)
        if need is None or not may(request.user, need):
            words = need.label if need else "an address that is open to no one"
            raise PermissionDenied(f"This page is for {words}, which your post does not include.")
        return None


def capabilities(request) -> dict:
    """``can.register``, ``can.fit`` ... for templates."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"can": {}}
    return {"can": {need.value: may(user, need) for need in MAY}}
