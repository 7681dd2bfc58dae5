"""Django's flush; what "is never removed" has to be set aside to empty a database on purpose."""

from django.core.management.commands.flush import Command as Flush

from config import triggers


class Command(Flush):
    def handle(self, **options) -> None:
        triggers.remove_all(options["database"])
        try:
            super().handle(**options)
        finally:
            triggers.install_all(options["database"])
