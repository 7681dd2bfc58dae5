"""``python -m tests.benchmarks.grown FOLDER POINTS``: an invented railway, trends followed."""

import sys
from io import StringIO

from tests.registers import make_register


def grow(folder: str, points: int) -> None:
    """Makes the register in a data folder as it is after a day of use."""
    make_register(folder)
    from django.core.management import call_command

    call_command("grow_demo", points=points, stdout=StringIO())


if __name__ == "__main__":
    grow(sys.argv[1], int(sys.argv[2]))
