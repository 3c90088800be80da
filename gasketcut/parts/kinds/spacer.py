"""`kind = "spacer"`: metal cut like a gasket, to raise a cylinder or set off a carburettor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacer(PartSpec):
    """Everything of the part `of` which it is, or an outline of its own."""

    kind: ClassVar[str] = "spacer"
    lies_on_original: ClassVar[bool] = True
    follows: ClassVar[str | None] = 'the part whose outline it takes, e.g. of = "base-gasket"'
    own_outline: ClassVar[bool] = True

    def built(self, around: Around) -> Part:
        from gasketcut.parts.assembly import copied

        return copied(self, around) if self.of is not None else PartSpec.built(self, around)
