"""What a new register starts with: rails, switch designs, wheels, example limits, routes.

The railway's own rows always win: what is there already, under the same code or for the same
limit, is left as it stands.
"""

import json
from datetime import date
from pathlib import Path

from django.conf import settings
from django.db import transaction

from assets.models import RailSection, SwitchDesign, WheelStandard
from defects.models import Route
from defects.routing import routing
from inspections.models import Limit, Regime
from inspections.models.limits import SCOPE_FIELDS

DELIVERED = Path(settings.BASE_DIR) / "fixtures" / "reference.json"


@transaction.atomic
def load() -> dict[str, int]:
    """Adds what is missing; how many rows of each kind were added."""
    given = json.loads(DELIVERED.read_text(encoding="utf-8"))
    first_day = date.fromisoformat(given["limits_effective_from"])
    routes_before = Route.objects.count()
    routing.deliver()
    return {
        "rail sections": _add_missing(RailSection, given["rail_sections"]),
        "switch designs": _add_missing(SwitchDesign, given["switch_designs"]),
        "wheel standards": _add_missing(WheelStandard, given["wheel_standards"], key="name"),
        "example test regimes": _add_missing(Regime, given["test_regimes"], key="name"),
        "example limits": sum(add_limit(row, first_day) for row in given["limits"]),
        "routes": Route.objects.count() - routes_before,
    }


def _add_missing(model, rows: list[dict], key: str = "code") -> int:
    have = set(model.objects.values_list(key, flat=True))
    missing = [model(**row) for row in rows if row[key] not in have]
    for thing in missing:
        thing.full_clean()
        thing.save()
    return len(missing)


def add_limit(row: dict, first_day: date) -> bool:
    """Adds a limit unless one of that quantity, level and scope was ever set; whether it did."""
    targets = {
        "rail_section": lambda code: RailSection.objects.get(code=code),
        "design": lambda code: SwitchDesign.objects.get(code=code),
    }
    fields = {
        name: targets[name](value) if name in targets else value for name, value in row.items()
    }
    limit = Limit(effective_from=first_day, **fields)
    same = {name: getattr(limit, name) for name in ("quantity", "level", "scope", *SCOPE_FIELDS)}
    if Limit.objects.filter(**same).exists():
        return False
    limit.full_clean()
    limit.save()
    return True
