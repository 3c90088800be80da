"""`{ hull = margin }`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Self

from gasketcut.checked import Size
from gasketcut.parts.rules.rule import Inside, OutlineRule, something

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Hull(OutlineRule):
    """The tightest outward-curved line round everything inside, `margin` away from it."""

    word: ClassVar[str] = "hull"

    margin: Size

    @classmethod
    def read(cls, table: Table) -> Self:
        return table.built(cls, margin=table.length("hull"))

    def outer(self, inside: Inside) -> Polygon:
        from gasketcut.shape import outlines

        discs = [outlines.disc(place, diameter) for place, diameter in inside.holes]
        return outlines.hull(something([*discs, *inside.openings], "hull"), self.margin)

    def known_edges(self, inside: Inside) -> KnownArcs:
        from gasketcut.shape.arcs import KnownArcs, merged
        from gasketcut.shape.loop import Circle

        round_holes = tuple(Circle(place, diameter / 2 + self.margin) for place, diameter in inside.holes)
        cuts = [placed.known(grow + self.margin) for placed, grow in inside.cuts]
        return merged([*cuts, KnownArcs(round_holes, (self.margin,))])
