"""Shape words as frozen values, in mm and degrees.

Shape     a closed line about its own middle: round, slot, oval, rectangle, points or a drawing.
Placed    a shape put somewhere: moved to `at` after turning by `turn` degrees, counter-clockwise.
Outline   how far a sheet reaches: a shape, or a rule that follows what is inside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from gasketcut.plane import Point


@dataclass(frozen=True, slots=True)
class Round:
    """A circle by its diameter."""

    diameter: float


@dataclass(frozen=True, slots=True)
class Slot:
    """Round ends: `length` over all, `width` = diameter of the ends."""

    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Oval:
    """An ellipse with these full axes."""

    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Rectangle:
    """Width along x, height along y, and the radius of its corners."""

    width: float
    height: float
    corner: float = 0.0


@dataclass(frozen=True, slots=True)
class Points:
    """A polygon, every corner rounded to the radius `corner`; or lines and arcs, a bulge for the arc behind each.

    A bulge is the tangent of a quarter of the arc's turn, positive counter-clockwise, at most half a circle.
    """

    points: tuple[Point, ...]
    corner: float = 0.0
    bulges: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """The one closed line of a DXF file."""

    file: Path


Shape = Round | Slot | Oval | Rectangle | Points | Drawing


@dataclass(frozen=True, slots=True)
class Placed:
    """A shape turned about its middle by `turn` degrees, then moved to `at`."""

    shape: Shape
    at: Point = (0.0, 0.0)
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Hull:
    """The tightest outward-curved line round everything inside, `margin` away from it."""

    margin: float


@dataclass(frozen=True, slots=True)
class Lobes:
    """A disc of radius `lobe` round each stud and a band `ring` wide round the openings, inner corners filled."""

    lobe: float
    ring: float
    fillet: float


@dataclass(frozen=True, slots=True)
class Grow:
    """Another shape grown by `margin`; `of` None means the part's own opening."""

    margin: float
    of: Placed | None = None


Outline = Placed | Hull | Lobes | Grow
