from django.apps import AppConfig


class ConfigConfig(AppConfig):
    name = "config"
    verbose_name = "Toe to Heel"

    def ready(self) -> None:
        from . import checks  # noqa: F401  (registers the checks)
