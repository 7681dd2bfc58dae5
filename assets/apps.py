from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class AssetsConfig(AppConfig):
    name = "assets"
    verbose_name = "Register"

    def ready(self) -> None:
        from assets import departments, panels, triggers

        from .photo_panel import part_photos

        # Triggers cannot be told to the schema editor, and SQLite loses them when it rebuilds a
        # table: they go before a migration and come back after it.
        pre_migrate.connect(triggers.remove_all, sender=self)
        post_migrate.connect(triggers.install_all, sender=self)
        post_migrate.connect(departments.make_posts, sender=self)
        panels.part_panels.append(part_photos)
