"""`{ rectangle = [width, height], corner = radius }`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, ClassVar, Self

from gasketcut.checked import Margin, Problem, Size
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Rectangle(Shape):
    """Width along x, height along y, and the radius of its corners."""

    word: ClassVar[str] = "rectangle"
    other_keys: ClassVar[tuple[str, ...]] = ("corner",)

    width: Size
    height: Size
    corner: Margin = 0.0

    @classmethod
    def read(cls, table: Table) -> Self:
        width, height = table.pair("rectangle")
        return table.built(cls, width=width, height=height, corner=table.length("corner", 0.0, zero=True))

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
