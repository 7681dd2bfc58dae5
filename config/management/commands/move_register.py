"""Moves the whole register into another, empty database and compares every row."""

import dj_database_url
from django.core.management.base import BaseCommand, CommandError
from django.db import connections

from config.operations import moving


class Command(BaseCommand):
    help = "Copies every row to the database at a URL, and compares counts and checksums."

    def add_arguments(self, parser) -> None:
        parser.add_argument("url", help="like DATABASE_URL, of an empty database")

    def handle(self, *, url: str, **options) -> None:
        try:
            target = dj_database_url.parse(url)
        except (dj_database_url.ParseError, ValueError) as problem:
            raise CommandError(f"That is not a database URL: {problem}") from problem
        connections.settings["target"] = connections.configure_settings(
            {"default": connections.settings["default"], "target": target}
        )["target"]
        try:
            moved = moving.move("default", "target", self.stdout.write)
        except moving.MoveFailed as problem:
            raise CommandError(str(problem)) from problem
        finally:
            connections["target"].close()
            del connections.settings["target"]
        rows = sum(table.rows for table in moved)
        self.stdout.write(
            f"{len(moved)} tables with {rows} rows are the same in both, by count and checksum. "
            "Point DATABASE_URL at the new one and start the program again. The photographs "
            "stay where they are."
        )
