"""``python -m tests.tools.grow FOLDER --points 10000``: an invented railway to measure by.

It is made in a data folder of its own, or in the empty database that DATABASE_URL names.
"""

import argparse
from collections.abc import Callable
from pathlib import Path

from tests.registers import make_register


def grow(folder: Path | str, points: int, tell: Callable[[str], None] = lambda line: None) -> None:
    """Makes the register in a data folder as it is after a day of use: trends are followed.

    Raises NotEmptyError for a register that holds a railway.
    """
    make_register(folder)
    from tests.tools import invented_railway

    for kind, count in invented_railway.grow(points, tell).items():
        tell(f"{count:>9} {kind}")


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.tools.grow", description=__doc__)
    asked.add_argument("folder", type=Path, help="the data folder; made if it is not there")
    asked.add_argument("--points", type=int, default=100, help="sets of points")
    given = asked.parse_args()
    if given.points < 1:
        asked.error("at least one set of points")
    given.folder.mkdir(parents=True, exist_ok=True)
    grow(given.folder, given.points, print)


if __name__ == "__main__":
    main()
