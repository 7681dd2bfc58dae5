"""Fifty people at once, reading and writing: no error, no lost write, and how long they wait.

``python -m tests.benchmarks.load [--seconds 30] [--people 50] [--points 100]`` grows a railway in
a folder of its own (or in the database that DATABASE_URL names, which must be empty), serves it
with waitress on the loopback address and sends the people. Each looks at what came for a while
before asking again, by default 8 seconds on average, as people do. Bounded in people, time and
requests.
"""

import argparse
import os
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from uuid import uuid4

from tests.benchmarks.people import NotAnswered, Person, hidden
from tests.tools.grow import grow

ROOT = Path(__file__).resolve().parents[2]
MOST_SECONDS = 0.300  # waited, of 95 in 100 requests
MOST_PEOPLE, MOST_TIME = 200, 900
POSTS = ("signalling", "permanent way", "responsible engineer")


@dataclass
class Day:
    """What the people did: how long they waited, what failed, and what they were told is kept."""

    waits: list[tuple[str, float]] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    visits: list[str] = field(default_factory=list)  # client ids
    defects: list[str] = field(default_factory=list)  # titles
    remarks: list[str] = field(default_factory=list)  # notes


@dataclass(frozen=True)
class Railway:
    """What there is to open: addresses of points, tags of stretchers, numbers of defects."""

    points: list[str]
    tags: list[str]
    defects: list[int]


def a_person_works(port: int, session: str, railway: Railway, until: float, pause: float, day: Day):
    """One person's requests until the time is up; what is kept is noted as the answer comes."""
    chance = Random(session)
    person = Person(port, session)
    try:
        time.sleep(chance.uniform(0, pause))  # nobody arrives at the same moment
        while time.monotonic() < until:
            try:
                chance.choices(*zip(*DOINGS, strict=True))[0](person, railway, chance, day)
            except NotAnswered as problem:
                day.errors.append(str(problem))
            time.sleep(chance.uniform(0.5, 1.5) * pause)
    except Exception as problem:  # noqa: BLE001 - a person who is cut off is counted, whatever the cause
        day.errors.append(f"cut off: {type(problem).__name__}: {problem}")
    finally:
        day.waits.extend(person.waits)
        person.close()


def look_at_home(person, railway, chance, day):
    person.open("home", "/")


def look_at_points(person, railway, chance, day):
    person.open("points", chance.choice(railway.points))


def look_at_lists(person, railway, chance, day):
    lists = ("/points/", "/parts/stretcher/", "/visits/", "/defects/", "/visits/due/", "/limits/")
    person.open("a list", chance.choice(lists))


def look_at_a_queue(person, railway, chance, day):
    person.open("a queue", f"/defects/queue/{chance.choice(['signalling', 'permanent_way'])}/")


def look_at_a_part(person, railway, chance, day):
    person.open("a part", f"/parts/stretcher/{chance.choice(railway.tags)}/")


def record_a_visit(person, railway, chance, day):
    address = f"{chance.choice(railway.points)}inspect/"
    given = hidden(person.open("inspection form", address), action="data-key")
    openings = {
        f"r-switch_opening-toe--{lie}": str(chance.randint(104, 112))
        for lie in ("left_closed", "right_closed")
    }
    person.send("record a visit", address, {**given, **openings, "reason": "routine"})
    day.visits.append(given["client_id"])


def raise_a_defect(person, railway, chance, day):
    code, number = chance.choice(railway.points).split("/")[2:4]
    address = f"/defects/raise/?points={code}+{number}"
    given = hidden(person.open("defect form", address))
    title = f"Fishplate loose {uuid4()}"
    person.send("raise a defect", address, {**given, "title": title, "urgency": "planned"})
    day.defects.append(title)


def remark(person, railway, chance, day):
    number = chance.choice(railway.defects)
    page = person.open("defect", f"/defects/{number}/")
    address = f"/defects/{number}/move/comment/"
    note = f"Looked at again {uuid4()}"
    try:
        person.send("remark", address, {**hidden(page, action=address), "note": note})
    except NotAnswered as problem:
        if "answered 409" not in str(problem):  # somebody was quicker, and the person is told
            raise
        return
    day.remarks.append(note)


DOINGS = [
    (look_at_home, 22),
    (look_at_points, 22),
    (look_at_lists, 20),
    (look_at_a_queue, 8),
    (look_at_a_part, 8),
    (record_a_visit, 10),
    (raise_a_defect, 5),
    (remark, 5),
]


