from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"

    def ready(self) -> None:
        from assets import database_rules
        from assets import panels as register

        from . import checks, electrical, on_plan, panels, rules, switch_panel  # noqa: F401

        database_rules.register(*rules.DATABASE_RULES)
        register.points_panels.append(panels.points_panel)
        register.points_panels.append(switch_panel.points_panel)
        register.plan_notes.append(on_plan.notes)
        register.open_switches.append(on_plan.open_switch)
        register.circuit_sources.append(electrical.circuit_findings)
        register.need_sources.append(switch_panel.place_needs)
        register.part_panels.append(panels.part_panel)
        register.mark_sources.append(panels.marks)
