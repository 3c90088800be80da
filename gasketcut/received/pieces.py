"""The pieces that a drawing comes apart into: each outer contour with the holes in it and the marks on it.

Piece   what falls out of the sheet as one thing. A contour inside a hole is a piece of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import fsum

from shapely import STRtree
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Outline, Segment

_CHORD = 0.005
"""How fine the polygons are that say what lies in what [mm]; they measure nothing."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Contours as they were drawn [mm], the outer one counter-clockwise and the holes clockwise; `marks` are lines that
    are not cut through."""

    outer: Contour
    holes: tuple[Contour, ...] = ()
    marks: tuple[tuple[Segment, ...], ...] = ()

    @property
    def outline(self) -> Outline:
        """Nothing was traced, so nothing deviates."""
        return Outline(self.outer, self.holes, 0.0)

    @property
    def area(self) -> float:
        """Of the sheet that is left [mm2], exact for lines and arcs."""
        return self.outer.area - fsum(hole.area for hole in self.holes)


@dataclass(slots=True)
class _Node:
    contour: Contour
    polygon: Polygon
    depth: int = 0
    parent: int | None = None
    holes: list[Contour] = field(default_factory=list)
    marks: list[tuple[Segment, ...]] = field(default_factory=list)


def pieces_of(contours: Sequence[Contour], marks: Sequence[tuple[Segment, ...]] = ()) -> tuple[Piece, ...]:
    """Sort closed contours, none of which cross or touch, into pieces, from the bottom left upwards.

    What lies inside an even number of others is an outer line; the rest are holes of the one just outside them. A mark
    belongs to the piece in which it begins; what begins in none is left out.
    """
    nodes = [_Node(one, Polygon(one.flattened(_CHORD))) for one in contours]
    tree = STRtree([node.polygon for node in nodes])
    for number, node in enumerate(nodes):
        inside = ShapelyPoint(_on(node.contour))
        around = [
            int(other)
            for other in tree.query(inside, predicate="within")
            if int(other) != number and nodes[int(other)].polygon.area > node.polygon.area
        ]
        node.depth = len(around)
        node.parent = min(around, key=lambda other: nodes[other].polygon.area, default=None)
    for node in nodes:
        if node.depth % 2 and node.parent is not None:
            nodes[node.parent].holes.append(_turning(node.contour, ccw=False))
    for mark in marks:
        begins = tree.query(ShapelyPoint(mark[0].start), predicate="within")
        deepest = min((int(one) for one in begins), key=lambda one: nodes[one].polygon.area, default=None)
        if deepest is not None and nodes[deepest].depth % 2 == 0:
            nodes[deepest].marks.append(mark)
    outers = [node for node in nodes if node.depth % 2 == 0]
    outers.sort(key=lambda node: (round(node.polygon.bounds[1], 3), round(node.polygon.bounds[0], 3)))
    made = [(_turning(node.contour, ccw=True), node) for node in outers]
    return tuple(Piece(outer, tuple(sorted(node.holes, key=_place)), tuple(node.marks)) for outer, node in made)


def _turning(contour: Contour, *, ccw: bool) -> Contour:
    if isinstance(contour, Circle) or (contour.signed_area > 0) is ccw:
        return contour
    return contour.reversed()


def _on(contour: Contour) -> Point:
    """A point on it."""
    return contour.flattened(_CHORD)[0]


def _place(contour: Contour) -> Point:
    x, y = contour.center if isinstance(contour, Circle) else contour.points[0]
    return round(y, 6), round(x, 6)
