from django.apps import AppConfig
from django.db.models.signals import post_migrate


class AssetsConfig(AppConfig):
    name = "assets"
    verbose_name = "Register"

    def ready(self) -> None:
        from . import departments

        post_migrate.connect(departments.make_posts, sender=self)
