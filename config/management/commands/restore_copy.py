"""Puts a copy made by keep_copy in place of the present register."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from config.operations import copies


class Command(BaseCommand):
    help = "Verifies a copy and puts it in place of the present register."

    def add_arguments(self, parser) -> None:
        parser.add_argument("folder", type=Path, help="the folder of one copy")
        parser.add_argument("--check-only", action="store_true", help="only verify the copy")
        parser.add_argument(
            "--replace", action="store_true", help="yes, replace what is in the register now"
        )

    def handle(self, *, folder: Path, check_only: bool, replace: bool, **options) -> None:
        try:
            if check_only:
                copy = copies.verify(folder)
                self.stdout.write(f"Whole: {copy.rows} rows, {copy.files} files")
                return
            if copies.row_counts().get("assets_points") and not replace:
                raise CommandError(
                    "The register is not empty. Keep a copy of it first (keep_copy), then say "
                    "--replace."
                )
            copy = copies.put_back(folder)
        except copies.CopyFailed as problem:
            raise CommandError(str(problem)) from problem
        self.stdout.write(f"Put back: {copy.rows} rows, {copy.files} files")
