"""Looks through the register for what is wrong by the records alone; raises it when asked."""

import json

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from assets.models import Points
from config.today import register_check
from config.today.register_check import Checked


class Command(BaseCommand):
    help = (
        "Lists mixed insulation, kickers missing, too few stretchers, shoes that do not match, "
        "overdue inspections and cracked parts that are fitted. Nothing is raised without --raise."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("--points", help='only these points, like "SKB 12"')
        parser.add_argument(
            "--raise", action="store_true", dest="raise_them", help="raise what is not open yet"
        )
        parser.add_argument("--json", action="store_true", help="write JSON")

    def handle(self, **options) -> None:
        at = timezone.now()
        found = register_check.check_register(at, self._points(options["points"]))
        raised = register_check.raise_found(found, at=at) if options["raise_them"] else []
        if options["json"]:
            said = {
                "found": [_as_json(one) for one in found],
                "raised": [defect.number for defect in raised],
            }
            self.stdout.write(json.dumps(said, indent=1, ensure_ascii=False))
            return
        for one in found:
            self.stdout.write(_as_line(one))
        for defect in raised:
            self.stdout.write(f"Raised: {defect}")
        certain = sum(one.certain for one in found)
        self.stdout.write(
            f"{certain} found, {len(found) - certain} cannot tell, {len(raised)} raised."
        )

    def _points(self, key: str | None) -> list[Points] | None:
        if not key:
            return None
        try:
            return [Points.objects.with_places().by_key(key)]
        except Points.DoesNotExist as problem:
            raise CommandError(str(problem)) from problem


def _as_line(one: Checked) -> str:
    place = one.position or one.points
    known = f" (open as defect {one.open_defect.number})" if one.open_defect else ""
    return f"{place}: {one.check.label}: {one.reason}{known}"


def _as_json(one: Checked) -> dict:
    return {
        "check": one.check.value,
        "points": one.points.key,
        "position": one.position.order if one.position else None,
        "certain": one.certain,
        "reason": one.reason,
        "defect": one.open_defect.number if one.open_defect else None,
    }
