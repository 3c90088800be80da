"""A cut part laid on its drawing so that what is common to all of its edge is told from what is wrong at one place.

Offset    how far the edge lies outwards all round: the tool's width, or scissors beside the line.
Stretch   by which share it is larger along x and y of the drawing: a print, or a machine that is out.
Agreeing  what lies as offset and stretch have it; a hole that moved, or a notch, does not, and moves nothing else.

Settled by least absolute distances, at the end by least squares over what agrees. Where the edges do not tell offset
from stretch, as of a disc without a hole, the stretch counts as none: a picture's own scale is never as good.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gasketcut.arrays import Array, Integers
from gasketcut.comparing.cut.cut_edges import CutEdge
from gasketcut.comparing.cut.drawn_edge import DrawnEdge
from gasketcut.comparing.edges import evenly
from gasketcut.comparing.placing import Placing
from gasketcut.shape.loop import Circle

_STEP = 0.5
"""mm between places along an edge that are looked at."""

_HOLE_SHARE = 0.025
"""Of all places along edges, that a hole's middle weighs as much as; ours, as in laying drawings over each other."""

_ROUNDS, _AVERAGED, _NARROWS = 9, 4, 2.5
_WIDE = 0.2
"""mm within which all count alike at first: the part lies on its drawing already, but for its offset."""

_AGREES, _EXACT = 5.0, 0.004
_ALIKE = 2.0
"""mm along which an edge strays alike: scissors and saws wander. Ours; it makes what is found less sure, never more."""

_TOLD_APART = 0.001
"""Sigma of a stretch beyond which the edges say nothing of it. Our choice: 0.06 mm on 60."""

_LOOSE = 0.02
"""Share by which a part may be stretched at most, loosely held."""


@dataclass(frozen=True, eq=False)
class Pair:
    """An edge of the drawing and the same one of the part."""

    drawn: DrawnEdge
    cut: CutEdge

    @property
    def circles(self) -> tuple[Circle, Circle] | None:
        """Both, of a round hole that came out round."""
        if self.drawn.is_outer or self.cut.circle is None or not isinstance(self.drawn.contour, Circle):
            return None
        return self.drawn.contour, self.cut.circle


@dataclass(frozen=True, slots=True)
class Settled:
    """`placing` takes the part to the drawing; `stretch` along x and y and its sigmas, None where it is not told from
    the offset; `off` how far what was looked at lies from all that on average [mm]."""

    placing: Placing
    offset: float
    offset_sigma: float
    stretch: tuple[float, float] | None
    stretch_sigma: tuple[float, float]
    off: float


@dataclass(frozen=True, eq=False)
class _Rows:
    """One equation each: `slopes` by shift x, y, turn, offset, stretch x, y times them is `wanted`; `groups` are rows
    that agree or not together."""

    slopes: Array
    wanted: Array
    weight: Array
    groups: Integers


def settled(pairs: Sequence[Pair], start: Placing) -> Settled:
    """The best placing near `start`, offset and stretch."""
    reach = float(np.hypot(*np.ptp(pairs[0].drawn.ring, axis=0))) / 2
    centre = (pairs[0].drawn.ring.min(axis=0) + pairs[0].drawn.ring.max(axis=0)) / 2
    # Without the stretch first: it would follow what is wrong along one whole side.
    plain, free = np.eye(6)[:, :4], np.eye(6)
    held = _solved(pairs, start.matrix, np.array(start.shift), np.zeros(6), centre, reach, plain)
    matrix, shift, numbers, rows = _solved(pairs, *held[:3], centre, reach, free)
    sigmas = _sigmas(rows, numbers, free, reach)
    told = max(sigmas[4], sigmas[5]) <= _TOLD_APART
    if not told:
        matrix, shift, numbers, rows = held
        sigmas = _sigmas(rows, numbers, plain, reach)
    off = np.minimum(_size(rows, numbers), 0.05 * reach)
    share = rows.weight / np.maximum(np.bincount(rows.groups)[rows.groups], 1)
    return Settled(
        Placing.of(matrix, shift),
        float(numbers[3]),
        float(sigmas[3]),
        (float(numbers[4]), float(numbers[5])) if told else None,
        (float(sigmas[4]), float(sigmas[5])),
        float(share @ off / share.sum()),
    )


def _solved(
    pairs: Sequence[Pair], matrix: Array, shift: Array, numbers: Array, centre: Array, reach: float, free: Array
) -> tuple[Array, Array, Array, _Rows]:
    cap = 0.05 * reach
    for turn in range(_ROUNDS + _AVERAGED):
        rows = _rows(pairs, matrix, shift, centre)
        size = _size(rows, numbers)
        if turn < _ROUNDS:
            weight = rows.weight / np.maximum(size, max(_WIDE / _NARROWS**turn, 1e-4)) * (size <= cap)
        else:
            weight = rows.weight * (size <= _limit(rows, size))
        found = free @ _least_squares(rows.slopes @ free, rows.wanted, weight, free, reach)
        c, s = np.cos(found[2]), np.sin(found[2])
        turned = np.array([[c, -s], [s, c]])
        matrix, shift = turned @ matrix, turned @ (shift - centre) + centre + found[:2]
        numbers = np.concatenate([np.zeros(3), found[3:]])
    return matrix, shift, numbers, _rows(pairs, matrix, shift, centre)


