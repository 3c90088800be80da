"""Short ways through points: the arithmetic behind `order.py`.

Everything here is sure to end and gives the same answer each time: a change is made only if it shortens the way by
more than rounding, and of equal changes the first is taken.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array
from gasketcut.plane import Point

MOST = 600
"""More points than that are left as they come: a table of all distances would grow with the square."""

_WORTH = 1e-6  # mm
_ROUNDS = 2000


def starts_for(choices: Sequence[tuple[Array, Array]], origin: Point) -> list[int]:
    """Which start to take of each stroke so that the travel in this order is shortest; exact, by stages.

    choices : for each stroke its starts and the end that goes with each, shape (n, 2)
    """
    if not choices:
        return []
    ends, cost = np.array([origin]), np.zeros(1)
    came: list[NDArray[np.intp]] = []
    for starts, leaves in choices:
        way = cost[:, None] + np.hypot(ends[:, None, 0] - starts[None, :, 0], ends[:, None, 1] - starts[None, :, 1])
        best = np.argmin(way, axis=0)
        came.append(best)
        cost, ends = way[best, np.arange(len(starts))], leaves
    chosen = [int(np.argmin(cost))]
    for best in came[:0:-1]:
        chosen.append(int(best[chosen[-1]]))
    return chosen[::-1]


def shorter(points: Array, start: Point, end: Point | None) -> list[int]:
    """An order of the points that is no longer than the given one, from `start` to `end` (None: it ends anywhere).

    Stretches are turned round and single points moved as long as that helps.
    """
    count = len(points)
    if count < 2 or count > MOST:
        return list(range(count))
    last = [] if end is None else [end]
    every = np.vstack([np.asarray(start), points, *[np.asarray(one) for one in last]])
    far = np.hypot(every[:, None, 0] - every[None, :, 0], every[:, None, 1] - every[None, :, 1])
    if end is None:  # an end that is near to everything
        far = np.pad(far, ((0, 1), (0, 1)))
    order = np.arange(len(far))
    for _ in range(_ROUNDS):
        turned = _turned(order, far)
        order, gain = _moved(order, far) if turned is None else (turned, True)
        if not gain:
            break
    return [int(number) - 1 for number in order[1:-1]]


def _turned(order: NDArray[np.intp], far: Array) -> NDArray[np.intp] | None:
    """The stretch turned round that gains most, or None."""
    way = far[np.ix_(order, order)]
    step = np.diagonal(way, 1)
    # turning i..j round: from i - 1 to j, from i to j + 1
    change = way[:-2, 1:-1] + way[1:-1, 2:] - step[:-1, None] - step[None, 1:]
    return _with_turn(order, change)


def _moved(order: NDArray[np.intp], far: Array) -> tuple[NDArray[np.intp], bool]:
    """The point moved elsewhere that gains most, and whether there is one."""
    way = far[np.ix_(order, order)]
    step = np.diagonal(way, 1)
    gain = step[:-1] + step[1:] - np.diagonal(way, 2)
    # point i (row) put between j and j + 1
    change = way[1:-1, :-1] + way[1:-1, 1:] - step[None, :] - gain[:, None]
    rows = np.arange(len(change))
    change[rows, rows] = change[rows, rows + 1] = 0.0
    return _with_move(order, change)


def between_parts(enter: Array, leave: Array, start: Point, pairs: Sequence[tuple[int, int]]) -> list[int]:
    """An order of parts that is no longer than the given one; a part is left elsewhere than it is entered.

    pairs : (earlier, later) that must stay so; the given order keeps them
    """
    count = len(enter)
    if count < 2 or count > MOST:
        return list(range(count))
    leaves, enters = np.vstack([np.asarray(start), leave]), np.vstack([np.asarray(start), enter])
    far = np.hypot(leaves[:, None, 0] - enters[None, :, 0], leaves[:, None, 1] - enters[None, :, 1])
    far = np.pad(far, ((0, 1), (0, 1)))  # the end, near to everything
    order = np.arange(count + 2)
    for _ in range(_ROUNDS):
        turned = None if pairs else _turned_one_way(order, far)
        order, gain = _moved_one_way(order, far, pairs) if turned is None else (turned, True)
        if not gain:
            break
    return [int(number) - 1 for number in order[1:-1]]


def _turned_one_way(order: NDArray[np.intp], far: Array) -> NDArray[np.intp] | None:
    """As `_turned`, where the way back is not as long as the way there."""
    way = far[np.ix_(order, order)]
    forth, back = np.diagonal(way, 1), np.diagonal(way, -1)
    sums = np.concatenate([[0.0], np.cumsum(back - forth)])  # up to the step that begins at that place
    inside = sums[None, 1:-1] - sums[1:-1, None]
    change = way[:-2, 1:-1] + way[1:-1, 2:] - forth[:-1, None] - forth[None, 1:] + inside
    return _with_turn(order, change)


def _moved_one_way(
    order: NDArray[np.intp], far: Array, pairs: Sequence[tuple[int, int]]
) -> tuple[NDArray[np.intp], bool]:
    way = far[np.ix_(order, order)]
    step = np.diagonal(way, 1)
    gain = step[:-1] + step[1:] - np.diagonal(way, 2)
    change = way[:-1, 1:-1].T + way[1:-1, 1:] - step[None, :] - gain[:, None]
    rows = np.arange(len(change))
    change[rows, rows] = change[rows, rows + 1] = 0.0
    place = np.empty(len(order), dtype=int)
    place[order] = np.arange(len(order))
    for earlier, later in pairs:
        one, other = int(place[earlier + 1]), int(place[later + 1])
        change[one - 1, other:] = 0.0  # the earlier part stays before the later
        change[other - 1, :one] = 0.0
    return _with_move(order, change)


def _put(order: NDArray[np.intp], one: int, after: int) -> NDArray[np.intp]:
    """The entry at `one` taken out and put behind the entry at `after`."""
    kept = np.delete(order, one)
    return np.insert(kept, after + 1 if after < one else after, order[one])


def _with_turn(order: NDArray[np.intp], change: Array) -> NDArray[np.intp] | None:
    """The stretch turned round that shortens the way most, or None; change[i, j] is of turning i + 1 to j + 1 round."""
    change = np.where(np.triu(np.ones_like(change, dtype=bool), 1), change, 0.0)
    i, j = np.unravel_index(int(np.argmin(change)), change.shape)
    if change[i, j] > -_WORTH:
        return None
    i, j = i + 1, j + 1
    return np.concatenate([order[:i], order[i : j + 1][::-1], order[j + 1 :]])


def _with_move(order: NDArray[np.intp], change: Array) -> tuple[NDArray[np.intp], bool]:
    """The move that shortens the way most, and whether there is one; change[i, j] is of i + 1 put behind j."""
    i, j = np.unravel_index(int(np.argmin(change)), change.shape)
    if change[i, j] > -_WORTH:
        return order, False
    return _put(order, int(i) + 1, int(j)), True
