"""Choosing the railway's regime for lock and detection tests."""

from datetime import date

from django.db import transaction

from inspections.catalogue.trials import MUST
from inspections.models import Limit, Regime
from inspections.words import Scope


@transaction.atomic
def put_in_force(regime: Regime, on: date) -> list[Limit]:
    """Makes it the one in force, and adds limits for those of its tests that never had any.

    A test that no limit judges would find nothing; the limits added are not confirmed.
    """
    for other in Regime.objects.filter(in_force=True).exclude(pk=regime.pk):
        end(other)
    regime.in_force = True
    regime.save()
    added = []
    for code in regime.trials:
        if Limit.objects.filter(quantity=code.value, scope=Scope.RAILWAY.value).exists():
            continue
        bound = {"minimum": 1} if code in MUST else {"maximum": 0}
        limit = Limit(quantity=code.value, source=regime.source, effective_from=on, **bound)
        limit.full_clean()
        limit.save()
        added.append(limit)
    return added


def end(regime: Regime) -> None:
    regime.in_force = False
    regime.save()
