"""`{ grow = margin }` of the openings, or of a shape: `{ grow = margin, of = { round = 30.0 } }`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Self

from gasketcut.checked import Size
from gasketcut.described import GASKET, Form, Usual, key
from gasketcut.parts.rules.rule import Inside, OutlineRule, something
from gasketcut.parts.words import Placed
from gasketcut.toml.read import read

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.shape.arcs import KnownArcs
    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Grow(OutlineRule):
    """Another shape grown by `margin`; `of` None means the part's own openings."""

    word: ClassVar[str] = "grow"

    margin: Size = key(
        name="grow", what="by how much the openings, or the shape `of`, are grown", how="the land the flange leaves",
        example="6.0", usual=Usual(2, 20), needed=(GASKET,),
    )  # fmt: skip
    of: Placed | None = key(
        None, what="a shape to grow; left out: the part's own openings", example="{ round = 30.0 }", form=Form("placed")
    )

    @classmethod
    def read(cls, table: Table) -> Self:
        from gasketcut.parts.reading import read_placed

        inner = table.table("of")
        return read(cls, table, of=read_placed(inner) if inner else None)

    def outer(self, inside: Inside) -> Polygon:
        from gasketcut.shape import outlines

        shapes = [self.of.polygon(inside.drawings)] if self.of else something(inside.openings, "grow")
        joined = outlines.union(outlines.grown(shape, self.margin) for shape in shapes)
        return outlines.one_piece(joined, f"the openings lie too far apart: grown by {self.margin:g} mm")

    def known_edges(self, inside: Inside) -> KnownArcs:
        from gasketcut.shape.arcs import merged

        cuts = ((self.of, 0.0),) if self.of else inside.cuts
        return merged([placed.known(grow + self.margin) for placed, grow in cuts])

    def drawn_shapes(self) -> tuple[Placed, ...]:
        return (self.of,) if self.of else ()
