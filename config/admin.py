"""Accounts, kept by the responsible engineer."""

from django.contrib import admin
from django.contrib.auth import get_user_model
from django.contrib.auth.admin import UserAdmin

from .access import Need, may


class AccountAdmin(UserAdmin):
    """The responsible engineer makes accounts and gives posts, and can give no more than that.

    Accounts that may do everything (superusers) are made from the shell, and only they see each
    other. An account is shut, never deleted: records name it.
    """

    fieldsets = (
        (None, {"fields": ("username", "password")}),
        ("Named in records", {"fields": ("first_name", "last_name", "email")}),
        ("Posts", {"fields": ("is_active", "groups")}),
    )
    list_display = ("username", "get_full_name", "is_active", "last_login")
    list_filter = ("is_active", "groups")
    filter_horizontal = ("groups",)

    def _engineer(self, request, obj=None) -> bool:
        return may(request.user, Need.LIMITS)

    has_view_permission = _engineer
    has_change_permission = _engineer

    def has_add_permission(self, request) -> bool:
        return self._engineer(request)

    def has_module_permission(self, request) -> bool:
        return self._engineer(request)

    def has_delete_permission(self, request, obj=None) -> bool:
        return False

    def get_queryset(self, request):
        accounts = super().get_queryset(request)
        return accounts if request.user.is_superuser else accounts.filter(is_superuser=False)


admin.site.unregister(get_user_model())
admin.site.register(get_user_model(), AccountAdmin)
