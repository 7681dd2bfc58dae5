"""The site for reference data and accounts, open to the responsible engineer."""

from django.contrib.admin import AdminSite

from .access import Need, may


class ReferenceSite(AdminSite):
    site_header = "Toe to Heel: reference data and accounts"
    site_title = "Toe to Heel"
    index_title = "Reference data and accounts"

    def has_permission(self, request) -> bool:
        return request.user.is_active and may(request.user, Need.LIMITS)
