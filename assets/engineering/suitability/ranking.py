"""Best first: the spares for a place, or the places for a spare."""

from collections.abc import Iterable

from assets.engineering.suitability.answers import Assessment

from ..facts import PositionFacts, StretcherFacts
from .rules import assess


def rank_spares(
    stretchers: Iterable[StretcherFacts], position: PositionFacts
) -> list[tuple[StretcherFacts, Assessment]]:
    """Each rod with what comes of offering it to the place, best first, then by tag."""
    offered = [(rod, assess(rod, position)) for rod in stretchers]
    return sorted(offered, key=lambda pair: (pair[1].key, pair[0].tag))


def rank_positions(
    stretcher: StretcherFacts, positions: Iterable[PositionFacts]
) -> list[tuple[PositionFacts, Assessment]]:
    """Each place with what comes of offering it the rod, best first, then by points and place."""
    offered = [(position, assess(stretcher, position)) for position in positions]
    return sorted(offered, key=lambda pair: (pair[1].key, pair[0].points.key, pair[0].order))
