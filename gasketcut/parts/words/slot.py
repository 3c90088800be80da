"""`{ slot = [length, width] }`: round ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, pi, radians, sin
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Problem, Size
from gasketcut.described import key
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs


@dataclass(frozen=True, slots=True)
class Slot(Shape):
    """Round ends: `length` over all, `width` = diameter of the ends."""

    word: ClassVar[str] = "slot"

    length: Size
    width: Size = key(
        name="slot",
        joins=("length",),
        what="round ends: length over all and width",
        how="inside calipers, both ways",
        example="[20.0, 8.0]",
    )

    def problems(self) -> Iterator[Problem]:
        yield from Shape.problems(self)
        if self.length < self.width:
            yield "slot", f"its length {self.length:g} is below its width {self.width:g}; write [length, width]"

    @property
    def area(self) -> float:
        return (self.length - self.width) * self.width + pi / 4 * self.width**2

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        return outlines.slot(self.length, self.width)

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs
        from gasketcut.shape.loop import Circle

        half, radius, way = (self.length - self.width) / 2, self.width / 2 + grow, radians(turn)
        ends = [(at[0] + s * half * cos(way), at[1] + s * half * sin(way)) for s in (-1, 1)]
        return KnownArcs(tuple(Circle(end, radius) for end in ends), (radius,))
