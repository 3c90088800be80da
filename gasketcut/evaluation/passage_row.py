"""What is proven of one port or passage, in numbers: one row of the report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gasketcut.checks.clearance import Clearance
from gasketcut.checks.sealing.seal import Seal, least_seal
from gasketcut.plane import Point


@dataclass(frozen=True, slots=True)
class PassageRow:
    """One port or passage of one part.

    clear   the least clearance proven over all motions [mm], negative into the gas; None where nothing was looked at
    at      where it is, None likewise
    motion  what does it: dx, dy [mm] and turn [rad]; None where nothing locates the sheet
    growth  the share by which the sheet has grown before that motion
    seal    the narrowest that the sheet seals round it over all motions; None where nothing locates the sheet
    """

    name: str
    role: str
    part: str
    clear: float | None
    at: Point | None
    motion: tuple[float, float, float] | None
    growth: float
    seal: Seal | None


def passage_row(part: str, one: Clearance, seals: Sequence[Seal]) -> PassageRow:
    """The row of one clearance, with the narrowest of all seals of that port or passage."""
    worst = one.worst
    return PassageRow(
        name=one.window.name,
        role=one.window.role,
        part=part,
        clear=one.clear,
        at=worst.at if worst else one.drawn.at if one.clear is not None else None,
        motion=worst.motion if worst else None,
        growth=worst.growth if worst else 0.0,
        seal=least_seal(seals, one.window),
    )
