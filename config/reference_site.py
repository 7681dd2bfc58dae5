"""The site for reference data and accounts, open to the responsible engineer."""

import re
from functools import wraps

from django.contrib.admin import AdminSite
from django.core.exceptions import BadRequest

from .access import Need, may


class ReferenceSite(AdminSite):
    site_header = "Toe to Heel: reference data and accounts"
    site_title = "Toe to Heel"
    index_title = "Reference data and accounts"

    def has_permission(self, request) -> bool:
        return request.user.is_active and may(request.user, Need.LIMITS)

    def admin_view(self, view, cacheable=False):
        return super().admin_view(_refusing_odd_choices(view), cacheable)


def _refusing_odd_choices(view):
    """The rows that a list's action is for are named by number; anything else was not ticked."""

    @wraps(view)
    def guarded(request, *args, **kwargs):
        chosen = request.POST.getlist("_selected_action")
        if not all(re.fullmatch(r"[0-9]{1,18}", one) for one in chosen):
            raise BadRequest("A row that was chosen is not in the list.")
        return view(request, *args, **kwargs)

    return guarded
