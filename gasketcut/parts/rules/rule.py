"""How far a sheet reaches: a rule that follows what is cut inside it.

Inside    what the rule follows: openings as they are cut, and the places of bolts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Self, TypeVar

from gasketcut.checked import Checked
from gasketcut.errors import ShapeError
from gasketcut.plane import Point
from gasketcut.toml.read import read

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

    from gasketcut.parts.words import Drawings, Placed
    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.toml.table import Table

    G = TypeVar("G", bound=BaseGeometry)


@dataclass(frozen=True, slots=True)
class Inside:
    """Openings as polygons, and as shapes with how much larger than given each is cut; all holes by place and diameter;
    the places of the studs alone; and the received drawings."""

    openings: tuple[Polygon, ...]
    cuts: tuple[tuple[Placed, float], ...]
    holes: tuple[tuple[Point, float], ...]
    studs: tuple[Point, ...]
    drawings: Drawings


@dataclass(frozen=True, slots=True)
class OutlineRule(Checked):
    """Base of the outline rules."""

    word: ClassVar[str]
    other_keys: ClassVar[tuple[str, ...]] = ()
    """Keys that this rule has besides its word."""

    @classmethod
    def read(cls, table: Table) -> Self:
        """From the outline's table; faults are noted there."""
        return read(cls, table)

    def outer(self, inside: Inside) -> Polygon:
        """The sheet's edge; raise `ShapeError` if no single line comes out."""
        raise NotImplementedError

    def known_edges(self, inside: Inside) -> KnownArcs:
        """Circles and radii that the edge can lie on."""
        raise NotImplementedError

    def drawn_shapes(self) -> tuple[Placed, ...]:
        """Shapes that the rule itself names."""
        return ()


def something(shapes: Sequence[G], word: str) -> list[G]:
    """The shapes, or a `ShapeError` where there are none to follow."""
    if not shapes:
        raise ShapeError(f"'{word}' follows openings and holes, and the part has none; give the outline a shape")
    return list(shapes)
