"""One table of everything that is measured: ``python -m tests.benchmarks``.

Each row is some work at one size: how long the program takes, how long its floor takes (the same
queries sent bare, the bare workbook library, the bare numerical library), and the ratio of the two.
Where a work is measured at two sizes, the exponent tells its growth: 0 does not grow, 1 grows with
the size, 2 with its square. The seconds are of the processor, for other work on the machine does
not lengthen those; on a busy machine they still vary by a third or so.

Pages are measured on invented railways of 100 and of 1,000 sets of points; ``--points 10000`` takes
another size instead of 1,000 and some minutes to grow it. ``--only pages|workbooks|arithmetic``.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from math import log
from pathlib import Path

from tests.benchmarks.arithmetic import Race, races
from tests.benchmarks.pages import MOST_QUERIES, MOST_SECONDS

ROOT = Path(__file__).resolve().parents[2]
SMALL, LARGE = 100, 1_000  # sets of points
ROWS = (2_000, 20_000)  # of a workbook of 25 columns


def pages(large: int, folder: Path) -> Iterator[tuple[Race, str]]:
    """Each page on two railways, with what it misses."""
    found: dict[str, list[tuple[Race, str]]] = {}
    for size in (SMALL, large):
        register = folder / str(size)
        register.mkdir()
        run("tests.tools.grow", str(register), f"--points={size}")
        for line in run("tests.benchmarks.pages", str(register), "--json").splitlines():
            row = json.loads(line)
            race = Race(f"page: {row['page']}", size, row["median"], row["floor"])
            missed = [f"{row['queries']} queries"]
            if row["processor"] > MOST_SECONDS:
                missed.append(f"over {MOST_SECONDS * 1000:.0f} ms")
            if row["queries"] > MOST_QUERIES:
                missed.append(f"over {MOST_QUERIES}")
            found.setdefault(row["page"], []).append((race, ", ".join(missed)))
    for rows in found.values():
        yield from rows


def workbooks() -> Iterator[Race]:
    """Writing and reading, by the program and by the library alone."""
    from tests.benchmarks import test_workbook_speed as speed

    for count in ROWS:
        (bare, ours), _ = speed.raced(
            lambda count=count: speed.write_bare(count), lambda count=count: speed.write_ours(count)
        )
        yield Race("workbook written", count, ours, bare)
    for count in ROWS:
        book = speed.write_ours(count)
        (bare, ours), _ = speed.raced(
            lambda book=book: speed.read_bare(book), lambda book=book: speed.read_ours(book)
        )
        yield Race("workbook read", count, ours, bare)


def run(module: str, *options: str) -> str:
    command = [sys.executable, "-W", "ignore", "-m", module, *options]
    return subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True).stdout


def growth(small: Race, large: Race) -> float:
    """The exponent of the time over the size."""
    return log(large.ours / small.ours) / log(large.size / small.size)


def tell(rows: Iterator[tuple[Race, str]]) -> None:
    before: Race | None = None
    for race, note in rows:
        ratio = f"{race.ours / race.bare:9.1f}" if race.bare else f"{'':9}"
        bare = f"{race.bare * 1000:11.2f}" if race.bare else f"{'':11}"
        same = before is not None and before.work == race.work
        grown = f"{growth(before, race):9.2f}" if same else f"{'':9}"
        print(
            f"{race.work:<36}{race.size:>9}{race.ours * 1000:>11.2f}{bare}{ratio}{grown}  {note}",
            flush=True,
        )
        before = race


def main() -> None:
    asked = argparse.ArgumentParser(
        prog="python -m tests.benchmarks",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    asked.add_argument("--points", type=int, default=LARGE, help="sets of points of the larger one")
    asked.add_argument("--only", choices=["pages", "workbooks", "arithmetic"])
    given = asked.parse_args()
    print(f"{'work':<36}{'size':>9}{'ours, ms':>11}{'floor, ms':>11}{'ratio':>9}{'growth':>9}")
    if given.only in (None, "arithmetic"):
        tell((race, "") for race in races())
    if given.only in (None, "workbooks"):
        tell((race, "") for race in workbooks())
    if given.only in (None, "pages"):
        with tempfile.TemporaryDirectory(prefix="benchmarks-") as folder:
            tell(pages(given.points, Path(folder)))


if __name__ == "__main__":
    main()
