"""``python -m tests.benchmarks.grown FOLDER POINTS``: an invented railway, trends followed."""

import sys
from io import StringIO

from tests.registers import make_register


def grow(folder: str, points: int) -> None:
    """Makes the register in a data folder as it is after a day of use."""
    make_register(folder)
    from django.core.management import call_command
    from django.utils import timezone

    from inspections import outlooks

    call_command("grow_demo", points=points, stdout=StringIO())
    while outlooks.keep_up(timezone.localdate(), most=1_000):
        pass


if __name__ == "__main__":
    grow(sys.argv[1], int(sys.argv[2]))
