from django.apps import AppConfig


class DefectsConfig(AppConfig):
    name = "defects"

    def ready(self) -> None:
        from assets import database_rules

        from . import rules

        database_rules.register(*rules.DATABASE_RULES)
