"""What is wrong, who mends it, who checks it, and on what evidence it was closed."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class DefectsConfig(AppConfig):
    name = "defects"

    def ready(self) -> None:
        from assets import database_rules
        from assets import panels as pages

        from . import checks, panels, routing, rules  # noqa: F401  (checks registers itself)

        database_rules.register(*rules.DATABASE_RULES)
        pages.points_panels.append(panels.of_points)
        pages.part_panels.append(panels.of_part)
        pages.mark_sources.append(panels.marks)
        pages.plan_notes.append(panels.on_plan)
        pages.open_defect_sources.append(panels.of_parts)
        post_migrate.connect(routing.deliver, sender=self)
