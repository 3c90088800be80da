"""`kind = "outlet"`: the openings of a muffler outlet, as a plate to cut or as a template to drill and file by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, Literal

from gasketcut.checked import Problem, Size
from gasketcut.described import GASKET, Usual, key
from gasketcut.errors import Lack
from gasketcut.parts.kinds.cautions import MUFFLER
from gasketcut.parts.outlet_rule import OutletRule
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.rules import Hull
from gasketcut.parts.window import Asked
from gasketcut.parts.words import Shape

if TYPE_CHECKING:
    from gasketcut.parts.part import Part

Making = Literal["plate", "template"]

TEMPLATE_MARGIN = 15.0
"""mm of sheet round the openings of a template, so that there is something to hold and tape down. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet(PartSpec):
    """Its openings are the way for the gas themselves, so there is nothing they have to clear.

    form   a template is a sheet to drill and file metal by, with a chain of holes of `drill` mm marked
    """

    kind: ClassVar[str] = "outlet"
    at_outlet: ClassVar[Literal["", "plate", "screen", "deflector"]] = "plate"
    opening_key: ClassVar[str] = "outlet"
    cautions: ClassVar[tuple[str, ...]] = (MUFFLER,)

    outlet: OutletRule | None = key(
        None,
        what="its openings: a shape, or a share of the exhaust port's area",
        how="inside calipers, or the maker's figure",
        example='{ percent = 80, form = "oval", ratio = 1.6 }',
        needed=(GASKET,),
        agrees=("engine.ports",),
    )
    form: Making = key(
        "plate", what="a plate to cut, or a template to drill and file metal by", example='"template"', helps=(GASKET,)
    )
    drill: Size = key(
        4.0, what="drill for the chain of holes", how="calipers across the drill", example="3.0", usual=Usual(2, 8),
        helps=(GASKET,), agrees=("form",),
    )  # fmt: skip

    def problems(self) -> Iterator[Problem]:
        yield from PartSpec.problems(self)
        if self.outlet is None:
            hint = "write its size, e.g. outlet = { round = 14.0 } or outlet = { percent = 80 }"
            yield None, Lack("outlet", f"'outlet' is missing; {hint}")

    @property
    def needs_outline(self) -> bool:
        return self.form == "plate"

    @property
    def needs_exhaust_port(self) -> bool:
        return self.outlet is not None and self.outlet.percent is not None

    def cuts(self, around: Around) -> list[Asked]:
        own = self.outlet.openings(around.exhaust_mm2) if self.outlet else []
        return [*(Asked(placed) for placed in own), *PartSpec.cuts(self, around)]

    def shapes(self) -> Iterator[Shape]:
        yield from PartSpec.shapes(self)
        if self.outlet is not None and self.outlet.shape is not None:
            yield self.outlet.shape

    def built(self, around: Around) -> Part:
        from gasketcut.parts.outlet import with_drill_marks

        outlined = self if self.outline else replace(self, outline=Hull(TEMPLATE_MARGIN))
        part = PartSpec.built(outlined, around)
        return with_drill_marks(part, self.drill) if self.form == "template" else part
