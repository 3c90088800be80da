"""`{ hull = margin }`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Size
from gasketcut.described import GASKET, Usual, key
from gasketcut.parts.rules.rule import Inside, OutlineRule, something

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs


@dataclass(frozen=True, slots=True)
class Hull(OutlineRule):
    """The tightest outward-curved line round everything inside, `margin` away from it."""

    word: ClassVar[str] = "hull"

    margin: Size = key(
        name="hull",
        what="the tightest outward-curved line round everything inside, so far away from it",
        how="the land the flange leaves",
        example="5.5",
        usual=Usual(2, 20),
        needed=(GASKET,),
    )

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
