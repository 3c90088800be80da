"""`{ rectangle = [width, height], corner = radius }`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Margin, Problem, Size
from gasketcut.described import key
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs


@dataclass(frozen=True, slots=True)
class Rectangle(Shape):
    """Width along x, height along y, and the radius of its corners."""

    word: ClassVar[str] = "rectangle"

    width: Size
    height: Size = key(
        name="rectangle",
        joins=("width",),
        what="width along x and height along y",
        how="inside calipers, both ways",
        example="[22.0, 13.0]",
    )
    corner: Margin = key(0.0, what="radius of its corners", how="radius gauge or a drill's shank", example="4.0")

    def problems(self) -> Iterator[Problem]:
        yield from Shape.problems(self)
        most = min(self.width, self.height) / 2
        if self.corner > most:
            yield "corner", f"{self.corner:g} is more than half the shorter side; the most is {most:g}"

    @property
    def area(self) -> float:
        return self.width * self.height - (4 - pi) * self.corner**2

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        return outlines.rectangle(self.width, self.height, self.corner)

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        from gasketcut.shape.arcs import corner_radii

        return corner_radii(self.corner, grow)
