"""A shape after it has been ground larger: what a job's `[[work]]` makes of the port it names; no word of its own."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from gasketcut.errors import ShapeError
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape
from gasketcut.plane import Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.shape.loop import Circle


@dataclass(frozen=True, slots=True)
class Grown(Shape):
    """`shape` with `all_round` taken off everywhere, then moved sideways by half of `widened` either way and upward by
    `raised`: all that it passes over. Widened or raised, straight edges stay straight and corners keep their radius."""

    word: ClassVar[str] = "grown"

    shape: Shape
    all_round: float = 0.0
    widened: float = 0.0
    raised: float = 0.0

    @property
    def area(self) -> float:
        if self.drawing_file is not None:
            raise ShapeError(f"the area of {self.drawing_file} is known only once it is drawn; write area_mm2 instead")
        return float(self.polygon().area)

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        ground = self.shape.circle((0.0, 0.0), self.all_round)
        if ground is not None:
            found = outlines.disc(ground.center, 2 * ground.radius)
        else:
            found = self.shape.polygon(drawings)
            found = outlines.grown(found, self.all_round) if self.all_round else found
        if self.widened:
            found = outlines.swept(outlines.placed(found, (-self.widened / 2, 0.0), 0.0), (self.widened, 0.0))
        return outlines.swept(found, (0.0, self.raised))

    @property
    def is_gone(self) -> bool:
        """Is nothing left of it, moved inward so far? False where only a drawing knows it."""
        from gasketcut.shape import outlines

        return self.drawing_file is None and not outlines.shrunk_pieces(self.shape.polygon(), -self.all_round)

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs

        found = self.shape.known(at, turn, self.all_round + grow)
        if not self._is_moved:
            return found
        return KnownArcs((), (*found.radii, *(circle.radius for circle in found.circles)))

    def circle(self, at: Point, grow: float = 0.0) -> Circle | None:
        return None if self._is_moved else self.shape.circle(at, self.all_round + grow)

    @property
    def drawing_file(self) -> Path | None:
        return self.shape.drawing_file

    @property
    def _is_moved(self) -> bool:
        return bool(self.widened or self.raised)
