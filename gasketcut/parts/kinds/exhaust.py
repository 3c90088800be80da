"""`kind = "exhaust"`: the gasket between cylinder and muffler."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from gasketcut.parts.kinds.cautions import ASBESTOS, FUEL, MUFFLER
from gasketcut.parts.part_spec import PartSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Exhaust(PartSpec):
    """Its opening is the way for the gas, and is checked against the port."""

    kind: ClassVar[str] = "exhaust"
    passages: ClassVar[tuple[str, ...]] = ("exhaust", "water", "dowel")
    opening_is: ClassVar[tuple[str, ...]] = ("exhaust",)
    opening_is_port: ClassVar[bool] = True
    seals: ClassVar[bool] = True
    cautions: ClassVar[tuple[str, ...]] = (ASBESTOS, FUEL, MUFFLER)
