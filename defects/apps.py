"""What is wrong, who mends it, who checks it, and on what evidence it was closed."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class DefectsConfig(AppConfig):
    name = "defects"

    def ready(self) -> None:
        from assets import panels as pages
        from assets import triggers as database_rules
        from defects import checks, panels  # noqa: F401  (checks registers itself)
        from defects.closing import triggers
        from defects.routing import routing

        database_rules.register(*triggers.DATABASE_RULES)
        pages.points_panels.append(panels.of_points)
        pages.part_panels.append(panels.of_part)
        pages.mark_sources.append(panels.marks)
        pages.plan_notes.append(panels.on_plan)
        pages.open_defect_sources.append(panels.of_parts)
        post_migrate.connect(routing.deliver, sender=self)
