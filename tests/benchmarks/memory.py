"""Whether the server's memory stays flat: ``python -m tests.benchmarks.memory [--requests 10000]``.

A server of its own on an invented railway answers every everyday page in turn; its resident memory
is read after each tenth of the requests. The first tenth loads templates and libraries. Linux only.
"""

import argparse
import re
import sys
import tempfile
import time
from pathlib import Path
from random import Random

from tests.benchmarks.load import POSTS, make_people, serve, stop
from tests.benchmarks.pages import everyday_pages
from tests.benchmarks.people import Person
from tests.tools.grow import grow

MOST_REQUESTS = 100_000
MOST_GROWTH = 0.05  # of the memory after the first tenth


def resident(pid: int) -> float:
    """Memory of a process that is not swapped out, in MB."""
    status = Path(f"/proc/{pid}/status").read_text()
    return int(re.search(r"VmRSS:\s+(\d+) kB", status)[1]) / 1024


def watch(requests: int) -> list[float]:
    """Resident memory (MB) after each tenth of so many requests."""
    chance = Random(1884)
    asked = everyday_pages()
    sessions = dict(zip(POSTS, make_people(len(POSTS)), strict=True))
    server, port = serve()
    try:
        people = {post: Person(port, session) for post, session in sessions.items()}
        found = []
        for number in range(1, requests + 1):
            page = asked[number % len(asked)]
            people[page.post].open(page.page, page.address(chance))
            if number % (requests // 10) == 0:
                found.append(resident(server.pid))
                print(f"{number:>7} requests {found[-1]:8.1f} MB", flush=True)
        return found
    except OSError as problem:
        time.sleep(2)
        raise SystemExit(f"{problem}; the server ended with {server.poll()}") from problem
    finally:
        stop(server)


def main() -> int:
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("--requests", type=int, default=10_000)
    asked.add_argument("--points", type=int, default=100, help="sets of points of the railway")
    given = asked.parse_args()
    if not 10 <= given.requests <= MOST_REQUESTS:
        asked.error(f"between 10 and {MOST_REQUESTS} requests")
    with tempfile.TemporaryDirectory(prefix="memory-") as folder:
        grow(folder, given.points)
        found = watch(given.requests)
    growth = found[-1] / found[0] - 1
    print(
        f"grown by {growth * 100:.1f} in 100 since the first tenth (budget {MOST_GROWTH * 100:g})"
    )
    return 1 if growth > MOST_GROWTH else 0


if __name__ == "__main__":
    sys.exit(main())
