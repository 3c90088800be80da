"""`kind = "screen"`: the blank of a spark screen between an outlet plate and its frame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal

from gasketcut.checked import Margin
from gasketcut.described import GASKET, Usual, key
from gasketcut.parts.kinds.cautions import MUFFLER
from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen(PartSpec):
    """All openings of the plate and `lap` round them [mm]."""

    kind: ClassVar[str] = "screen"
    follows: ClassVar[str | None] = 'the outlet plate it belongs to, e.g. of = "outlet-plate"'
    at_outlet: ClassVar[Literal["", "plate", "screen", "deflector"]] = "screen"
    cautions: ClassVar[tuple[str, ...]] = (MUFFLER,)

    lap: Margin = key(
        4.0, what="by how much it is wider than the openings, all round", how="the land that the frame leaves",
        example="4.0",
        usual=Usual(1, 20), helps=(GASKET,),
    )  # fmt: skip

    def built(self, around: Around) -> Part:
        from gasketcut.parts.outlet import screen_blank

        return screen_blank(self, self.lap, around)
