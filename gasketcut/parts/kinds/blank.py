"""`kind = "blank"`: a pad that lets nothing pass, for the leak test."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.window import Asked, Window

if TYPE_CHECKING:
    from gasketcut.parts.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank(PartSpec):
    """Outline and bolt holes of the part `of` which it is, or its own; no way for gas."""

    kind: ClassVar[str] = "blank"
    follows: ClassVar[str | None] = 'the part whose outline it takes, e.g. of = "base-gasket"'
    own_outline: ClassVar[bool] = True
    lets_pass: ClassVar[bool] = False

    def flange_windows(self) -> tuple[Window, ...]:
        return ()  # it is meant to close them

    def cuts(self, around: Around) -> list[Asked]:
        return []

    def built(self, around: Around) -> Part:
        from gasketcut.parts.assembly import closed_copy

        return closed_copy(self, around) if self.of is not None else PartSpec.built(self, around)
