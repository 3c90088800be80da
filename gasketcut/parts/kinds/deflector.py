"""`kind = "deflector"`: a flat blank to bend, that turns the gas away."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from gasketcut.checked import Margin, Size
from gasketcut.parts.cautions import MUFFLER
from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part
    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Deflector(PartSpec):
    """`lap` wider than the plate's openings on either side; `reach` over the gas from its bend, and a `foot` with the
    holes on the other side of it [mm]."""

    kind: ClassVar[str] = "deflector"
    follows: ClassVar[str | None] = 'the outlet plate it belongs to, e.g. of = "outlet-plate"'
    own_keys: ClassVar[tuple[str, ...]] = ("lap", "reach", "foot")
    cautions: ClassVar[tuple[str, ...]] = (MUFFLER,)

    lap: Margin = 4.0
    reach: Size = 20.0
    foot: Size = 12.0

    @classmethod
    def read_own(cls, table: Table) -> dict[str, Any]:
        return {
            "lap": table.length("lap", 4.0, zero=True),
            "reach": table.length("reach", 20.0),
            "foot": table.length("foot", 12.0),
        }

    def built(self, around: Around) -> Part:
        from gasketcut.parts.outlet import deflector_blank

        return deflector_blank(self, (self.lap, self.reach, self.foot), around)
