"""`kind = "frame"`: what holds a screen down on an outlet plate."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from gasketcut.parts.kinds.cautions import MUFFLER
from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame(PartSpec):
    """Everything of the outlet plate it belongs to."""

    kind: ClassVar[str] = "frame"
    follows: ClassVar[str | None] = 'the outlet plate it belongs to, e.g. of = "outlet-plate"'
    cautions: ClassVar[tuple[str, ...]] = (MUFFLER,)

    def built(self, around: Around) -> Part:
        from gasketcut.parts.assembly import copied

        return copied(self, around)
