"""What the open switch does between the stretchers, and which nut to turn.

manage.py switch --points "SKB 12" [--whatif "2:-4"] [--may] [--json]
"""

import json

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from assets.engineering.cannot_say import CannotSay
from assets.engineering.figures import FigureRefused, figure, whole
from assets.engineering.report import report, what_if
from assets.engineering.thousandths import thousandths
from assets.engineering.two_rails.held_lengths import HeldThen
from assets.models import Points
from config.points.switch_reader import known_switch


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
        parser.add_argument(
            "--may", action="store_true", help="also what could be turned though nothing must be"
        )
        parser.add_argument("--json", action="store_true", help="as JSON, on standard output")

    def handle(self, *, points, whatif, may, **options) -> None:
        try:
            found = Points.objects.with_places().by_key(points)
        except Points.DoesNotExist as problem:
            raise CommandError(str(problem)) from problem
        known = known_switch(found, timezone.localdate())
        read = known.read
        changes = _changes(whatif)
        against = [*known.outdated, *known.doubts]
        try:
            result = what_if(read.facts, changes) if changes else report(read.facts, against, may)
        except CannotSay as lacking:
            raise CommandError(str(lacking)) from lacking
        if options["json"]:
            answer = result.as_dict()
            for rod in answer["rods"]:
                then = known.held.history.get(rod["order"], [])
                rod["held_mm_history"] = [_held(one) for one in then]
            answer["points"] = found.key
            answer["visit"] = read.visit.at.isoformat() if read.visit else None
            answer["changed_since"] = list(known.outdated)
            answer["steps"] = known.steps
            self.stdout.write(json.dumps(answer, ensure_ascii=False, indent=1))
        else:
            self._print(result, known)

    def _print(self, result, known) -> None:
        for lie in result.lies:
            if lie.least_fwc is None:
                self.stdout.write(f"{lie.lie.label}: {lie.words}")
                continue
            margin = "" if lie.wheel_margin is None else f", wheels {lie.wheel_margin.mm:+.1f} mm"
            self.stdout.write(
                f"{lie.lie.label}: least clearance {_mm(lie.least_fwc_range_mm)} at "
                f"{lie.least_fwc.at_mm:.0f} mm from the toe{margin}: {lie.words}"
            )
        for rod in result.rods:
            if rod.finding:
                self.stdout.write(rod.finding)
        if result.advice is not None:
            self.stdout.write(result.advice.text)
        if result.answers.measure_next is not None:
            self.stdout.write(f"Too close to call. {result.answers.measure_next.why}")
        for sentence in dict.fromkeys([*result.missing, *known.outdated, *known.steps]):
            self.stdout.write(f"To find out: {sentence}")


def _mm(between: tuple[float, float]) -> str:
    """ "51.2 mm", or "51.2 to 53.0 mm" where it depends on what is not known."""
    told = dict.fromkeys(f"{mm:.1f}" for mm in between)
    return f"{' to '.join(told)} mm"


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
