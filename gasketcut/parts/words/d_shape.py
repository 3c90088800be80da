"""`{ d-shape = [width, height], corner = radius }`: flat below, round above."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, tan
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Margin, Problem, Size
from gasketcut.described import key
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.shape.loop import Loop

_QUARTER = tan(pi / 8)  # bulge of a quarter circle


@dataclass(frozen=True, slots=True)
class DShape(Shape):
    """A flat side below as wide as the shape, half a circle above it, and straight sides where the shape is higher than
    that half circle. Lower than that, the round side is the arc through the ends of the flat one.

    corner  radius of the two corners of the flat side; only where there are straight sides for it
    """

    word: ClassVar[str] = "d-shape"

    width: Size
    height: Size = key(
        name="d-shape",
        joins=("width",),
        what="flat below and round above: width and height",
        how="inside calipers, both ways",
        example="[24.0, 18.0]",
    )
    corner: Margin = key(
        0.0, what="radius of the two corners of the flat side", how="radius gauge or a drill's shank", example="4.0"
    )

    def problems(self) -> Iterator[Problem]:
        yield from Shape.problems(self)
        most = max(0.0, min(self.width / 2, self.height - self.width / 2))
        if self.corner > most:
            yield "corner", f"{self.corner:g} does not fit beside the round side; the most is {most:g}"

    @property
    def area(self) -> float:
        return self._loop().area

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        loop = self._loop()
        return outlines.from_loop(loop.points, loop.bulges, "D shape")

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs, loop_radii

        loop = self._loop()
        return KnownArcs((), (*loop_radii(loop.points, loop.bulges, grow), *((abs(grow),) if grow else ())))

    def _loop(self) -> Loop:
        from gasketcut.shape.loop import Loop

        half, low, corner = self.width / 2, -self.height / 2, self.corner
        side = self.height - half  # length of a straight side
        if side <= 0:
            return Loop(((-half, low), (half, low)), (0.0, 2 * self.height / self.width))
        points = [(-half + corner, low), (half - corner, low), (half, low + corner), (half, low + side),
                  (-half, low + side), (-half, low + corner)]  # fmt: skip
        bulges = [0.0, _QUARTER, 0.0, 1.0, 0.0, _QUARTER]
        return Loop.of_apart(points, bulges)
