"""The kinds of part, one a file; a new one is registered by one line here."""

from __future__ import annotations

from gasketcut.parts.kinds.base import Base
from gasketcut.parts.kinds.blank import Blank
from gasketcut.parts.kinds.deflector import Deflector
from gasketcut.parts.kinds.exhaust import Exhaust
from gasketcut.parts.kinds.flat import Flat
from gasketcut.parts.kinds.frame import Frame
from gasketcut.parts.kinds.intake import Intake
from gasketcut.parts.kinds.joint import Joint
from gasketcut.parts.kinds.outlet import Outlet
from gasketcut.parts.kinds.received import Received
from gasketcut.parts.kinds.reed import Reed
from gasketcut.parts.kinds.screen import Screen
from gasketcut.parts.kinds.spacer import Spacer
from gasketcut.parts.part_spec import PartSpec

KINDS: dict[str, type[PartSpec]] = {
    kind.kind: kind
    for kind in (Base, Intake, Exhaust, Reed, Outlet, Spacer, Blank, Screen, Frame, Deflector, Joint, Flat, Received)
}

__all__ = ["KINDS", "Base", "Blank", "Deflector", "Exhaust", "Flat", "Frame", "Intake", "Joint", "Outlet", "Received",
           "Reed", "Screen", "Spacer"]  # fmt: skip
