from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"

    def ready(self) -> None:
        from assets import database_rules

        from . import checks, rules  # noqa: F401  (importing the checks registers them)

        database_rules.register(*rules.DATABASE_RULES)
