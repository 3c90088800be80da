"""Where an edge may be torn: a stretch that no line or arc of its neighbours explains.

Sound   a stretch that is long, or runs smoothly into both neighbours, and that the edge follows.
Gap     what lies between two sound stretches. One that is its own mirror image is taken for meant: nobody tears so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import off_curve
from gasketcut.capture.edges.fitted_edge import FittedEdge
from gasketcut.capture.torn.bridge import TRIMMED, Asked, Bridge, bridged, points_of
from gasketcut.capture.torn.ring import signed_area
from gasketcut.capture.torn.stretch import OUTLINE, SMOOTH, Stretch, bend, is_open_hole, places_between, turned
from gasketcut.errors import GasketError
from gasketcut.plane import Point

_LONG = 4.0
"""mm; a shorter line or arc with a corner at its end may be one of many that a tear is made of. Our choice."""

_FACET, _LAST_FACET = 10.0, 6.0
"""mm; so long a tear may run straight, and so long where it meets a sound edge. Our choice."""

_AS_LONG = 0.15
"""Of its length: how far the edge may be longer or shorter than the line or arc that follows it. Our choice."""

_ROUGH = 0.05
"""mm, root mean square, by which the points of a sound stretch may stray from it: a cut edge frays less. Our choice."""

_ALIKE = 0.25
"""mm and rad to which both halves of what was meant are alike. Our choice."""

_FEWEST = 3
"""Lines and arcs that make a gap; with fewer it is a corner that was cut."""

_WHOLE = 0.5
"""Of an edge: where more than that would be torn, it is of another kind. Our choice."""


@dataclass(frozen=True, slots=True)
class Tear:
    """How long and how deep it is [mm], a place in it, and what would bridge it."""

    across: float
    deep: float
    at: Point
    bridge: Bridge


def tears_in(edge: FittedEdge, ring: Array, of: Sequence[Stretch]) -> list[Tear]:
    """In the order of the stretches."""
    if edge.runs is None or len(of) < _FEWEST + 1:
        return []
    alone = [_is_sound(edge, ring, of, n) for n in range(len(of))]
    sound = [alone[n] and not _is_facet(of, alone, n) for n in range(len(of))]
    found = []
    for i, j in _gaps(of, sound):
        gap = [of[n] for n in places_between(of, i, j)]
        if sum(one.length for one in gap) > _WHOLE * sum(one.length for one in of) or _is_meant(of[i], gap, of[j]):
            continue
        asked = Asked(of[i].number, of[j].number)
        try:
            made = bridged(edge, ring, of, asked)
        except GasketError:
            continue
        if (abs(signed_area(made.ring)) < abs(signed_area(ring))) is (of[i].of == OUTLINE):
            continue  # it stands out: material that nobody lost
        ends = np.array([of[i].end, of[j].start])
        places = np.vstack([one.points(0.2) for one in gap])
        away = _off_chord(places, ends)
        n = int(np.argmax(away))
        at = (float(places[n][0]), float(places[n][1]))
        found.append(Tear(float(np.hypot(*(ends[1] - ends[0]))), float(away[n]), at, made.bridge))
    return found


def _is_sound(edge: FittedEdge, ring: Array, of: Sequence[Stretch], n: int) -> bool:
    one, before, after = of[n], of[n - 1], of[(n + 1) % len(of)]
    smooth = sum(bend(a, b) < SMOOTH for a, b in ((before, one), (one, after)))
    if one.length < _LONG and smooth < 2:
        return False
    assert edge.runs is not None
    points = points_of(edge.runs, ring, n)
    followed = float(np.sum(np.hypot(*np.diff(points, axis=0).T))) / (1 - 2 * TRIMMED)
    if abs(followed - one.length) > _AS_LONG * one.length + 0.5:
        return False
    rough = float(np.sqrt(np.mean(off_curve(one.curve, points) ** 2)))
    return rough <= max(_ROUGH, 4 * edge.noise)


def _is_facet(of: Sequence[Stretch], sound: Sequence[bool], n: int) -> bool:
    """One bit of a tear: short, with a corner at either end, and what is not sound beside it."""
    one, before, after = of[n], of[n - 1], of[(n + 1) % len(of)]
    if is_open_hole(of, n):
        return True
    has_corners = bend(before, one) >= SMOOTH and bend(one, after) >= SMOOTH
    beside = int(sound[n - 1]) + int(sound[(n + 1) % len(of)])
    return has_corners and one.length < (_FACET, _LAST_FACET, 0.0)[beside]


def _gaps(of: Sequence[Stretch], sound: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """The sound stretches before and after each gap."""
    count = len(of)
    for i in range(count):
        if not sound[i] or sound[(i + 1) % count]:
            continue
        j = next(n for n in range(i + 1, i + count + 1) if sound[n % count]) % count
        if (j - i - 1) % count >= _FEWEST:
            yield i, j


def _is_meant(before: Stretch, gap: Sequence[Stretch], after: Stretch) -> bool:
    """Is it the same from either end: lengths, turns and corners?"""
    chain = [before, *gap, after]
    bends = [turned(a, b) for a, b in pairwise(chain)]
    lengths = all(abs(a.length - b.length) <= _ALIKE for a, b in zip(gap, reversed(gap), strict=True))
    turns = all(abs(a.turn - b.turn) <= _ALIKE for a, b in zip(gap, reversed(gap), strict=True))
    return lengths and turns and all(abs(a - b) <= _ALIKE for a, b in zip(bends, reversed(bends), strict=True))


def _off_chord(points: Array, ends: Array) -> Array:
    along = ends[1] - ends[0]
    far = max(float(np.hypot(*along)), 1e-9)
    way = points - ends[0]
    return np.asarray(np.abs(way[:, 0] * along[1] - way[:, 1] * along[0]) / far)
