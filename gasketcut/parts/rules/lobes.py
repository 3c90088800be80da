"""`{ lobes = radius, ring = width, fillet = radius }`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Self

from gasketcut.checked import Margin, Size
from gasketcut.parts.rules.rule import Inside, OutlineRule, something

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Lobes(OutlineRule):
    """A disc of radius `lobe` round each stud and a band `ring` wide round the openings, inner corners filled."""

    word: ClassVar[str] = "lobes"
    other_keys: ClassVar[tuple[str, ...]] = ("ring", "fillet")

    lobe: Size
    ring: Size
    fillet: Margin = 0.0

    @classmethod
    def read(cls, table: Table) -> Self:
        ring, fillet = table.length("ring"), table.length("fillet", 0.0, zero=True)
        return table.built(cls, lobe=table.length("lobes"), ring=ring, fillet=fillet)

    def outer(self, inside: Inside) -> Polygon:
        from shapely.geometry import Polygon

        from gasketcut.shape import outlines

        studs = inside.studs or tuple(place for place, _ in inside.holes)
        shapes: list[BaseGeometry] = [outlines.disc(place, 2 * self.lobe) for place in studs]
        shapes += [outlines.grown(opening, self.ring) for opening in inside.openings]
        filled = outlines.filled_corners(outlines.union(something(shapes, "lobes")), self.fillet)
        what = f"lobes and ring do not meet: with a fillet of {self.fillet:g} mm"
        return Polygon(outlines.one_piece(filled, what).exterior)

    def known_edges(self, inside: Inside) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs, merged
        from gasketcut.shape.loop import Circle

        lobes = tuple(Circle(place, self.lobe) for place, _ in inside.holes)
        bands = [placed.known(grow + self.ring) for placed, grow in inside.cuts]
        return merged([*bands, KnownArcs(lobes, (self.fillet, self.ring))])