def _rows(pairs: Sequence[Pair], matrix: Array, shift: Array, centre: Array) -> _Rows:
    """Of each place along an edge: out + way . (shift + turn) = offset + way . stretch; of a round hole's middle the
    same along x and along y, and of its radius."""
    slopes, wanted, weight, groups = list[Array](), list[Array](), list[Array](), list[Integers]()
    places = {n: evenly(one.cut.points, _count(one)) for n, one in enumerate(pairs) if one.circles is None}
    hole = max(1.0, _HOLE_SHARE * sum(map(len, places.values())))
    number = 0
    for n, pair in enumerate(pairs):
        if n in places:
            at = places[n] @ matrix.T + shift
            off = pair.drawn.off(at)
            arms, seen = at - centre, off.foot - centre
            lever = off.way[:, 1] * arms[:, 0] - off.way[:, 0] * arms[:, 1]
            slopes.append(np.column_stack([off.way, lever, -np.ones(len(at)), -off.way * seen]))
            wanted.append(-off.out)
            weight.append(np.ones(len(at)))
            groups.append(number + np.arange(len(at), dtype=np.int64))
            number += len(at)
            continue
        assert pair.circles is not None
        drawn, cut = pair.circles
        middle = matrix @ np.array(cut.center) + shift
        arm, seen = middle - centre, np.array(drawn.center) - centre
        half = drawn.radius / 2
        slopes.append(np.array([[1, 0, -arm[1], 0, -seen[0], 0], [0, 1, arm[0], 0, 0, -seen[1]],
                                [0, 0, 0, -1, half, half]]))  # fmt: skip
        wanted.append(np.array([*(drawn.center - middle), cut.radius - drawn.radius]))
        weight.append(np.full(3, hole))
        groups.append(np.array([number, number, number + 1], dtype=np.int64))
        number += 2
    return _Rows(np.vstack(slopes), np.concatenate(wanted), np.concatenate(weight), np.concatenate(groups))


def _count(pair: Pair) -> int:
    return max(24, round(pair.drawn.contour.length / _STEP))


def _size(rows: _Rows, numbers: Array) -> Array:
    """How far each row is off, those of a group together."""
    off = rows.slopes @ numbers - rows.wanted
    result: Array = np.sqrt(np.bincount(rows.groups, off * off))[rows.groups]
    return result


def _limit(rows: _Rows, size: Array) -> float:
    """Within which a row agrees: by the median, each row by its weight."""
    order = np.argsort(size)
    along = np.cumsum(rows.weight[order])
    return max(_AGREES * float(size[order][np.searchsorted(along, along[-1] / 2)]), _EXACT)


def _least_squares(slopes: Array, wanted: Array, weight: Array, free: Array, reach: float) -> Array:
    """In mm at the part's edge, so that a turn and a share count alike; what nothing holds stays as it is."""
    unit = (np.array([1.0, 1.0, reach, 1.0, reach, reach]) @ free)[None, :]
    scaled = slopes / unit
    square = scaled.T @ (weight[:, None] * scaled)
    # A ring's turn is held by its chords a little, and wrongly.
    held = np.array([1e-9, 1e-9, 1e-4, 1e-9, 1e-9, 1e-9])[: free.shape[1]] * float(np.abs(np.diag(square)).max() or 1.0)
    result: Array = np.linalg.solve(square + np.diag(held), scaled.T @ (weight * wanted)) / unit[0]
    return result


def _sigmas(rows: _Rows, numbers: Array, free: Array, reach: float) -> Array:
    """Of all six; 0 for what was not free."""
    size = _size(rows, numbers)
    good = size <= _limit(rows, size)
    strays = np.sqrt(float(np.average(size[good] ** 2, weights=rows.weight[good]))) + 1e-4
    slopes = (rows.slopes @ free)[good]
    weight = np.minimum(rows.weight[good], _ALIKE / _STEP) * (_STEP / _ALIKE)  # what is alike counts once
    square = slopes.T @ (weight[:, None] * slopes)
    loose = np.diag((np.array([0, 0, 0, 0, 1, 1]) * (strays / _LOOSE) ** 2)[: free.shape[1]])
    square = square + loose + np.diag([1e-9, 1e-9, 1e-9 * reach**2, 1e-9, 0, 0][: free.shape[1]])
    result = np.zeros(6)
    result[: free.shape[1]] = strays * np.sqrt(np.diag(np.linalg.inv(square)))
    return result
