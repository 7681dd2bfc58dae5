"""Keeps a verified copy of the register, its photographs included, while it is in use."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from config.operations import copies


class Command(BaseCommand):
    help = "Makes a verified copy of the database and the photographs in a folder of its own."

    def add_arguments(self, parser) -> None:
        parser.add_argument("folder", type=Path, help="where copies are kept, one folder each")
        parser.add_argument("--keep", type=int, help="keep this many copies, drop older ones")

    def handle(self, *, folder: Path, keep: int | None, **options) -> None:
        if keep is not None and keep < 1:
            raise CommandError("Keep at least one copy.")
        try:
            copy = copies.make_copy(folder, timezone.localtime(), keep)
        except copies.CopyFailed as problem:
            raise CommandError(str(problem)) from problem
        self.stdout.write(
            f"Kept and verified: {copy.folder} ({copy.rows} rows, {copy.files} files)"
        )
