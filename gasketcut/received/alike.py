"""Pieces that are one and the same part, turned and moved: counted instead of repeated. A mirror image is another part.

Feature   a place that moves with the piece: a corner, a place where the curvature changes, the middle of a hole.
Fitting   a turn and a shift that bring a feature of one piece onto a feature of the same sort of the other.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan, atan2, cos, fsum, hypot, sin

import numpy as np
import shapely

from gasketcut.arrays import Array
from gasketcut.plane import Point
from gasketcut.received.pieces import Piece
from gasketcut.shape.loop import Circle, Contour, Loop, Segment
from gasketcut.shape.nearest import distances

SAME = 0.01
"""mm by which two pieces may differ anywhere and still be one part: a tenth of what a cutter keeps. Our choice."""

_CHORD = 0.002
"""How fine the lines are that are held against each other [mm]."""

_STEEP = 1e-4
"""Difference of direction [rad], or of curvature [1/mm], at which a vertex is a place of its own; our choice."""

_MOST = 400
"""Fittings tried of two pieces; what none of them shows to be the same is listed twice, which costs nothing."""


_PROBES = 32
"""Points that are tried first: most wrong fittings show on a few."""


Feature = tuple[float, float, float]
"""The radius of a circle or 0, and where it lies from the piece's middle [mm]."""


@dataclass(frozen=True, slots=True)
class _Shape:
    """A piece with what is compared [mm]; features and finely divided lines from its middle."""

    area: float
    lengths: tuple[float, ...]
    features: tuple[Feature, ...]
    lines: tuple[Array, ...]


def alike(pieces: Sequence[Piece]) -> tuple[tuple[int, ...], ...]:
    """The numbers of the pieces that are one part, in the order in which each first comes."""
    found: list[list[int]] = []
    shapes: list[_Shape] = []
    near: dict[tuple[int, int], list[int]] = defaultdict(list)
    for group in equal_when_moved(pieces):
        shape = _shape(pieces[group[0]])
        cell = (round(shape.area), len(shape.lengths))
        around = [one for step in (-1, 0, 1) for one in near.get((cell[0] + step, cell[1]), ())]
        same = next((one for one in around if _is_same(shapes[one], shape)), None)
        if same is None:
            near[cell].append(len(found))
            found.append(list(group))
            shapes.append(shape)
        else:
            found[same] += group
    return tuple(tuple(sorted(group)) for group in found)


def equal_when_moved(pieces: Sequence[Piece]) -> list[list[int]]:
    """Numbers of pieces that are the same in the same position, as copies in rows are; turns are not tried."""
    groups: dict[object, list[int]] = defaultdict(list)
    for number, piece in enumerate(pieces):
        left, low, _, _ = piece.outline.bounds
        contours = [_moved(one, left, low) for one in (piece.outer, *piece.holes)]
        marks = [tuple((_rounded(one.start, left, low), round(one.bulge, 4)) for one in mark) for mark in piece.marks]
        groups[contours[0], frozenset(contours[1:]), tuple(marks)].append(number)
    return list(groups.values())


def _moved(contour: Contour, left: float, low: float) -> tuple[object, ...]:
    if isinstance(contour, Circle):
        return (*_rounded(contour.center, left, low), round(contour.radius, 3))
    corners = [
        (_rounded(at, left, low), round(bulge, 4)) for at, bulge in zip(contour.points, contour.bulges, strict=True)
    ]
    first = corners.index(min(corners))
    return (*corners[first:], *corners[:first])


def _rounded(at: Point, left: float, low: float) -> Point:
    return round(at[0] - left, 3), round(at[1] - low, 3)


def _shape(piece: Piece) -> _Shape:
    contours = (piece.outer, *piece.holes)
    rings = [contour.flattened(_CHORD) for contour in contours]
    lines = [[*ring, ring[0]] for ring in rings]
    marks = [_flat(mark) for mark in piece.marks]
    middle = shapely.polygons(lines[0]).centroid
    at = (float(middle.x), float(middle.y))
    features = [(radius, x - at[0], y - at[1]) for contour in contours for radius, (x, y) in _places(contour)]
    drawn = tuple(np.array(line) - at for line in (*lines, *marks))
    lengths = [contour.length for contour in contours]
    lengths += [fsum(one.length for one in mark) for mark in piece.marks]
    return _Shape(piece.area, tuple(sorted(lengths)), tuple(features), drawn)


def _flat(mark: tuple[Segment, ...]) -> list[Point]:
    return [*(point for segment in mark for point in segment.points(_CHORD)), mark[-1].end]


def _places(contour: Contour) -> Iterator[tuple[float, Point]]:
    """Middles of circles with their radius, corners with none."""
    if isinstance(contour, Circle):
        yield contour.radius, contour.center
        return
    yield from ((0.0, place) for place in _corners(contour))


def _corners(loop: Loop) -> Iterator[Point]:
    """Vertices at which the direction or the curvature changes, however its lines and arcs are divided."""
    segments = [one for one in loop.segments() if one.chord > SAME / 10]
    for before, after in zip(segments[-1:] + segments[:-1], segments, strict=True):
        turn = _direction(after, 0.0) - _direction(before, 1.0)
        if abs(atan2(sin(turn), cos(turn))) > _STEEP or abs(_bent(after) - _bent(before)) > _STEEP:
            yield after.start


def _direction(segment: Segment, end: float) -> float:
    (x0, y0), (x1, y1) = segment.start, segment.end
    return atan2(y1 - y0, x1 - x0) + 4 * atan(segment.bulge) * (end - 0.5)


def _bent(segment: Segment) -> float:
    return (1.0 if segment.bulge > 0 else -1.0) / segment.radius if segment.bulge else 0.0


def _is_same(one: _Shape, other: _Shape) -> bool:
    whole = sum(one.lengths)
    if len(one.lengths) != len(other.lengths) or abs(one.area - other.area) > SAME * whole:
        return False
    if any(abs(a - b) > 2 * SAME + 0.001 * a for a, b in zip(one.lengths, other.lengths, strict=True)):
        return False
    return any(_fits(one, other, turn) for turn in _turns(one, other))


def _turns(one: _Shape, other: _Shape) -> Iterator[float]:
    """The turns that bring the rarest feature that lies off the middle onto its like [rad]."""
    sorts = Counter(map(_sort, one.features))
    off = [each for each in one.features if hypot(*each[1:]) > 10 * SAME]
    if not off:
        yield 0.0
        return
    radius, x, y = min(off, key=lambda each: (sorts[_sort(each)], _sort(each)))
    like = [
        (u, v)
        for r, u, v in other.features
        if abs(r - radius) <= 2 * SAME and abs(hypot(u, v) - hypot(x, y)) <= 2 * SAME
    ]
    for u, v in like[:_MOST]:
        yield atan2(y, x) - atan2(v, u)


def _sort(feature: Feature) -> tuple[float, float]:
    """What it is and how far from the middle, roughly: how rare it is need not be exact."""
    return round(feature[0], 1), round(hypot(*feature[1:]), 1)


def _fits(one: _Shape, other: _Shape, turn: float) -> bool:
    c, s = cos(turn), sin(turn)
    turned = [line @ np.array([[c, s], [-s, c]]) for line in other.lines]
    probe = np.vstack(turned)
    few = probe[:: max(1, len(probe) // _PROBES)]
    if distances(few, one.lines).max() > SAME or distances(probe, one.lines).max() > SAME:
        return False
    return bool(distances(np.vstack(one.lines), turned).max() <= SAME)
