"""What every shape word can say of itself, in mm and degrees.

Shape     a closed line about its own middle.
Placed    a shape put somewhere: turned about its middle by `turn` degrees counter-clockwise, then moved to `at`.
Drawings  the closed line of each received drawing, read beforehand.
Known     circles and radii that the user's numbers name, to which recovered arcs are snapped.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Self

from gasketcut.checked import Checked, Coordinate, Degrees
from gasketcut.described import key
from gasketcut.plane import Point
from gasketcut.toml.read import read

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.parts.rules.rule import Inside
    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.shape.loop import Circle
    from gasketcut.toml.table import Table

    Drawings = Mapping[Path, Polygon]
else:
    Drawings = Mapping

NO_DRAWINGS: Drawings = {}


@dataclass(frozen=True, slots=True)
class Shape(Checked):
    """Base of the shape words. The drawing library is loaded only when a polygon is asked for."""

    word: ClassVar[str]

    @classmethod
    def read(cls, table: Table) -> Self:
        """From the table in which the word stands; faults are noted there."""
        return read(cls, table)

    @property
    def area(self) -> float:
        """Of the true shape, not of its polygon [mm2]; raise `ShapeError` where only a drawing knows it."""
        raise NotImplementedError

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        """About its own middle; raise `ShapeError` if its numbers make none."""
        raise NotImplementedError

    def known(self, at: Point, turn: float, grow: float) -> KnownArcs:
        """Of the placed shape after every edge has moved outward by `grow`."""
        from gasketcut.shape.arcs import KnownArcs

        return KnownArcs()

    def circle(self, at: Point, grow: float = 0.0) -> Circle | None:
        """The placed shape as a circle by its own numbers, if it is one."""
        return None

    @property
    def drawing_file(self) -> Path | None:
        """The file that has to be read before the shape is drawn."""
        return None


@dataclass(frozen=True, slots=True)
class Placed(Checked):
    """A shape turned about its middle by `turn` degrees, then moved to `at`."""

    instead_of_shape: ClassVar[tuple[str, ...]] = ()
    """Keys that may stand where the shape word would; a class that has this takes one shape word beside its keys."""

    shape: Shape
    at: tuple[Coordinate, Coordinate] = key(
        (0.0, 0.0), what="where its middle lies", how="calipers from the part's origin", example="[0.0, -11.0]"
    )
    turn: Degrees = key(
        0.0, what="by how much it is turned about its middle, counter-clockwise", how="a protractor", example='"30 deg"'
    )

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        """The placed shape; raise `ShapeError` if its numbers make none."""
        from gasketcut.shape import outlines

        return outlines.placed(self.shape.polygon(drawings), self.at, self.turn)

    def known(self, grow: float = 0.0) -> KnownArcs:
        """Circles and radii after every edge has moved outward by `grow`."""
        return self.shape.known(self.at, self.turn, grow)

    def circle(self, grow: float = 0.0) -> Circle | None:
        """The placed shape as a circle by its own numbers, if it is one."""
        return self.shape.circle(self.at, grow)

    def outer(self, inside: Inside) -> Polygon:
        """As the outline of a part: nothing inside has a say."""
        return self.polygon(inside.drawings)

    def known_edges(self, inside: Inside) -> KnownArcs:
        return self.known()

    def drawn_shapes(self) -> tuple[Placed, ...]:
        """Itself, as an outline."""
        return (self,)
