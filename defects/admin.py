"""The admin keeps the routing table; defects and their events move on their own pages only."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from defects.models import Route


@admin.register(Route)
class RouteAdmin(SimpleHistoryAdmin):
    list_display = ("found", "title", "mends", "works_with", "checks", "urgency", "needs_cause")
    list_filter = ("mends", "checks", "urgency")
    search_fields = ("found", "title", "remedy")
