"""A shape word to its polygon, and to the circles and radii that the user named with it."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin
from pathlib import Path

from shapely.geometry import Polygon

from gasketcut.parts.shapes import Drawing, Oval, Placed, Points, Rectangle, Round, Shape, Slot
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs
from gasketcut.shape.loop import Circle, Loop

Drawings = Mapping[Path, Polygon]
"""The closed line of each received DXF file, read beforehand."""


def polygon_of(placed: Placed, drawings: Drawings) -> Polygon:
    """The placed shape; raise `ShapeError` if its numbers make none."""
    return outlines.placed(_plain(placed.shape, drawings), placed.at, placed.turn)


def circle_of(placed: Placed, grow: float = 0.0) -> Circle | None:
    """The placed shape as a circle by its own numbers, if it is one."""
    return Circle(placed.at, placed.shape.diameter / 2 + grow) if isinstance(placed.shape, Round) else None


def known_of(placed: Placed, grow: float = 0.0) -> KnownArcs:
    """Circles and radii of the shape after every edge has moved outward by `grow`."""
    match placed.shape:
        case Round():
            circle = circle_of(placed, grow)
            return KnownArcs((circle,) if circle else ())
        case Slot(length, width):
            half, radius = (length - width) / 2, width / 2 + grow
            turn = radians(placed.turn)
            ends = [(placed.at[0] + s * half * cos(turn), placed.at[1] + s * half * sin(turn)) for s in (-1, 1)]
            return KnownArcs(tuple(Circle(end, radius) for end in ends), (radius,))
        case Points(points, _, bulges) if bulges:
            radii = {round(one.radius, 9) for one in Loop(points, bulges).segments() if one.bulge}
            return KnownArcs((), tuple(sorted(radius + side * grow for radius in radii for side in (1, -1))))
        case Rectangle(_, _, corner) | Points(_, corner):
            return KnownArcs(
                (), tuple(radius for radius in (corner + grow, abs(corner - grow), abs(grow)) if radius > 0)
            )
        case _:
            return KnownArcs()


def merged(known: list[KnownArcs]) -> KnownArcs:
    """All circles and radii together."""
    circles = tuple(circle for one in known for circle in one.circles)
    return KnownArcs(circles, tuple(radius for one in known for radius in one.radii))


def _plain(shape: Shape, drawings: Drawings) -> Polygon:
    match shape:
        case Round(diameter):
            return outlines.disc((0.0, 0.0), diameter)
        case Slot(length, width):
            return outlines.slot(length, width)
        case Oval(length, width):
            return outlines.oval(length, width)
        case Rectangle(width, height, corner):
            return outlines.rectangle(width, height, corner)
        case Points(points, _, bulges) if bulges:
            return outlines.one_piece(Polygon(Loop(points, bulges).flattened()), "line of points and arcs")
        case Points(points, corner):
            return outlines.rounded(points, corner)
        case Drawing(file):
            return drawings[file]
