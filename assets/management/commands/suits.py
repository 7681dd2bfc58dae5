"""What suits a place, and where could a rod go? For the shell and for other programs.

manage.py suits --points "SKB 12" --position 2 [--part ST-014] [--json]
manage.py suits --part ST-014 [--json]
"""

import json

from django.core.management.base import BaseCommand, CommandError

from assets import suiting
from assets.models import Points, Position, Stretcher


class Command(BaseCommand):
    help = "Ranks the spares for a place, or the places for a stretcher, best first."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--points", help='location code and number, like "SKB 12"')
        parser.add_argument(
            "--position", type=int, help="0 for the lock stretcher's place, then 1, 2 ..."
        )
        parser.add_argument("--part", help="tag of a stretcher")
        parser.add_argument("--json", action="store_true", help="as JSON, on standard output")

    def handle(self, *, points, position, part, **options) -> None:
        if not points and not part:
            raise CommandError("Give --points with --position, or --part, or all three.")
        if bool(points) != (position is not None):
            raise CommandError("--points and --position go together.")
        try:
            offers = self._offers(points, position, part)
        except (Points.DoesNotExist, Position.DoesNotExist, Stretcher.DoesNotExist) as problem:
            raise CommandError(str(problem)) from problem
        if options["json"]:
            candidates = [as_dict(offer) for offer in offers]
            self.stdout.write(json.dumps({"candidates": candidates}, ensure_ascii=False, indent=1))
        else:
            self._print(offers)

    def _offers(self, points, position, part) -> list[suiting.Offer]:
        rod = Stretcher.objects.by_tag(part) if part else None
        if points is None:
            return suiting.places_for(rod)
        place = Position.objects.at(Points.objects.by_key(points), position)
        return suiting.spares_for(place, None if rod is None else [rod])

    def _print(self, offers) -> None:
        for offer in offers:
            self.stdout.write(
                f"{offer.stretcher.tag} at {offer.points.key} position {offer.position.order}: "
                f"{offer.assessment.outcome.label}"
            )
            for finding in offer.assessment.findings:
                if finding.outcome != "suits":
                    remedy = f" -> {finding.remedy}" if finding.remedy else ""
                    self.stdout.write(f"    {finding.rule}: {finding.reason}{remedy}")
        if not offers:
            self.stdout.write("Nothing to offer.")


def as_dict(offer: suiting.Offer) -> dict:
    """One candidate as it stands in the JSON."""
    return {
        "part": offer.stretcher.tag,
        "points": offer.points.key,
        "position": offer.position.order,
        "outcome": offer.assessment.outcome.value,
        "findings": [
            {
                "rule": finding.rule,
                "outcome": finding.outcome.value,
                "reason": finding.reason,
                "remedy": finding.remedy,
                "source": finding.source,
            }
            for finding in offer.assessment.findings
        ],
    }
