"""Lines on a layer of the tool's way: are they what the layer says, or would a cut be lost?

Lead     comes out of the scrap and ends where a contour is cut; it meets nothing else on its way.
Overcut  runs once more along a contour.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import shapely
from shapely.ops import substring

from gasketcut.plane import Point
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.stock.nest import nest_of
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
    found = True
    while found:  # a lead of several lines is known from the contour outwards
        tips = [way[end] for way, known in zip(ways, is_way, strict=True) if known for end in (0, -1)]
        anchors = [*fine, *shapely.points(tips)] if tips else fine
        near = shapely.STRtree(anchors)
        new = [not known and _is_lead(near, tree, nest.depth_at, way) for way, known in zip(ways, is_way, strict=True)]
        is_way = [known or more for known, more in zip(is_way, new, strict=True)]
        found = any(new)
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


def _is_lead(anchors: shapely.STRtree, tree: shapely.STRtree, depth_at: Any, way: list[Point]) -> bool:
    """Whether one end lies on an anchor and the rest in the scrap, where it meets no contour."""
    line: Any = shapely.linestrings(way)
    length = float(line.length)
    for end in (0, -1):
        if not anchors.query(shapely.points(way[end]), predicate="dwithin", distance=_ON).size:
            continue
        share = (_CLEAR, 1.0) if end == 0 else (0.0, 1.0 - _CLEAR)
        rest = substring(line, share[0] * length, share[1] * length)
        other = way[-1 if end == 0 else 0]
        if tree.query(shapely.points(other), predicate="dwithin", distance=_ON).size:  # from one contour to the next
            rest = substring(line, _CLEAR * length, (1 - _CLEAR) * length)
        middle = rest.interpolate(0.5, normalized=True)
        if not tree.query(rest, predicate="intersects").size and depth_at([(middle.x, middle.y)])[0] % 2 == 0:
            return True
    return False
