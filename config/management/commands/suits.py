"""What suits a place, and where could a part go? For the shell and for other programs.

manage.py suits --points "SKB 12" --position 2 [--part ST-014] [--json]
manage.py suits --points "SKB 12" --position 1 --kind machine [--json]
manage.py suits --part MC-003 [--json]
"""

import json

from django.core.exceptions import ObjectDoesNotExist
from django.core.management.base import BaseCommand, CommandError

from assets.kinds import BY_FIELD, KINDS
from assets.models import Points, Position
from config.suiting import suits


class Command(BaseCommand):
    help = "Ranks the spares for a place, or the places for a part, best first."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--points", help='location code and number, like "SKB 12"')
        parser.add_argument(
            "--position", type=int, help="0 for the lock stretcher's place, then 1, 2 ..."
        )
        parser.add_argument("--part", help="tag of a part")
        parser.add_argument(
            "--kind",
            choices=list(BY_FIELD),
            help="kind of part: of the spares (a stretcher unless said), or of the one tagged",
        )
        parser.add_argument("--json", action="store_true", help="as JSON, on standard output")

    def handle(self, *, points, position, part, kind, **options) -> None:
        if not points and not part:
            raise CommandError("Give --points with --position, or --part, or all three.")
        if bool(points) != (position is not None):
            raise CommandError("--points and --position go together.")
        try:
            offers = self._offers(points, position, part, kind)
        except ObjectDoesNotExist as problem:
            raise CommandError(str(problem)) from problem
        if options["json"]:
            candidates = [as_dict(offer) for offer in offers]
            self.stdout.write(json.dumps({"candidates": candidates}, ensure_ascii=False, indent=1))
        else:
            self._print(offers)

    def _offers(self, points, position, tag, kind) -> list[suits.Offer]:
        part = part_tagged(tag, kind) if tag else None
        if points is None:
            return suits.places_for(part)
        place = Position.objects.at(Points.objects.by_key(points), position)
        if part is None:
            return suits.spares_for(place, kind=kind or "stretcher")
        return suits.spares_for(place, [part])

    def _print(self, offers) -> None:
        for offer in offers:
            self.stdout.write(
                f"{offer.part.tag} at {offer.points.key} position {offer.position.order}: "
                f"{offer.assessment.outcome.label}"
            )
            for answer in offer.assessment.answers:
                if answer.outcome != "suits":
                    remedy = f" -> {answer.remedy}" if answer.remedy else ""
                    self.stdout.write(f"    {answer.rule}: {answer.reason}{remedy}")
        if not offers:
            self.stdout.write("Nothing to offer.")


def part_tagged(tag: str, kind: str | None):
    """The part with this tag, of a kind or of any; a tag is given once in each kind."""
    if kind:
        return BY_FIELD[kind].model.objects.by_tag(tag)
    written = " ".join(tag.split())
    found = [part for one in KINDS for part in one.model.objects.filter(tag__iexact=written)]
    if len(found) > 1:
        kinds = " and ".join(f"a {part.kind_name}" for part in found)
        raise CommandError(f"{tag!r} is the tag of {kinds}: say which with --kind.")
    if not found:
        rod, *others = (one.name for one in KINDS)
        raise CommandError(
            f"There is no {rod} {tag!r} in the register, nor a {' or '.join(others)} of that tag."
        )
    return found[0]


def as_dict(offer: suits.Offer) -> dict:
    """One candidate as it stands in the JSON."""
    return {
        "part": offer.part.tag,
        "points": offer.points.key,
        "position": offer.position.order,
        "outcome": offer.assessment.outcome.value,
        "findings": [
            {
                "rule": answer.rule,
                "outcome": answer.outcome.value,
                "reason": answer.reason,
                "remedy": answer.remedy,
                "source": answer.source,
            }
            for answer in offer.assessment.answers
        ],
    }
