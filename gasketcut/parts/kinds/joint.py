"""`kind = "joint"`: two faces of metal held against each other, without a sheet between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Problem
from gasketcut.errors import ShapeError
from gasketcut.parts.part_spec import Around, PartSpec

if TYPE_CHECKING:
    from gasketcut.parts.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint(PartSpec):
    """Its windows and studs say of which face they are; nothing is cut."""

    kind: ClassVar[str] = "joint"
    is_cut: ClassVar[bool] = False
    instead_of_tracing: ClassVar[str] = (
        "it has two faces; trace one with --face NAME and the kind of gasket, then the other with --into JOB --joint"
    )

    def problems(self) -> Iterator[Problem]:
        yield from PartSpec.problems(self)
        if len({window.face for window in self.windows} - {None}) < 2:
            yield None, "a joint has two faces; give its ports, passages and studs face = ..."

    def built(self, around: Around) -> Part:
        raise ShapeError("is a joint of two faces: there is no sheet to draw")
