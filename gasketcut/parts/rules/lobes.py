"""`{ lobes = radius, ring = width, fillet = radius }`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Margin, Size
from gasketcut.described import GASKET, Usual, key
from gasketcut.parts.rules.rule import Inside, OutlineRule, something

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

    from gasketcut.shape.arcs import KnownArcs


@dataclass(frozen=True, slots=True)
class Lobes(OutlineRule):
    """A disc of radius `lobe` round each stud and a band `ring` wide round the openings, inner corners filled."""

    word: ClassVar[str] = "lobes"
    other_keys: ClassVar[tuple[str, ...]] = ("ring", "fillet")

    lobe: Size = key(
        name="lobes", what="radius of the sheet round each stud", how="to the edge of the flange", example="6.5",
        usual=Usual(3, 20), needed=(GASKET,), agrees=("part.studs.diameter",),
    )  # fmt: skip
    ring: Size = key(
        what="width of the band round the openings", how="width of the flange there", example="4.5",
        usual=Usual(1.5, 20), needed=(GASKET,),
    )  # fmt: skip
    fillet: Margin = key(
        0.0, what="radius of the inner corners", how="large enough that lobes and band meet", example="6.0",
        usual=Usual(1, 30), needed=(GASKET,),
    )  # fmt: skip

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
