"""Labels in one column, moved apart no further than they must be."""

from collections.abc import Sequence


def spread(
    wanted: Sequence[float], heights: Sequence[float], weights: Sequence[float]
) -> list[float]:
    """Tops for labels that would like to be at ``wanted``, none overlapping, in the given order.

    The weighted sum of squares of the moves is the least possible: neighbours that would overlap
    are put in one block, which lies where its labels on average want it.
    """
    blocks: list[list[float]] = []  # weight, where its first label would lie, labels
    before = 0.0
    for top, height, weight in zip(wanted, heights, weights, strict=True):
        blocks.append([weight, top - before, 1])
        before += height
        while len(blocks) > 1 and blocks[-2][1] > blocks[-1][1]:
            weight, start, count = blocks.pop()
            last = blocks[-1]
            last[1] = (last[0] * last[1] + weight * start) / (last[0] + weight)
            last[0] += weight
            last[2] += count
    starts = [start for _, start, count in blocks for _ in range(int(count))]
    tops, before = [], 0.0
    for start, height in zip(starts, heights, strict=True):
        tops.append(start + before)
        before += height
    return tops
