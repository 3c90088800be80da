"""`{ round = diameter }`."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Size
from gasketcut.described import Usual, key
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.shape.loop import Circle


@dataclass(frozen=True, slots=True)
class Round(Shape):
    """A circle by its diameter."""

    word: ClassVar[str] = "round"

    diameter: Size = key(
        name="round", what="a circle, by its diameter", how="inside calipers", example="16.0", usual=Usual(1, 200)
    )

    @property
    def area(self) -> float:
        return pi / 4 * self.diameter**2

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        return outlines.disc((0.0, 0.0), self.diameter)

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs

        return KnownArcs((self.circle(at, grow),))

    def circle(self, at: Point, grow: float = 0.0) -> Circle:
        from gasketcut.shape.loop import Circle

        return Circle(at, self.diameter / 2 + grow)
