"""Every everyday page, asked for again and again on varied things: seconds, queries, bytes.

``python -m tests.benchmarks.pages FOLDER`` measures a register that stands in a data folder, with
Django's own client: what is timed is the program, not the transport. The seconds are those of the
processor as well as of the clock, for other work on the machine lengthens only the latter.
"""

import argparse
import gc
import json
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from random import Random
from time import perf_counter, process_time

from tests.registers import set_up

TIMES = 30
PERCENTILE = 0.95
MOST_SECONDS = 0.150  # on the server, of 95 in 100 requests
MOST_QUERIES = 30  # of the page of one set of points, with all that is known of it


@dataclass(frozen=True)
class Figure:
    """One page on one register; the seconds are of 95 in 100 requests."""

    page: str
    seconds: float  # by the clock
    processor: float  # seconds
    median: float  # seconds of the processor
    queries: int  # most of any request
    size: int  # bytes, most of any answer
    floor: float  # seconds of the processor: the queries of one request sent bare, rows fetched


@dataclass(frozen=True)
class Asked:
    """A page with the post of who asks for it; ``address`` gives another one each time."""

    page: str
    post: str
    address: Callable[[Random], str]


def everyday_pages() -> list[Asked]:
    """The pages that people open day by day, each with a way to vary what it shows."""
    from assets.models import Location, Points, Position, Stretcher
    from defects.models import Defect
    from inspections.models import Inspection

    points = [
        f"/points/{code}/{number}/"
        for code, number in Points.objects.values_list("location__code", "number")
    ]
    places = [
        f"/points/{code}/{number}/{order}/"
        for code, number, order in Position.objects.values_list(
            "points__location__code", "points__number", "order"
        )
    ]
    codes = list(Location.objects.values_list("code", "pk"))
    tags = list(Stretcher.objects.values_list("tag", flat=True))
    defects = list(Defect.objects.values_list("number", flat=True))
    visits = list(Inspection.objects.values_list("pk", flat=True))
    pages = max(1, len(points) // 50)

    def page(base: str, rows: int) -> Callable[[Random], str]:
        most = max(1, rows // 50)
        return lambda chance: f"{base}page={chance.randint(1, most)}"

    def always(address: str) -> Callable[[Random], str]:
        return lambda chance: address

    def of_points(rest: str = "") -> Callable[[Random], str]:
        return lambda chance: chance.choice(points) + rest

    technician, ganger, engineer = "signalling", "permanent way", "responsible engineer"
    return [
        Asked("home, signalling", technician, always("/")),
        Asked("home, permanent way", ganger, always("/")),
        Asked("home, engineer", engineer, always("/")),
        Asked("points list", technician, page("/points/?", pages * 50)),
        Asked(
            "points list, one location",
            technician,
            lambda chance: f"/points/?location={chance.choice(codes)[1]}",
        ),
        Asked(
            "points list, searched",
            technician,
            lambda chance: f"/points/?search={chance.choice(codes)[0]}",
        ),
        Asked("points list, out of use", technician, always("/points/?service_state=out_of_use")),
        Asked("points list, a place empty", technician, always("/points/?empty_place=true")),
        Asked("points", technician, of_points()),
        Asked("plan", technician, of_points("plan/")),
        Asked("stretchers", technician, page("/parts/stretcher/?", len(tags))),
        Asked("spares in the store", technician, always("/parts/stretcher/?where=spare")),
        Asked(
            "stretchers, searched",
            technician,
            lambda chance: f"/parts/stretcher/?search={chance.choice(tags)}",
        ),
        Asked("part", technician, lambda chance: f"/parts/stretcher/{chance.choice(tags)}/"),
        Asked("what suits this place", technician, lambda c: f"{c.choice(places)}suits/"),
        Asked(
            "where could this part go",
            technician,
            lambda chance: f"/parts/stretcher/{chance.choice(tags)}/suits/",
        ),
        Asked("table of spares", technician, always("/spares/")),
        Asked("inspection form", technician, of_points("inspect/")),
        Asked("switch arithmetic", technician, of_points("switch/")),
        Asked("trend of one place", technician, of_points("trend/")),
        Asked("visits", technician, page("/visits/?", len(visits))),
        Asked("visits, something out", technician, always("/visits/?found=out")),
        Asked("visit", technician, lambda chance: f"/visits/{chance.choice(visits)}/"),
        Asked("what is due", technician, always("/visits/due/")),
        Asked("what reaches a limit", technician, always("/visits/trends/")),
        Asked("limits", engineer, always("/limits/")),
        Asked("defects", technician, page("/defects/?", len(defects))),
        Asked("defects, searched", technician, always("/defects/?search=wheel")),
        Asked("queue, signalling", technician, always("/defects/queue/signalling/")),
        Asked("queue, permanent way", ganger, always("/defects/queue/permanent_way/")),
        Asked("defect", ganger, lambda chance: f"/defects/{chance.choice(defects)}/"),
        Asked(
            "raising a defect",
            technician,
            lambda chance: (
                "/defects/raise/?points=" + chance.choice(points)[8:-1].replace("/", "+")
            ),
        ),
        Asked("handover note", technician, of_points("handover/")),
        Asked("register check", engineer, always("/register-check/")),
        Asked("workbook", technician, always("/workbook/")),
    ]


def measure(times: int = TIMES, only: str = "") -> Iterator[Figure]:
    """The figures of each page on the register that the settings point at."""
    from django.db import connection
    from django.test import Client

    chance = Random(1884)
    clients: dict[str, Client] = {}
    pages = everyday_pages()
    gc.collect()
    gc.freeze()  # the lists of addresses are ours, not the program's: no request sweeps them
    for asked in pages:
        if only not in asked.page:
            continue
        client = clients.setdefault(asked.post, client_of(asked.post))
        clock, processor, queries, size = [], [], 0, 0
        for number in range(times + 1):
            counter = Queries()
            address = asked.address(chance)
            with connection.execute_wrapper(counter):
                began, worked = perf_counter(), process_time()
                answer = client.get(address)
                # A streamed answer is not drawn before it is read.
                length = len(answer.getvalue() if answer.streaming else answer.content)
            if answer.status_code != 200:
                raise AssertionError(f"{address} answered {answer.status_code}")
            if number:  # the first draws templates and loads modules
                clock.append(perf_counter() - began)
                processor.append(process_time() - worked)
                queries, size = max(queries, len(counter.sent)), max(size, length)
        floor = counter.seconds_bare()
        yield Figure(asked.page, at(clock), at(processor), at(processor, 0.5), queries, size, floor)


class Queries:
    """The queries that pass, to be counted and to be sent once more without the program."""

    def __init__(self):
        self.sent: list[tuple[str, tuple]] = []

    def __call__(self, execute, sql, params, many, context):
        self.sent.append((sql, tuple(params or ())))
        return execute(sql, params, many, context)

    def seconds_bare(self) -> float:
        """Processor seconds of the database driver alone for the same rows; the best of three."""
        from django.db import connection

        cursor = connection.connection.cursor()
        runs = []
        for _ in range(3):
            began = process_time()
            for sql, params in self.sent:
                if not sql.startswith("SELECT"):
                    continue
                if connection.vendor == "sqlite":
                    sql = sql.replace("%s", "?").replace("%%", "%")
                cursor.execute(sql, params)
                cursor.fetchall()
            runs.append(process_time() - began)
        return min(runs)


def at(values: list[float], share: float = PERCENTILE) -> float:
    """The value that this share of them does not pass."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def client_of(post: str, name: str = ""):
    """A client logged in as somebody holding this post."""
    from django.test import Client

    from tests.builders import make_user

    client = Client()
    client.force_login(
        make_user(name or post.replace(" ", "-"), post, "Lineman A"),
        backend="django.contrib.auth.backends.ModelBackend",
    )
    return client


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", help="data folder that holds the register")
    asked.add_argument("--times", type=int, default=TIMES)
    asked.add_argument("--only", default="", help="pages whose name has this in it")
    asked.add_argument("--json", action="store_true", help="a line of JSON for each page")
    given = asked.parse_args()
    set_up(given.folder)
    for figure in measure(given.times, given.only):
        if given.json:
            print(json.dumps(asdict(figure)), flush=True)
            continue
        missed = figure.processor > MOST_SECONDS or figure.queries > MOST_QUERIES
        print(
            f"{figure.page:<28}{figure.seconds * 1000:9.1f} ms clock"
            f"{figure.processor * 1000:9.1f} ms processor"
            f"{figure.queries:4} queries{figure.size / 1000:8.0f} kB{'  MISSED' if missed else ''}",
            flush=True,
        )


if __name__ == "__main__":
    sys.exit(main())
