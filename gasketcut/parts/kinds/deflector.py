"""`kind = "deflector"`: a flat blank to bend, that turns the gas away."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal

from gasketcut.checked import Margin, Size
from gasketcut.described import GASKET, Usual, key
from gasketcut.parts.kinds.cautions import MUFFLER
from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Deflector(PartSpec):
    """`lap` wider than the plate's openings on either side; `reach` over the gas from its bend, and a `foot` with the
    holes on the other side of it [mm]."""

    kind: ClassVar[str] = "deflector"
    follows: ClassVar[str | None] = 'the outlet plate it belongs to, e.g. of = "outlet-plate"'
    at_outlet: ClassVar[Literal["", "plate", "screen", "deflector"]] = "deflector"
    cautions: ClassVar[tuple[str, ...]] = (MUFFLER,)

    lap: Margin = key(
        4.0, what="by how much it is wider than the openings on either side", how="the land that the frame leaves",
        example="4.0",
        usual=Usual(1, 20), helps=(GASKET,),
    )  # fmt: skip
    reach: Size = key(
        20.0, what="over the gas from its bend", how="a rule", example="20.0", usual=Usual(3, 120), helps=(GASKET,)
    )
    foot: Size = key(
        12.0, what="from the bend to the edge that is bolted on", how="a rule", example="12.0", usual=Usual(3, 60),
        helps=(GASKET,),
    )  # fmt: skip

    def built(self, around: Around) -> Part:
        from gasketcut.parts.outlet import deflector_blank

        return deflector_blank(self, (self.lap, self.reach, self.foot), around)
