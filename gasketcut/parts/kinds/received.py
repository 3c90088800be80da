"""`kind = "received"`: what a drawing from elsewhere holds, cut exactly as it was drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, Literal

from gasketcut.checked import Count, Margin, Problem, Size
from gasketcut.described import GASKET, Usual, key
from gasketcut.errors import ShapeError
from gasketcut.finding import Finding
from gasketcut.parts.drawn import Drawn, DrawnFrom, NamedFor
from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part

_OF_OTHERS = ("outline", "opening", "studs", "dowels", "holes", "nick")


@dataclass(frozen=True, slots=True, kw_only=True)
class Received(PartSpec):
    """The contours of a received drawing: a part each, or one part counted where several are alike.

    drawn  the piece that it is, once the drawing has been read
    """

    kind: ClassVar[str] = "received"
    instead_of_tracing: ClassVar[str] = "it is cut by a drawing; name its DXF in a job with file = ..."

    file: str = key(what="the drawing that it is cut by, a DXF beside the job", example='"bracket.dxf"',
                    needed=(GASKET,))  # fmt: skip
    drawing_units: Literal["mm", "in", "cm", "m"] | None = key(
        None,
        name="units",
        what="what the drawing's numbers are, where it does not say or is not to be believed",
        how="ask who drew it, or hold its size against the part's",
        example='"mm"',
        helps=(GASKET,),
    )
    join: Margin | None = key(
        None,
        what="the widest gap between two lines that is closed",
        how="gasketcut inspect tells the gaps",
        example="0.05",
        left_out="0.05 mm",
        usual=Usual(0, 0.5),
        helps=(GASKET,),
    )
    fit: Size | None = key(
        None,
        what="how far arcs may lie off the splines or lines that they replace",
        how="yours to choose: less than your cutter keeps",
        example="0.02",
        left_out="0.02 mm",
        usual=Usual(0.001, 0.2),
        helps=(GASKET,),
    )
    drop: tuple[str, ...] = key(
        (), what="what may be left out of the drawing, as `gasketcut mend --drop` has it", example='["text"]',
        helps=(GASKET,),
    )  # fmt: skip
    count: Count = key(
        1, name="copies", what="how many of everything in the drawing, however often it holds a piece", example="4",
        helps=(GASKET,),
    )  # fmt: skip
    drawn: Drawn | None = None

    def problems(self) -> Iterator[Problem]:
        yield from PartSpec.problems(self)
        for name in _OF_OTHERS:
            if getattr(self, name):
                yield name, "a received part is cut as it was drawn; leave this out, or draw the part yourself"
        for role in dict.fromkeys(window.role for window in (*self.windows, *self.unmeasured)):
            yield role, "nothing is known of the metal under a received part; leave this out"

    @property
    def needs_outline(self) -> bool:
        return False

    @property
    def drawn_from(self) -> DrawnFrom | None:
        return DrawnFrom(self.file, self.drawing_units, self.join, self.fit, self.drop)

    @property
    def remarks(self) -> tuple[Finding, ...]:
        return tuple(replace(one, part=self.name) for one in self.drawn.remarks) if self.drawn else ()

    @property
    def named_for(self) -> NamedFor | None:
        return self.drawn.named_for if self.drawn else None

    def divided(self, drawn: Sequence[Drawn]) -> tuple[PartSpec, ...]:
        if len(drawn) == 1:
            return (replace(self, drawn=drawn[0]),)
        return tuple(replace(self, name=f"{self.name}-{number}", drawn=each) for number, each in enumerate(drawn, 1))

    def built(self, around: Around) -> Part:
        from gasketcut.parts.assembly import as_drawn

        if self.drawn is None:
            raise ShapeError(f"{self.file} has not been read")
        return as_drawn(self, self.drawn, around)
