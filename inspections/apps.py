from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"

    def ready(self) -> None:
        from assets import panels as register
        from assets import triggers as database_rules
        from inspections import checks, on_plan, panels, switch_panel  # noqa: F401  (checks registers itself)
        from inspections.latest import track_circuit
        from inspections.recording import triggers

        database_rules.register(*triggers.DATABASE_RULES)
        register.points_panels.append(panels.points_panel)
        register.points_panels.append(switch_panel.points_panel)
        register.plan_notes.append(on_plan.notes)
        register.open_switches.append(on_plan.open_switch)
        register.circuit_sources.append(track_circuit.circuit_findings)
        register.need_sources.append(switch_panel.place_needs)
        register.part_panels.append(panels.part_panel)
        register.mark_sources.append(panels.marks)
