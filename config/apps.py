from django.apps import AppConfig
from django.contrib.admin.apps import AdminConfig


class ConfigConfig(AppConfig):
    name = "config"
    verbose_name = "Toe to Heel"

    def ready(self) -> None:
        from . import checks  # noqa: F401  (registers the checks)
        from .plain_words import speak_plainly

        speak_plainly()


class ReferenceSiteConfig(AdminConfig):
    default_site = "config.reference_site.ReferenceSite"
