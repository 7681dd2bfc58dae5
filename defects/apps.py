"""What is wrong, who mends it, who checks it, and on what evidence it was closed."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class DefectsConfig(AppConfig):
    name = "defects"

    def ready(self) -> None:
        from . import checks  # noqa: F401  (registers the checks)
        from .routing import routing

        post_migrate.connect(routing.deliver, sender=self)
