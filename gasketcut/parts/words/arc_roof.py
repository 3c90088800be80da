"""`{ arc-roof = [top, bottom, height], roof = radius, corner = radius }`: a trapezoid whose upper side is an arc."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, atan2, hypot, sqrt, tan
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Margin, Problem, Size
from gasketcut.described import Usual, key
from gasketcut.errors import ShapeError
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.shape.loop import Loop


@dataclass(frozen=True, slots=True)
class ArcRoof(Shape):
    """The window of many exhaust ports: `bottom` wide below, straight sides, `top` wide where the roof begins, and a
    roof that is an arc of radius `roof`, highest in the middle. `height` is over all, in the middle.

    corner  radius of all four corners
    """

    word: ClassVar[str] = "arc-roof"

    top: Size
    bottom: Size
    height: Size = key(
        name="arc-roof",
        joins=("top", "bottom"),
        what="a trapezoid whose upper side is an arc: width at the top, width at the bottom, height over all",
        how="inside calipers; a print of the port on paper",
        example="[26.0, 24.0, 12.0]",
    )
    roof: Size = key(
        what="radius of the roof's arc",
        how="radius gauge; a print of the port on paper",
        example="40.0",
        usual=Usual(0.5, 3, per="of its width"),
        agrees=("arc-roof",),
    )
    corner: Margin = key(0.0, what="radius of its corners", how="radius gauge or a drill's shank", example="4.0")

    def problems(self) -> Iterator[Problem]:
        if own := tuple(Shape.problems(self)):
            yield from own  # with numbers that are no sizes nothing further can be worked out
        elif self.roof < self.top / 2:
            yield "roof", f"{self.roof:g} is less than half the width of {self.top:g}; the least is {self.top / 2:g}"
        elif self._eaves() <= -self.height / 2:
            rise = self.height / 2 - self._eaves()
            yield "roof", f"an arc of {self.roof:g} rises {rise:.2f} over that width; the height has to be more"
        elif self.corner and not self._fits():
            yield "corner", f"{self.corner:g} does not fit into the corners; make it smaller"

    @property
    def area(self) -> float:
        return self._loop().area

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        loop = self._loop()
        return outlines.from_loop(loop.points, loop.bulges, "arc-roofed port")

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs, loop_radii

        loop = self._loop()
        return KnownArcs((), (*loop_radii(loop.points, loop.bulges, grow), *((abs(grow),) if grow else ())))

    def _eaves(self) -> float:
        """Where the roof begins, from the middle of the height."""
        return self.height / 2 - self.roof + sqrt(self.roof**2 - self.top**2 / 4)

    def _fits(self) -> bool:
        try:
            self._corners()
        except ShapeError:
            return False
        return True

    def _loop(self) -> Loop:
        """Counter-clockwise from the lower left; each corner is an arc tangent to both of its sides."""
        from gasketcut.shape.loop import Loop

        if not self.corner:
            low, high = -self.height / 2, self._eaves()
            points = [(-self.bottom / 2, low), (self.bottom / 2, low), (self.top / 2, high), (-self.top / 2, high)]
            half = acos(max(-1.0, (high - self.height / 2 + self.roof) / self.roof))
            return Loop(tuple(points), (0.0, 0.0, tan(half / 2), 0.0))
        (floor, side_low, low_turn), (side_high, on_roof, high_turn), half = self._corners()
        right = [floor, side_low, side_high, on_roof]
        left = [(-x, y) for x, y in reversed(right)]
        low_bulge, high_bulge = tan(low_turn / 4), tan(high_turn / 4)
        bulges = [low_bulge, 0.0, high_bulge, tan(half / 2), high_bulge, 0.0, low_bulge, 0.0]
        return Loop.of_apart([*right, *left], bulges)

    def _corners(self) -> tuple[tuple[Point, Point, float], tuple[Point, Point, float], float]:
        """Lower and upper corner on the right, each where its arc begins, where it ends and its turn [rad]; and half
        the turn of what is left of the roof. The upper one touches the side and, from within, the roof's circle."""
        r, low = self.corner, -self.height / 2
        foot, top = (self.bottom / 2, low), (self.top / 2, self._eaves())
        length = hypot(top[0] - foot[0], top[1] - foot[1])
        dx, dy = (top[0] - foot[0]) / length, (top[1] - foot[1]) / length
        low_turn = atan2(dy, dx)
        back = r * tan(low_turn / 2)
        # The middle of the upper corner lies on the side moved in by r, roof - r from the roof's middle.
        x, y = foot[0] - dy * r, foot[1] + dx * r - (self.height / 2 - self.roof)
        along, inner = x * dx + y * dy, self.roof - r
        room = along**2 - (x * x + y * y) + inner**2
        ahead = -along + sqrt(room) if room >= 0 and inner > 0 else -1.0
        cx, cy = x + ahead * dx, y + ahead * dy
        if back > self.bottom / 2 or not back <= ahead <= length or cx < 0:
            raise ShapeError(f"a corner radius of {r:g} mm does not fit")
        half = atan2(cx, cy)
        on_roof = (cx * self.roof / inner, cy * self.roof / inner + self.height / 2 - self.roof)
        high_turn = atan2(cy, cx) - atan2(-dx, dy)
        return (
            ((foot[0] - back, low), (foot[0] + back * dx, low + back * dy), low_turn),
            ((foot[0] + ahead * dx, foot[1] + ahead * dy), on_roof, high_turn),
            half,
        )
