"""`kind = "outlet"`: the openings of a muffler outlet, as a plate to cut or as a template to drill and file by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar

from gasketcut.checked import Problem, Size
from gasketcut.parts.cautions import MUFFLER
from gasketcut.parts.outlet_rule import OutletRule
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.rules import Hull
from gasketcut.parts.words import Placed, Shape

if TYPE_CHECKING:
    from gasketcut.parts.part import Part
    from gasketcut.toml.table import Table

TEMPLATE_MARGIN = 15.0
"""mm of sheet round the openings of a template, so that there is something to hold and tape down. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet(PartSpec):
    """Its openings are the way for the gas themselves, so there is nothing they have to clear.

    template  a sheet to drill and file metal by, with a chain of holes of `drill` mm marked
    """

    kind: ClassVar[str] = "outlet"
    own_keys: ClassVar[tuple[str, ...]] = ("outlet", "form", "drill")
    cautions: ClassVar[tuple[str, ...]] = (MUFFLER,)

    outlet: OutletRule | None = None
    template: bool = False
    drill: Size = 4.0

    @classmethod
    def read_own(cls, table: Table) -> dict[str, Any]:
        outlet = table.table("outlet", "round")
        return {
            "outlet": OutletRule.read(outlet) if outlet else None,
            "template": table.word("form", ("plate", "template"), "plate") == "template",
            "drill": table.length("drill", 4.0),
        }

    def problems(self) -> Iterator[Problem]:
        yield from PartSpec.problems(self)
        if self.outlet is None:
            yield None, ("'outlet' is missing; write its size, e.g. outlet = { round = 14.0 } or "
                         "outlet = { percent = 80 }")  # fmt: skip

    @property
    def needs_outline(self) -> bool:
        return not self.template

    @property
    def needs_exhaust_port(self) -> bool:
        return self.outlet is not None and self.outlet.percent is not None

    def cuts(self, around: Around) -> list[tuple[Placed, float]]:
        own = self.outlet.openings(around.exhaust_mm2) if self.outlet else []
        return [*((placed, 0.0) for placed in own), *PartSpec.cuts(self, around)]

    def shapes(self) -> Iterator[Shape]:
        yield from PartSpec.shapes(self)
        if self.outlet is not None and self.outlet.shape is not None:
            yield self.outlet.shape

    def built(self, around: Around) -> Part:
        from gasketcut.parts.outlet import with_drill_marks

        outlined = self if self.outline else replace(self, outline=Hull(TEMPLATE_MARGIN))
        part = PartSpec.built(outlined, around)
        return with_drill_marks(part, self.drill) if self.template else part
