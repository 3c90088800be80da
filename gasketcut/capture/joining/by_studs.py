"""A traced face laid over a part by its studs: every way in which its holes come to lie on them.

Way   turned, moved and perhaps mirrored; `pairs` are stud and hole, by number.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.placing import Placing

APART = 1.0
"""mm by which a hole of the face may lie off the stud that goes through it: what clearance holes and a worn gasket
come to. Our choice."""

_ALIKE = 0.02
"""mm and degrees; ways nearer than this are one."""


@dataclass(frozen=True, slots=True)
class Way:
    """`off` is how far the worst pair lies apart, `mean` the root of the mean square [mm]."""

    placing: Placing
    pairs: tuple[tuple[int, int], ...]
    off: float
    mean: float


def ways_by_studs(studs: Array, holes: Array, *, mirrored: bool) -> list[Way]:
    """Those that put a hole on every stud, best first.

    studs, holes : places, shape (n, 2) [mm]
    """
    if len(studs) < 2 or len(holes) < len(studs):
        return []
    found: list[Way] = []
    for placing in _rough(studs, holes, mirrored):
        way = _settled(studs, holes, placing)
        if way is not None and not any(_same(way, other) for other in found):
            found.append(way)
    return sorted(found, key=lambda one: one.mean)


def _rough(studs: Array, holes: Array, mirrored: bool) -> Iterator[Placing]:
    """The two studs farthest apart on every two holes as far apart."""
    apart = np.hypot(*(studs[:, None] - studs[None, :]).transpose(2, 0, 1))
    first, second = np.unravel_index(int(np.argmax(apart)), apart.shape)
    flip = Placing(mirrored).matrix
    turned = holes @ flip.T
    for k, m in permutations(range(len(holes)), 2):
        way, other = studs[second] - studs[first], turned[m] - turned[k]
        if abs(np.hypot(*way) - np.hypot(*other)) > 2 * APART:
            continue
        turn = float(np.arctan2(way[1], way[0]) - np.arctan2(other[1], other[0]))
        c, s = np.cos(turn), np.sin(turn)
        matrix = np.array([[c, -s], [s, c]]) @ flip
        middle = (studs[first] + studs[second]) / 2 - matrix @ ((holes[k] + holes[m]) / 2)
        yield Placing.of(matrix, middle)


def _settled(studs: Array, holes: Array, placing: Placing) -> Way | None:
    """By least squares over the pairs; None where a stud has no hole of its own.

    Source: the rotation that fits two sets of points best is the phase of sum(conj(a) b), both about their means.
    """
    placed = placing(holes)
    apart = np.hypot(*(studs[:, None] - placed[None, :]).transpose(2, 0, 1))
    nearest = apart.argmin(axis=1)
    if len(set(nearest.tolist())) < len(studs) or float(apart.min(axis=1).max()) > 2 * APART:
        return None
    mine = holes[nearest] @ Placing(placing.mirrored).matrix.T
    a = (mine - mine.mean(axis=0)) @ (1, 1j)
    b = (studs - studs.mean(axis=0)) @ (1, 1j)
    turn = float(np.degrees(np.angle(np.sum(np.conj(a) * b))))
    matrix = Placing(placing.mirrored, turn).matrix
    made = Placing.of(matrix, studs.mean(axis=0) - matrix @ holes[nearest].mean(axis=0))
    off = np.hypot(*(made(holes[nearest]) - studs).T)
    if float(off.max()) > APART:
        return None
    pairs = tuple((n, int(hole)) for n, hole in enumerate(nearest))
    return Way(made, pairs, float(off.max()), float(np.sqrt(np.mean(off * off))))


def _same(one: Way, other: Way) -> bool:
    turn = abs((one.placing.turn - other.placing.turn + 180) % 360 - 180)
    return turn < _ALIKE and float(np.hypot(*np.subtract(one.placing.shift, other.placing.shift))) < _ALIKE
