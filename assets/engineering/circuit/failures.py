"""Which insulations would have to fail before the rails are joined."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise, product

from .joints import LEFT_RAIL, RIGHT_RAIL, Arrangement, Joint

Sets = tuple[tuple[str, ...], ...]


def failures(drawn: Arrangement) -> tuple[Sets, bool]:
    """Every smallest set of failing insulations, open questions answered the unkindest way.

    The second value tells whether every other way of answering gives the same sets.
    """
    if drawn.bridged is not False:
        return (), drawn.bridged is True
    worst = [smallest_failures(joints) for joints in _settled(drawn, -1)]
    fewest = min((len(sets[0]) for sets in worst if sets), default=0)
    found = {names for sets in worst for names in sets if len(names) == fewest}
    told = tuple(sorted(found))
    exact = all(sets == told for sets in worst)
    return told, exact and all(smallest_failures(joints) == told for joints in _settled(drawn, 0))


def _settled(drawn: Arrangement, extreme: int) -> Iterator[tuple[Joint, ...]]:
    """The joints with each question answered at one extreme, or either way where there is none."""
    asked = [q.answers if q.either else (q.answers[extreme],) for q in drawn.questions]
    for answers in product(*asked):
        yield drawn.joints + tuple(joint for answer in answers for joint in answer.joints)


def smallest_failures(joints: tuple[Joint, ...]) -> Sets:
    """Every smallest set of insulations whose failure would join the rails, sorted.

    Parts joined by bare metal are one lump; a smallest set is then a shortest way from lump to
    lump. Empty where no number of failures would join the rails, or where they are joined now.
    """
    import networkx as nx

    bare = nx.Graph()
    bare.add_nodes_from((LEFT_RAIL, RIGHT_RAIL))
    for joint in joints:
        bare.add_nodes_from((joint.one, joint.other))
        if not joint.insulation:
            bare.add_edge(joint.one, joint.other)
    lump = {part: i for i, parts in enumerate(nx.connected_components(bare)) for part in parts}
    between: defaultdict[frozenset[int], set[str]] = defaultdict(set)
    for joint in joints:
        if joint.insulation and lump[joint.one] != lump[joint.other]:
            between[frozenset((lump[joint.one], lump[joint.other]))].add(joint.insulation)
    lumps = nx.Graph(tuple(pair) for pair in between)
    start, end = lump[LEFT_RAIL], lump[RIGHT_RAIL]
    if start == end or not {start, end} <= set(lumps) or not nx.has_path(lumps, start, end):
        return ()
    found = {
        tuple(sorted(names))
        for way in nx.all_shortest_paths(lumps, start, end)
        for names in product(*(between[frozenset(step)] for step in pairwise(way)))
    }
    return tuple(sorted(found))
