"""The pieces that a drawing comes apart into: each outer contour with the holes in it and the marks on it.

Piece   what falls out of the sheet as one thing. A contour inside a hole is a piece of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum
from typing import Any

import numpy as np
from shapely import STRtree, polygons
from shapely.geometry import Point as ShapelyPoint

from gasketcut.received.stock.nest import Nest, nest_of
from gasketcut.shape.loop import Circle, Contour, Outline, Segment, from_below


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


def pieces_of(contours: Sequence[Contour], marks: Sequence[tuple[Segment, ...]] = ()) -> tuple[Piece, ...]:
    """Sort closed contours, none of which cross or touch, into pieces, from the bottom left upwards.

    What lies inside an even number of others is an outer line; the rest are holes of the one just outside them. A mark
    belongs to the piece in which it begins; what begins in none is left out.
    """
    return pieces_in(nest_of(contours), marks)


def pieces_in(nest: Nest, marks: Sequence[tuple[Segment, ...]] = ()) -> tuple[Piece, ...]:
    """The pieces of contours that are sorted already."""
    drawn: dict[int, list[tuple[Segment, ...]]] = {}
    if marks and nest.contours:
        shapes: Any = polygons(nest.rings)
        tree = STRtree(shapes)
        for mark in marks:
            begins = tree.query(ShapelyPoint(mark[0].start), predicate="within")
            deepest = min((int(one) for one in begins), key=lambda one: float(nest.area[one]), default=None)
            if deepest is not None and nest.depth[deepest] % 2 == 0:
                drawn.setdefault(deepest, []).append(mark)
    outers = np.flatnonzero(nest.depth % 2 == 0)
    order = np.lexsort((nest.boxes[outers, 0].round(3), nest.boxes[outers, 1].round(3)))
    children = nest.children
    return tuple(
        Piece(
            _turning(nest, number, 1),
            tuple(sorted((_turning(nest, one, -1) for one in children.get(number, ())), key=from_below)),
            tuple(drawn.get(number, ())),
        )
        for number in outers[order].tolist()
    )


def _turning(nest: Nest, number: int, way: int) -> Contour:
    contour = nest.contours[number]
    return contour if isinstance(contour, Circle) or nest.turn[number] == way else contour.reversed()
