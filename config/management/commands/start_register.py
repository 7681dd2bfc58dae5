"""Fills an empty register with reference data, example limits and the routing table."""

from django.core.management.base import BaseCommand

from config import reference


class Command(BaseCommand):
    help = (
        "Adds rail sections, switch designs, example limits and the routing table. What is "
        "already in the register is left as it is, so running it again does no harm."
    )

    def handle(self, **options) -> None:
        for kind, count in reference.load().items():
            self.stdout.write(f"{kind}: {count} added")
        self.stdout.write(
            "The limits are examples: the responsible engineer confirms or replaces each."
        )
