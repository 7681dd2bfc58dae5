"""What the readings of a visit were taken with, and how sure that makes each of them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import prefetch_related_objects

from assets.engineering.assumed import Assumed
from assets.engineering.two_rails.certainty import Instrument as Reads
from assets.engineering.two_rails.certainty import reading_sigma_mm
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Inspection, Instrument, Reading
from inspections.words import QuantityCode

# By quantity: the railway's figure for how far two readings of it differ.
REPEATS = {
    QuantityCode.SWITCH_OPENING: "repeat_opening_mm",
    QuantityCode.FWC: "repeat_fwc_mm",
    QuantityCode.RESIDUAL_OPENING: "repeat_residual_mm",
    QuantityCode.CLOSED_GAP: "repeat_residual_mm",
    QuantityCode.FWP: "repeat_fwp_mm",
    QuantityCode.TRACK_GAUGE: "repeat_gauge_mm",
}


@dataclass(frozen=True)
class TakenWith:
    """The instruments of one visit, and the figures of the railway."""

    instruments: Sequence[Instrument]
    assumed: Assumed

    def used_for(self, reading: Reading) -> list[Instrument]:
        """The one stated for the reading, else all of the visit that take such a quantity."""
        if reading.instrument is not None:
            return [reading.instrument]
        kind = QUANTITIES[QuantityCode(reading.quantity)].instrument
        return [one for one in self.instruments if one.kind == kind]

    def sigma_mm(self, reading: Reading) -> float | None:
        """σ of a reading (mm) by the worst of its instruments; None where no figure of the railway
        says how far two readings of the quantity differ.

        What is not known of an instrument adds nothing to that figure, which stands alone where
        no instrument is recorded.
        """
        code = REPEATS.get(QuantityCode(reading.quantity))
        if code is None:
            return None
        repeat = getattr(self.assumed, code)
        with_each = (
            reading_sigma_mm(
                Reads(one.uncertainty or 0.0, one.resolution or 0.0, one.repeats), repeat
            )
            for one in self.used_for(reading)
        )
        return max(with_each, default=repeat)

    def sigma_words(self, reading: Reading) -> str:
        """ "± 0.6 mm", one σ; "" where there is no value, or no σ of it."""
        sigma = None if reading.value is None else self.sigma_mm(reading)
        return "" if sigma is None else f"± {sigma:.1f} mm"

    def past_check(self, readings: Collection[Reading], on: date) -> list[Instrument]:
        """Those used for these readings that were past their check on a day, as it is known now or
        was when they were recorded; one query."""
        marked = {one.instrument_id for one in readings if one.instrument_past_check}
        used = {one.pk: one for reading in readings for one in self.used_for(reading)}
        found = sorted(used.values(), key=lambda one: one.tag)
        prefetch_related_objects(found, "checks")
        return [one for one in found if one.pk in marked or one.past_check(on)]


def taken_with(
    visit: Inspection | None, readings: Collection[Reading], assumed: Assumed
) -> TakenWith:
    """Of these readings of a visit, read with their instruments; the visit's own are asked for
    only where a reading states none: one query."""
    unstated = visit and any(reading.instrument_id is None for reading in readings)
    return TakenWith(list(visit.instruments.all()) if unstated else (), assumed)
