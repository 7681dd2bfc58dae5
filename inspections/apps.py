from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"

    def ready(self) -> None:
        from assets import database_rules
        from assets import panels as register

        from . import checks, panels, rules, switch_panel  # noqa: F401  (importing the checks registers them)

        database_rules.register(*rules.DATABASE_RULES)
        register.points_panels.append(panels.points_panel)
        register.points_panels.append(switch_panel.points_panel)
        register.need_sources.append(switch_panel.place_needs)
        register.part_panels.append(panels.part_panel)
        register.mark_sources.append(panels.marks)
