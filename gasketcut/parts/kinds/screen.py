"""`kind = "screen"`: the blank of a spark screen between an outlet plate and its frame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from gasketcut.checked import Margin
from gasketcut.parts.cautions import MUFFLER
from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part
    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen(PartSpec):
    """All openings of the plate and `lap` round them [mm]."""

    kind: ClassVar[str] = "screen"
    follows: ClassVar[str | None] = 'the outlet plate it belongs to, e.g. of = "outlet-plate"'
    own_keys: ClassVar[tuple[str, ...]] = ("lap",)
    cautions: ClassVar[tuple[str, ...]] = (MUFFLER,)

    lap: Margin = 4.0

    @classmethod
    def read_own(cls, table: Table) -> dict[str, Any]:
        return {"lap": table.length("lap", 4.0, zero=True)}

    def built(self, around: Around) -> Part:
        from gasketcut.parts.outlet import screen_blank

        return screen_blank(self, self.lap, around)