def spend_a_day(ports: list[int], sessions: list[str], seconds: float, pause: float) -> Day:
    """Sends people, each with a session, spread over the servers, for so long."""
    railway, day = read_railway(), Day()
    until = time.monotonic() + seconds
    threads = [
        threading.Thread(
            target=a_person_works,
            args=(ports[n % len(ports)], session, railway, until, pause, day),
        )
        for n, session in enumerate(sessions)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return day


def read_railway() -> Railway:
    from assets.models import Points, Stretcher
    from defects.models import Defect

    points = Points.objects.values_list("location__code", "number")[:2_000]
    return Railway(
        [f"/points/{code}/{number}/" for code, number in points],
        list(Stretcher.objects.values_list("tag", flat=True)[:2_000]),
        list(Defect.objects.open().values_list("number", flat=True)[:2_000]),
    )


def lost(day: Day) -> list[str]:
    """What a person was told is kept and is not there, or is there more than once."""
    from defects.models import Defect, Event
    from inspections.models import Inspection, Reading

    found = []
    visits = Counter(str(key) for key in Inspection.objects.values_list("client_id", flat=True))
    titles = Counter(Defect.objects.values_list("title", flat=True))
    notes = Counter(Event.objects.exclude(note="").values_list("note", flat=True))
    for kept, there in ((day.visits, visits), (day.defects, titles), (day.remarks, notes)):
        found += [f"{one}: {there[one]} times" for one in kept if there[one] != 1]
    readings = Reading.objects.filter(inspection__client_id__in=day.visits).count()
    if readings != 2 * len(day.visits):
        found.append(f"{readings} readings of {len(day.visits)} visits")
    return found


def make_people(count: int) -> list[str]:
    """Accounts, and a session of each. Logging in is slow on purpose, and not what is measured."""
    from tests.benchmarks.pages import client_of

    return [
        client_of(POSTS[number % len(POSTS)], f"person-{number}").cookies["sessionid"].value
        for number in range(count)
    ]


def serve(threads: int = 8) -> tuple[subprocess.Popen, int]:
    """A server of its own on a free port, once it answers."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    quiet = os.environ | {"LOG_LEVEL": "ERROR"}  # waitress warns of each request that waits
    command = [sys.executable, "-m", "django", "serve", f"--port={port}", f"--threads={threads}"]
    server = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, env=quiet)
    for _ in range(240):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/health/", timeout=5).read()
            return server, port
        except OSError:
            if server.poll() is not None:
                break
            time.sleep(0.25)
    server.kill()
    raise SystemExit("The server did not start.")


def stop(server: subprocess.Popen) -> None:
    server.terminate()
    server.wait(timeout=30)


def worked(server: subprocess.Popen) -> float:
    """Seconds of processor that a server has used; 0 where the system does not tell."""
    status = Path(f"/proc/{server.pid}/stat")
    if not status.exists():
        return 0.0
    fields = status.read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def at(waits: list[float], share: float) -> float:
    return sorted(waits)[min(len(waits) - 1, int(share * len(waits)))]


def tell(day: Day, seconds: float) -> None:
    by_doing = defaultdict(list)
    for what, waited in day.waits:
        by_doing[what].append(waited)
        by_doing["all"].append(waited)
    print(f"{'asked for':<18}{'times':>7}{'half':>9}{'95 in 100':>12}{'longest':>10}   ms")
    for what, waits in sorted(by_doing.items(), key=lambda pair: pair[0] == "all"):
        half, most, longest = at(waits, 0.5), at(waits, 0.95), max(waits)
        print(
            f"{what:<18}{len(waits):>7}{half * 1000:>9.0f}{most * 1000:>12.0f}"
            f"{longest * 1000:>10.0f}"
        )
    print(
        f"{len(day.waits) / seconds:.1f} requests a second; {len(day.visits)} visits, "
        f"{len(day.defects)} defects and {len(day.remarks)} remarks kept"
    )


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--people", type=int, default=50)
    asked.add_argument("--seconds", type=float, default=30)
    asked.add_argument("--pause", type=float, default=8, help="seconds a person looks, on average")
    asked.add_argument("--points", type=int, default=100, help="sets of points of the railway")
    asked.add_argument("--servers", type=int, default=1, help="servers on the one database")
    given = asked.parse_args()
    if given.people > MOST_PEOPLE or given.seconds > MOST_TIME:
        asked.error(f"at most {MOST_PEOPLE} people for {MOST_TIME} seconds")
    with tempfile.TemporaryDirectory(prefix="load-") as folder:
        grow(folder, given.points)
        return one_day(given, make_people(given.people))


def one_day(given, sessions: list[str]) -> int:
    from django.db import connection

    connection.close()
    servers = [serve() for _ in range(given.servers)]
    try:
        ports = [port for _, port in servers]
        for port in ports:
            spend_a_day([port], sessions[:4], 4, 0.05)  # templates and modules are loaded
        before = sum(worked(server) for server, _ in servers)
        day = spend_a_day(ports, sessions, given.seconds, given.pause)
        busy = sum(worked(server) for server, _ in servers) - before
    finally:
        for server, _ in servers:
            stop(server)
    print(f"{given.people} people for {given.seconds:g} s on {connection.vendor}")
    tell(day, given.seconds)
    missing = lost(day)
    for problem in [*day.errors, *missing][:20]:
        print(f"  {problem}")
    most = at([waited for _, waited in day.waits], 0.95)
    print(
        f"servers: {busy:.1f} s of processor, {busy / len(day.waits) * 1000:.0f} ms a request, "
        f"{busy / given.seconds * 100:.0f} in 100 of one core"
    )
    print(
        f"errors {len(day.errors)}, lost writes {len(missing)}, "
        f"95 in 100 within {most * 1000:.0f} ms (budget {MOST_SECONDS * 1000:.0f})"
    )
    return 1 if day.errors or missing or most > MOST_SECONDS else 0


if __name__ == "__main__":
    sys.exit(main())
