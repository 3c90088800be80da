"""What a check may look at: one part with all that has been worked out about it before."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.checks.clearance import Clearance
from gasketcut.checks.sealing.lands import Narrowest
from gasketcut.checks.sealing.seal import Seal
from gasketcut.parts.faces import Faces
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.profiles import Profiles


@dataclass(frozen=True, slots=True)
class Subject:
    """A part as built and as specified, the two faces it lies between if they are known, how clear it stays, its
    narrowest land, the profiles that say what is enough, and how wide it stays sealed."""

    part: Part
    spec: PartSpec
    faces: Faces | None
    clearances: tuple[Clearance, ...]
    narrowest: Narrowest | None
    profiles: Profiles
    seals: tuple[Seal, ...] = ()
