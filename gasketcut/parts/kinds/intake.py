"""`kind = "intake"`: the gasket between cylinder and carburettor or manifold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from gasketcut.parts.kinds.cautions import ASBESTOS, FUEL
from gasketcut.parts.part_spec import PartSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake(PartSpec):
    """Its opening is the way for the mixture, and is checked against the port."""

    kind: ClassVar[str] = "intake"
    passages: ClassVar[tuple[str, ...]] = ("intake", "impulse", "oil", "water", "drain", "dowel")
    opening_is: ClassVar[tuple[str, ...]] = ("intake",)
    opening_is_port: ClassVar[bool] = True
    seals: ClassVar[bool] = True
    cautions: ClassVar[tuple[str, ...]] = (ASBESTOS, FUEL)
