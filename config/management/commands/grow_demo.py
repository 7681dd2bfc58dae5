"""Makes a synthetic railway of any size in an empty register."""

from django.core.management.base import BaseCommand, CommandError

from config import growing


class Command(BaseCommand):
    help = "Makes an invented railway of any size, to measure the program by."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--points", type=int, default=100, help="sets of points")

    def handle(self, *, points: int, **options) -> None:
        if points < 1:
            raise CommandError("At least one set of points.")
        try:
            rows = growing.grow(points, self.stdout.write)
        except growing.NotEmptyError as problem:
            raise CommandError(str(problem)) from problem
        for kind, count in rows.items():
            self.stdout.write(f"{count:>9} {kind}")
