"""What is wrong, who mends it, who checks it, and on what evidence it was closed."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class DefectsConfig(AppConfig):
    name = "defects"

    def ready(self) -> None:
        from assets import database_rules

        from . import checks, routing, rules  # noqa: F401  (checks registers itself)

        database_rules.register(*rules.DATABASE_RULES)
        post_migrate.connect(routing.deliver, sender=self)
