"""The register as a workbook.

manage.py save_workbook register.xlsx
manage.py save_workbook two.xlsx --points "SKB 12" "SKB 14"
"""

from django.core.management.base import BaseCommand, CommandError

from assets.models import Points
from assets.sheets.loading import EVERYTHING, Choice
from assets.workbook.refusals import WorkbookRefused
from config.workbook import register


class Command(BaseCommand):
    help = "Writes the register, or some sets of points with all that belongs to them, as .xlsx."

    def add_arguments(self, parser) -> None:
        parser.add_argument("file")
        parser.add_argument(
            "--points", nargs="+", metavar="KEY", help='location code and number, like "SKB 12"'
        )

    def handle(self, *, file, points, verbosity, **options) -> None:
        try:
            choice = EVERYTHING
            if points:
                found = [Points.objects.by_key(key).pk for key in points]
                choice = Choice(points=frozenset(found))
            tell = self._tell if verbosity else None
            counts = register.save(file, choice, tell)
        except (Points.DoesNotExist, WorkbookRefused) as problem:
            raise CommandError(str(problem)) from problem
        except OSError as problem:
            raise CommandError(f"{file} cannot be written: {problem.strerror}.") from problem
        if verbosity:
            self.stdout.write(f"{sum(counts.values())} rows on {len(counts)} sheets: {file}")

    def _tell(self, sheet: str, rows: int) -> None:
        self.stderr.write(f"{sheet}: {rows} rows")
