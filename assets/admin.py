"""Reference data, kept by the responsible engineer."""

from django.contrib import admin
from django.db.models import FloatField, IntegerField
from simple_history.admin import SimpleHistoryAdmin

from .departments import Post, posts_of
from .forms import register_field
from .models import RailSection, SwitchDesign, WheelStandard


class ReferenceAdmin(SimpleHistoryAdmin):
    """Open to the responsible engineer, whatever permissions Django's groups hold."""

    def _engineer(self, request, obj=None) -> bool:
        return Post.ENGINEER in posts_of(request.user)

    has_view_permission = _engineer
    has_change_permission = _engineer
    has_delete_permission = _engineer

    def formfield_for_dbfield(self, db_field, request, **kwargs):
        """Figures are read as everywhere in the register."""
        if isinstance(db_field, FloatField | IntegerField):
            return register_field(db_field)
        return super().formfield_for_dbfield(db_field, request, **kwargs)

    def has_add_permission(self, request) -> bool:
        return self._engineer(request)

    def has_module_permission(self, request) -> bool:
        return self._engineer(request)


@admin.register(RailSection)
class RailSectionAdmin(ReferenceAdmin):
    list_display = ["code", "profile", "mass_kg_m", "iyy_cm4", "from_memory", "source"]
    list_filter = ["profile", "from_memory"]
    search_fields = ["code", "source"]


@admin.register(SwitchDesign)
class SwitchDesignAdmin(ReferenceAdmin):
    list_display = ["code", "shape", "heel", "heel_mm", "from_memory", "source"]
    list_filter = ["shape", "from_memory"]
    search_fields = ["code", "name", "source"]


@admin.register(WheelStandard)
class WheelStandardAdmin(ReferenceAdmin):
    list_display = ["name", "back_to_back_mm", "flange_mm", "front_to_front_mm", "in_force"]
