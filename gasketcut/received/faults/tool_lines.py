"""Lines on a layer of the tool's way: are they what the layer says, or would a cut be lost?

Lead     comes out of the scrap and ends where a contour is cut; it meets nothing else on its way.
Overcut  runs once more along a contour.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import substring

from gasketcut.plane import Point
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.stock.nest import Nest, nest_of
from gasketcut.shape.loop import Contour
from gasketcut.tolerances import CHORD

_ON = 0.002
"""mm: what is nearer to a contour lies on it, as far as chords can tell. Ours."""

_CLEAR = 0.3
"""Share of a lead in which it may still be as near to its contour as chords can tell: it may come in along it. Ours."""


def parted(lines: Sequence[DrawnLine], contours: Sequence[Contour]) -> tuple[list[DrawnLine], list[DrawnLine]]:
    """What is the tool's way beside these contours, and what is cut like any other line."""
    if not contours or not lines:
        return [], list(lines)
    nest = nest_of(contours)
    fine: list[Any] = [shapely.linearrings(one.flattened(CHORD / 2)) for one in contours]
    tree = shapely.STRtree(fine)
    ways = [_way(line) for line in lines]
    along = [bool(tree.query(shapely.linestrings(way), predicate="dwithin", distance=_ON).size) for way in ways]
    is_way = [near and _runs_along(tree, fine, way) for near, way in zip(along, ways, strict=True)]
    clear = _clear(nest, tree, ways)
    found = True
    while found:  # a lead of several lines is known from the contour outwards
        tips = [way[end] for way, known in zip(ways, is_way, strict=True) if known for end in (0, -1)]
        near = shapely.STRtree([*fine, *shapely.points(tips)] if tips else fine)
        ends: Any = shapely.points([way[end] for way in ways for end in (0, -1)])
        meets = np.zeros(2 * len(ways), dtype=bool)
        meets[near.query(ends, predicate="dwithin", distance=_ON)[0]] = True
        new = (meets.reshape(-1, 2) & clear).any(axis=1) & ~np.array(is_way)
        is_way = (np.array(is_way) | new).tolist()
        found = bool(new.any())
    return (
        [line for line, known in zip(lines, is_way, strict=True) if known],
        [line for line, known in zip(lines, is_way, strict=True) if not known],
    )


def _way(line: DrawnLine) -> list[Point]:
    return [*(point for one in line.segments for point in one.points(CHORD / 2)), line.segments[-1].end]


def _runs_along(tree: shapely.STRtree, rings: Sequence[Any], way: list[Point]) -> bool:
    """Whether one contour has all of the line on it."""
    drawn = shapely.segmentize(shapely.linestrings(way), 0.5)
    places: Any = shapely.points(shapely.get_coordinates(drawn))
    near = tree.query(places[0], predicate="dwithin", distance=_ON)
    return any(bool(shapely.dwithin(places, rings[int(one)], _ON).all()) for one in near)


def _clear(nest: Nest, tree: shapely.STRtree, ways: Sequence[list[Point]]) -> NDArray[np.bool_]:
    """Whether each line lies in the scrap and meets no contour but at its start, or but at its end, shape (n, 2)."""
    rests: list[Any] = []
    for way in ways:
        line: Any = shapely.linestrings(way)
        length = float(line.length)
        # From one contour to the next one, both ends may lie on one.
        on = [bool(tree.query(shapely.points(way[end]), predicate="dwithin", distance=_ON).size) for end in (0, -1)]
        low, high = _CLEAR * length, (1 - _CLEAR) * length
        rests.append(substring(line, low, high if on[1] else length))
        rests.append(substring(line, low if on[0] else 0.0, high))
    middles = [(point.x, point.y) for point in (rest.interpolate(0.5, normalized=True) for rest in rests)]
    free = nest.depth_at(middles) % 2 == 0
    free[tree.query(rests, predicate="intersects")[0]] = False
    return np.asarray(free).reshape(-1, 2)
