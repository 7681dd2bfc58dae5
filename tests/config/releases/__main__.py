"""Keeps the register of a release; ``fill`` and ``facts`` are steps in processes of their own."""

import json
import os
import sys
from datetime import date, timedelta

from . import keep


def main() -> None:
    match sys.argv[1:]:
        case ["keep", version]:
            keep(version)
        case ["fill"]:
            _start()
            fill()
        case ["facts"]:
            _start()
            print(json.dumps(facts(), ensure_ascii=False))
        case _:
            sys.exit("python -m tests.config.releases keep VERSION")


def _start() -> None:
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()


def fill() -> None:
    """One set of points with three rods, a fitting undone, and a defect mended and measured."""
    from django.contrib.auth import get_user_model

    from assets.fitting import take_out
    from defects.moves import moves
    from tests import builders

    technician = builders.make_user("technician", "signalling", "Lineman A")
    builders.make_user("engineer", "responsible engineer", "Engineer C")
    points = builders.make_rigged_points("12")
    place = builders.make_position(points, 3)
    spare = builders.make_fitting(builders.make_stretcher("ST-099"), place)
    take_out(spare, on=date(2025, 4, 1), by="Lineman A", reason="Thread stripped.")
    raised, done, later = (builders.noon(2026, 5, day) for day in (4, 6, 8))
    low = builders.make_fwc_visit(points, raised, 46.0)
    defect = builders.make_defect(reading=low.readings.get(), user=technician, at=raised)
    defect = moves.accept(defect, user=technician, at=raised)
    defect = moves.work_done(defect, user=technician, at=done, note="Back stretcher reset.")
    good = builders.make_fwc_visit(points, later, 55.0)
    moves.close(defect, user=technician, at=later, reading=good.readings.get())
    builders.make_defect(points, user=technician, at=later, title="Timber fouls the rod")
    looks = [("ballast", points.positions.get(order=1), "good")]
    builders.make_visit(points, later + timedelta(hours=1), looks=looks)
    get_user_model().objects.update(password="!")  # nobody signs in to a register kept as data


def facts() -> dict:
    """All that a railway would miss."""
    from django.db import connection
    from django.test import Client

    from assets.models import Fitting, Points, RailSection, Stretcher
    from defects.models import Defect, Route
    from inspections.models import Examination, Limit, Reading
    from tests import builders

    client = Client(headers={"host": "localhost"})
    client.force_login(builders.make_user("engineer"))
    number = Defect.objects.order_by("number").first().number
    pages = ("/", "/points/SKB/12/", "/points/SKB/12/inspect/", "/visits/", f"/defects/{number}/")
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        integrity = cursor.fetchone()[0]
        cursor.execute("PRAGMA foreign_key_check")
        dangling = len(cursor.fetchall())
    return {
        "integrity": integrity,
        "dangling": dangling,
        "points": [points.key for points in Points.objects.order_by("pk")],
        "stretchers": sorted(Stretcher.objects.values_list("tag", flat=True)),
        "fittings": [
            [fitting.part.tag, fitting.position.order, fitting.taken_out_on is None]
            for fitting in Fitting.objects.order_by("pk")
        ],
        "rail sections": RailSection.objects.count(),
        "limits": Limit.objects.count(),
        "routes": Route.objects.count(),
        "readings": [
            [reading.quantity, reading.value, reading.verdict]
            for reading in Reading.objects.order_by("pk")
        ],
        "examinations": [[look.item, look.found] for look in Examination.objects.order_by("pk")],
        "defects": [
            [one.title, one.state, [event.move for event in one.events.order_by("pk")]]
            for one in Defect.objects.order_by("number")
        ],
        "pages": {page: client.get(page).status_code for page in pages},
    }


if __name__ == "__main__":
    main()
