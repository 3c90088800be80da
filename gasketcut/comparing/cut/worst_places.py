"""How far the edge of a cut part lies off its drawing all round, and the places where it is farthest off.

Looked at both ways: from the part's edge to the drawing, which finds a notch and a burr, and from the drawing to the
part's edge, which finds what was left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.comparing.cut.cut_edges import CutEdges
from gasketcut.comparing.cut.settled import Pair
from gasketcut.comparing.edges import Edges
from gasketcut.comparing.placing import Placing
from gasketcut.plane import Point

Flags = NDArray[np.bool_]

MOST = 12
"""Places that are named at most."""

_STEP = 0.1
"""mm between places of the drawing that are looked at."""

_FALLS = 0.5
"""Share of a place's deviation to which the edge falls off before another is named; ours."""

_NEAR = 2.0
"""mm about a named place, and at least as far as it is off, within which none is named again; ours."""

_PLAIN = 0.005
"""mm; what is off by less is not named."""


@dataclass(frozen=True, eq=False)
class Strays:
    """Of one edge: places of the part as it lies on the drawing (n, 2), the drawing's place beside each (n, 2), how far
    out each lies (n,), the way outwards (n, 2); and places of the drawing with the same of the part's edge beside them.

    noise : sigma of one place [mm]; most : how many of its places are worth a name
    """

    number: int
    noise: float
    most: int
    places: Array
    feet: Array
    out: Array
    way: Array
    left: Array
    left_out: Array
    left_way: Array


@dataclass(frozen=True, slots=True)
class WorstPlace:
    """`edge` its number, 0 the outer line; `at` on the drawing; outwards positive [mm]."""

    edge: int
    at: Point
    out: float
    sigma: float


def strays_of(number: int, pair: Pair, placing: Placing) -> Strays:
    """One edge all round."""
    places = placing(pair.cut.points)
    off = pair.drawn.off(places)
    drawn = pair.drawn.evenly(_STEP)
    here = pair.drawn.off(drawn)
    edges = Edges.of([places])
    gap = edges.distance(drawn, edges.nearest(drawn))
    # The material reaches beyond this place of the drawing, or falls short of it.
    beyond = np.where(_holds(places, drawn) == pair.drawn.is_outer, 1.0, -1.0)
    most = 1 if pair.circles is not None else MOST  # of a round hole its place and width tell the rest
    return Strays(number, pair.cut.noise, most, places, off.foot, off.out, off.way, drawn, gap * beyond, here.way)


def _holds(ring: Array, places: Array) -> Flags:
    result: Flags = np.asarray(shapely.contains_xy(Polygon(ring), *places.T))
    return result


def worst_places(every: Sequence[Strays], cut: CutEdges, placing: Placing, centre: Array) -> list[WorstPlace]:
    """The farthest first; of each edge one at least."""
    found: list[WorstPlace] = []
    for one in every:
        at = np.vstack([one.feet, one.left])
        out, way = np.concatenate([one.out, one.left_out]), np.vstack([one.way, one.left_way])
        open_: Flags = np.ones(len(out), dtype=np.bool_)
        for _ in range(one.most):
            if not np.any(open_):
                break
            top = int(np.argmax(np.where(open_, np.abs(out), -1.0)))
            if abs(out[top]) < _PLAIN:
                break
            seen = cut.sigma_of_place((at[top] - centre) @ placing.matrix, way[top] @ placing.matrix)
            sigma = hypot(cut.shift, cut.row, seen, one.noise)
            found.append(WorstPlace(one.number, (float(at[top, 0]), float(at[top, 1])), float(out[top]), sigma))
            open_[_belongs(one, top, at, out)] = False
    found.sort(key=lambda place: -abs(place.out))
    return found


def _belongs(one: Strays, top: int, at: Array, out: Array) -> Flags:
    """What lies about a place that was named, or goes along the edge from it without falling off."""
    near: Flags = np.hypot(*(at - at[top]).T) <= max(_NEAR, abs(float(out[top])))
    high = (np.sign(out) == np.sign(out[top])) & (np.abs(out) >= _FALLS * abs(out[top]))
    for first, count in ((0, len(one.out)), (len(one.out), len(one.left_out))):
        run = slice(first, first + count)
        touched = near[run] & high[run]
        if not touched.any():
            continue
        near[run] |= _spread(touched, high[run])
    return near


def _spread(seeds: Flags, high: Flags) -> Flags:
    """All of the closed runs of `high` that hold a seed."""
    if high.all():
        return high
    start = int(np.argmin(high))
    rolled, begun = np.roll(high, -start), np.roll(seeds, -start)
    number = np.cumsum(~rolled)  # one more after each gap
    hit = np.isin(number, number[begun & rolled]) & rolled
    result: Flags = np.roll(hit, start)
    return result
