"""Django's flush; what "is never removed" has to be set aside to empty a database on purpose."""

from django.core.management.commands.flush import Command as Flush

from assets import database_rules


class Command(Flush):
    def handle(self, **options) -> None:
        database_rules.remove_all(options["database"])
        try:
            super().handle(**options)
        finally:
            database_rules.install_all(options["database"])
