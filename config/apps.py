from django.apps import AppConfig, apps
from django.contrib.admin.apps import AdminConfig
from django.db.models.signals import post_migrate, pre_migrate


class ConfigConfig(AppConfig):
    name = "config"
    verbose_name = "Toe to Heel"

    def ready(self) -> None:
        from defects.models.misfits import judge_again
        from inspections.models.calculated import calculate_again

        from . import checks, triggers  # noqa: F401  (checks registers itself)
        from .operations.older_registers import refuse_older
        from .plain_words import speak_plainly

        speak_plainly()
        # Triggers cannot be told to the schema editor, and SQLite loses them when it rebuilds a
        # table: they go before a migration and come back after it. Nothing is sent for config
        # itself, which has no tables.
        register = apps.get_app_config("assets")
        pre_migrate.connect(refuse_older, sender=register)
        pre_migrate.connect(triggers.remove_all, sender=register)
        post_migrate.connect(triggers.install_all, sender=register)
        post_migrate.connect(judge_again, sender=register)
        post_migrate.connect(calculate_again, sender=register)


class ReferenceSiteConfig(AdminConfig):
    default_site = "config.reference_site.ReferenceSite"
