"""`{ points = [[x, y], ...], corner = radius }`, or lines and arcs with `bulges = [...]`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Self

from gasketcut.checked import Limits, Margin, Problem
from gasketcut.described import Form, key
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Points(Shape):
    """A polygon, every corner rounded to the radius `corner`; or lines and arcs, a bulge for the arc behind each.

    A bulge is the tangent of a quarter of the arc's turn, positive counter-clockwise, at most half a circle.
    """

    word: ClassVar[str] = "points"

    points: tuple[Point, ...] = key(
        what="a line through these places, back to the first", how="calipers, squared paper, a trace of a scan",
        example="[[0, 0], [20, 0], [20, 10]]",
    )  # fmt: skip
    corner: Margin = key(0.0, what="radius to which every corner is rounded", how="radius gauge", example="2.0")
    bulges: tuple[float, ...] = key(
        (),
        what="for the arc behind each place the tangent of a quarter of its turn, 0 for a line",
        example="[0, 0.5, 0]",
        form=Form("numbers", Limits(-1, 1, with_least=True, dimension="number", unit="")),
        agrees=("points", "corner"),
    )

    @classmethod
    def read(cls, table: Table) -> Self:
        points = table.points("points", 3 if "bulges" not in table else 2)
        corner, bulges = table.length("corner", 0.0, zero=True), table.raw("bulges")
        if bulges is None:
            return table.built(cls, points=points, corner=corner)
        numbers = bulges if isinstance(bulges, list) else []
        good = [one for one in numbers if isinstance(one, int | float) and not isinstance(one, bool)]
        if len(good) != len(numbers) or not numbers:
            table.fault("bulges", _wanted(len(points)))
        return table.built(cls, points=points, corner=corner, bulges=tuple(float(one) for one in good))

    def problems(self) -> Iterator[Problem]:
        yield from Shape.problems(self)
        least = 2 if self.bulges else 3
        if len(self.points) < least:
            yield "points", f"write a list of at least {least} places, e.g. [[0, 0], [20, 0], [20, 10]]"
        if self.bulges and (len(self.bulges) != len(self.points) or not all(-1 <= one <= 1 for one in self.bulges)):
            yield "bulges", _wanted(len(self.points))
        if self.bulges and self.corner:
            yield "corner", "rounds straight corners; with bulges leave it out"

    @property
    def area(self) -> float:
        from gasketcut.shape.loop import Loop

        return Loop(self.points, self.bulges).area if self.bulges else float(self.polygon().area)

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        if self.bulges:
            return outlines.from_loop(self.points, self.bulges, "line of points and arcs")
        return outlines.rounded(self.points, self.corner)

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs, corner_radii, loop_radii

        if self.bulges:
            return KnownArcs((), loop_radii(self.points, self.bulges, grow))
        return corner_radii(self.corner, grow)


def _wanted(count: int) -> str:
    return f"write {count} numbers from -1 to 1, one for the arc behind each point, 0 for a line"
