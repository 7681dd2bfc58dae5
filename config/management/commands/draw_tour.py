"""Draws the pictures of the README from the demo railway."""

from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from config import tour


class Command(BaseCommand):
    help = "Draws the README's pictures; needs HTTPS=off, the demo railway and Chromium."

    def add_arguments(self, parser) -> None:
        parser.add_argument("folder", type=Path, nargs="?", default=settings.BASE_DIR / "docs")

    def handle(self, *, folder: Path, **options) -> None:
        if settings.HTTPS:
            raise CommandError("Set HTTPS=off: the pictures are taken on the loopback address.")
        try:
            for path in tour.draw(folder):
                self.stdout.write(f"{path.name}: {path.stat().st_size // 1024} kB")
        except tour.TourFailed as problem:
            raise CommandError(str(problem)) from problem
