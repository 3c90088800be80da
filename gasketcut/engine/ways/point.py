"""One setting of everything that may be moved or cut, and the figures that it gives.

Setting   how far the cylinder is lowered, and what is taken off band, head, bowl and edges [mm; bowl mm3].
Point     a setting with its figures; None stands where the job does not say enough for one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ways.stand import Stand


@dataclass(frozen=True, slots=True)
class Setting:
    """All of it; nothing below zero but `lowered`."""

    lowered: float = 0.0
    band: float = 0.0
    head: float = 0.0
    bowl: float = 0.0
    exhaust: float = 0.0
    transfer: float = 0.0
    intake: float = 0.0


@dataclass(frozen=True, slots=True)
class Point:
    """A setting and what it reaches."""

    setting: Setting
    reached: Mapping[str, float]


@dataclass(slots=True)
class Angles:
    """Where edges open, by travel; each is worked out once."""

    crank: Crank
    _known: dict[float, tuple[float, float]] = field(default_factory=dict)

    def of(self, travel: float) -> tuple[float, float]:
        """Degrees after TDC and before TDC."""
        if travel not in self._known:
            self._known[travel] = (self.crank.after(travel), self.crank.before(travel))
        return self._known[travel]

    def after(self, travel: float) -> float:
        return self.of(travel)[0]

    def blowdown(self, exhaust: float, transfer: float) -> float:
        """Degrees from the one roof to the other."""
        return self.after(transfer) - self.after(exhaust)

    def exhaust_for(self, blowdown: float, transfer: float) -> float:
        """The exhaust's roof that gives this blowdown over that transfer's."""
        return float(self.crank.travel(self.after(transfer) - blowdown))

    def transfer_for(self, blowdown: float, exhaust: float) -> float:
        """The transfer's roof that gives this blowdown under that exhaust's."""
        return float(self.crank.travel(self.after(exhaust) + blowdown))


def chamber_at(stand: Stand, setting: Setting) -> float | None:
    """Volume at TDC [mm3]."""
    if stand.chamber is None:
        return None
    over_band = (stand.band or 0.0) * setting.band
    return stand.chamber - stand.area * (setting.lowered + setting.head) + over_band + setting.bowl


def roofs_at(stand: Stand, setting: Setting) -> tuple[float | None, float | None, float | None]:
    """Travel of the exhaust's roof, of the transfer's that opens first, and of the intake's edge [mm]."""
    low = setting.lowered
    exhaust = None if stand.exhaust is None else stand.exhaust + low - setting.exhaust
    raised = None if stand.transfer is None else stand.transfer - setting.transfer
    transfer = min((one + low for one in (raised, stand.fixed) if one is not None), default=None)
    intake = None if stand.intake is None else stand.intake + low + setting.intake
    return exhaust, transfer, intake


def point_at(stand: Stand, setting: Setting, angles: Angles | None) -> Point | None:
    """The figures of a setting; None where piston and head would meet, no chamber is left, or an edge leaves the
    stroke."""
    squish = stand.squish - setting.lowered + setting.band - setting.head
    chamber = chamber_at(stand, setting)
    if squish <= 0 or (chamber is not None and chamber <= 0):
        return None
    reached = {"squish_mm": squish}
    if chamber is not None:
        reached["chamber_cc"] = chamber / 1000
    if angles is None:
        return Point(setting, reached)
    full = angles.crank.full_travel
    exhaust, transfer, intake = roofs_at(stand, setting)
    if any(one is not None and not 0 < one < full for one in (exhaust, transfer, intake)):
        return None
    if exhaust is not None:
        reached["exhaust_deg"] = 360 - sum(angles.of(exhaust))
    if transfer is not None:
        reached["transfer_deg"] = 360 - sum(angles.of(transfer))
    if intake is not None:
        reached["intake_deg"] = sum(angles.of(intake))
    if exhaust is not None and transfer is not None:
        reached["blowdown_deg"] = angles.blowdown(exhaust, transfer)
    if chamber is not None:
        reached["full"] = 1 + stand.area * full / chamber
        if exhaust is not None:
            reached["trapped"] = trapped = 1 + stand.area * exhaust / chamber
            reached["cranking_psi"] = stand.psi(trapped)
    return Point(setting, reached)
