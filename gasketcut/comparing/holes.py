"""Which hole of the one is which of the other, once they lie over each other.

The nearest first. A hole that moved is the same one if it moved by no more than its own width, or REACH; two that are
left over and alike are the same if they moved by no more than twice that. Farther off it is one missing and one extra.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.features import Hole

REACH = 5.0
"""mm; ours, and so is the rule above."""

_ALIKE = 0.05


def pairs_of(fixed: Sequence[Hole], moved: Sequence[Hole], middles: Array) -> list[tuple[int, int]]:
    """Numbers of one of each.

    middles : of the moved ones, as they lie over the fixed ones, (m, 2)
    """
    if not fixed or not moved:
        return []
    places = np.array([one.middle for one in fixed])
    width, other = (np.array([sqrt(one.contour.area) for one in holes]) for holes in (fixed, moved))
    apart = np.hypot(*(places[:, None] - middles[None, :]).transpose(2, 0, 1))
    bigger = np.abs(width[:, None] - other[None, :])
    reach = np.maximum(np.maximum(width[:, None], other[None, :]), REACH)
    alike = bigger <= _ALIKE * reach
    pairs: list[tuple[int, int]] = []
    for allowed in (apart <= reach, (apart <= 2 * reach) & alike):
        pairs += _nearest_first(apart + bigger / 2, allowed, pairs)
    return sorted(pairs)


def _nearest_first(cost: Array, allowed: Array, taken: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    rows, columns = {one for one, _ in taken}, {one for _, one in taken}
    i, j = np.nonzero(allowed)
    found = []
    for n in np.argsort(cost[i, j], kind="stable").tolist():
        a, b = int(i[n]), int(j[n])
        if a not in rows and b not in columns:
            rows.add(a)
            columns.add(b)
            found.append((a, b))
    return found
