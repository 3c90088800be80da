"""`kind = "base"`: the gasket under the cylinder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from gasketcut.parts.kinds.cautions import ASBESTOS, FUEL
from gasketcut.parts.part_spec import PartSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Base(PartSpec):
    """Bore and transfers are cut through it; the transfers usually open into the bore."""

    kind: ClassVar[str] = "base"
    passages: ClassVar[tuple[str, ...]] = ("bore", "transfer", "impulse", "oil", "water", "drain", "dowel")
    opening_is: ClassVar[tuple[str, ...]] = ("bore", "base")
    opening_says: ClassVar[str] = "the bore"
    seals: ClassVar[bool] = True
    is_base: ClassVar[bool] = True
    cautions: ClassVar[tuple[str, ...]] = (ASBESTOS, FUEL)
