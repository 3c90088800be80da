"""`kind = "flat"`: a flat part that seals nothing by itself: a traced outline, a flange, a washer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from gasketcut.parts.part_spec import PartSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat(PartSpec):
    """Whatever is drawn, without a rule of its own."""

    kind: ClassVar[str] = "flat"
