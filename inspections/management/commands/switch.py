"""What the open switch does between the stretchers, and which nut to turn.

manage.py switch --points "SKB 12" [--whatif "2:-4"] [--json]
"""

import json

from django.core.management.base import BaseCommand, CommandError

from assets.engineering.cannot_say import CannotSay
from assets.engineering.figures import FigureRefused, figure, whole
from assets.engineering.report import report, what_if
from assets.engineering.thousandths import thousandths
from assets.engineering.two_rails.held_lengths import HeldThen
from assets.models import Points
from inspections.latest.open_switch import read_points
from inspections.upcoming.held import doubted, held_history, sentences, steps


class Command(BaseCommand):
    help = "Smallest free wheel clearance on each lie, disagreeing stretchers and the adjustment."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--points", required=True, help='like "SKB 12"')
        parser.add_argument(
            "--whatif",
            default="",
            help='stretchers altered, as "stretcher:mm" with + longer and - shorter, separated by '
            'commas: "2:-4,3:+1.5"',
        )
        parser.add_argument("--json", action="store_true", help="as JSON, on standard output")

    def handle(self, *, points, whatif, **options) -> None:
        try:
            found = Points.objects.with_places().by_key(points)
        except Points.DoesNotExist as problem:
            raise CommandError(str(problem)) from problem
        read = read_points(found)
        changes = _changes(whatif)
        history = held_history(found, read.facts)
        moved = steps(found, history)
        against = [
            f"{one} Measure again." for one in sentences(doubted(moved, history), read.facts)
        ]
        try:
            result = what_if(read.facts, changes) if changes else report(read.facts, against)
        except CannotSay as lacking:
            raise CommandError(str(lacking)) from lacking
        if options["json"]:
            answer = result.as_dict()
            for rod in answer["rods"]:
                rod["held_mm_history"] = [_held(one) for one in history.get(rod["order"], [])]
            answer["points"] = found.key
            answer["visit"] = read.visit.at.isoformat() if read.visit else None
            answer["changed_since"] = list(read.changed_since)
            answer["steps"] = sentences(moved, read.facts)
            self.stdout.write(json.dumps(answer, ensure_ascii=False, indent=1))
        else:
            self._print(result, read, sentences(moved, read.facts))

    def _print(self, result, read, moved) -> None:
        for lie in result.lies:
            if lie.least_fwc is None:
                self.stdout.write(f"{lie.lie.label}: {lie.words}")
                continue
            margin = "" if lie.wheel_margin is None else f", wheels {lie.wheel_margin.mm:+.1f} mm"
            self.stdout.write(
                f"{lie.lie.label}: least clearance {lie.least_fwc.mm:.1f} mm at "
                f"{lie.least_fwc.at_mm:.0f} mm from the toe{margin}: {lie.words}"
            )
        for rod in result.rods:
            if rod.finding:
                self.stdout.write(rod.finding)
        if result.advice is not None:
            self.stdout.write(result.advice.text)
        if result.answers.measure_next is not None:
            self.stdout.write(f"Too close to call. {result.answers.measure_next.why}")
        for sentence in [*result.missing, *read.changed_since, *moved]:
            self.stdout.write(f"To find out: {sentence}")


def _held(then: HeldThen) -> dict:
    held = then.held
    at = then.at.isoformat()
    return {"at": at, "mm": thousandths(held.mm), "sigma_mm": thousandths(held.sigma_mm)}


def _changes(text: str) -> dict[int, float]:
    """ "2:-4,3:+1.5" as {2: -4.0, 3: 1.5}; CommandError where it is written otherwise."""
    changes = {}
    for part in filter(None, (part.strip() for part in text.split(","))):
        order, colon, change = part.partition(":")
        if not colon:
            raise CommandError(
                f'"{part}" is not a change: write the stretcher, a colon and millimetres, '
                'like "2:-4".'
            )
        try:
            changes[whole(order, "")] = figure(change, "mm")
        except FigureRefused as problem:
            raise CommandError(f"{part}: {problem}") from None
    return changes
