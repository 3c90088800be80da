"""The engine as it stands now, in the few numbers that a move of the cylinder or a cut changes.

Lowered   how much nearer to the crankcase the cylinder sits [mm]: a thinner gasket, a cut base; below zero a spacer.
Roofs     piston travel at which the edges lie [mm]; a lowered cylinder puts each so much deeper.

Lengths mm, areas mm2, volumes mm3. The sums are geometry: with A the bore's area and a that of the squish band,
h' = h - lowered + band cut - head cut, V' = V - A lowered + a band cut - A head cut + bowl, and a roof at x lies at
x + lowered - raised.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.timing import travel_of
from gasketcut.engine.squish.compression import atmosphere_kpa, gauge_kpa
from gasketcut.engine.ways.wants import OF_KEY, Want
from gasketcut.errors import Fault, Lack
from gasketcut.job.model import Engine, PortTiming
from gasketcut.job.wanted import Wanted
from gasketcut.pressure import PSI

TIGHT = 1.3
"""Exponent of cranking on a tight gauge: the upper one of what is usual."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """What is not known is None; `pistons` are the names of the ports whose edges follow the cylinder.

    transfer  of those that may be raised, the one that opens first; `fixed` of those that may not
    """

    squish: float
    present: float
    crank: Crank | None = None
    area: float = 0.0
    band: float | None = None
    chamber: float | None = None
    air_kpa: float = 0.0
    exhaust: float | None = None
    transfer: float | None = None
    fixed: float | None = None
    intake: float | None = None

    @property
    def first_transfer(self) -> float | None:
        """The roof that opens first."""
        return min((one for one in (self.transfer, self.fixed) if one is not None), default=None)

    def psi(self, trapped: float) -> float:
        """What a tight gauge shows at a trapped ratio."""
        return gauge_kpa(trapped, TIGHT, self.air_kpa) / PSI

    def trapped_at(self, psi: float) -> float:
        """The trapped ratio at which it shows that."""
        return float((1 + psi * PSI / self.air_kpa) ** (1 / TIGHT))


def may_touch(port: PortTiming, may: Sequence[str]) -> bool:
    """May its edge be filed?"""
    return port.is_by_piston and ("ports" in may or port.name in may)


def stand_of(engine: Engine | None, wanted: Wanted, squish: float, present: float) -> Stand:
    """The numbers of the engine; squish and the gasket present as measured [mm]."""
    if engine is None:
        return Stand(squish=squish, present=present)
    crank, may = crank_of(engine), wanted.may
    at = {port.name: travel_of(port, crank, engine.deck) for port in engine.ports if port.is_by_piston} if crank else {}
    transfers = [port for port in engine.ports if port.is_transfer and at.get(port.name) is not None]

    def first(ports: Sequence[PortTiming]) -> float | None:
        return min((one for port in ports if (one := at[port.name]) is not None), default=None)

    exhaust, intake = engine.port("exhaust"), engine.port("piston-port")
    area = pi / 4 * engine.bore**2 if engine.bore else 0.0
    bowl = engine.bore - 2 * engine.squish_band if engine.bore and engine.squish_band else None
    return Stand(
        squish=squish,
        present=present,
        crank=crank,
        area=area,
        band=None if bowl is None else area - pi / 4 * bowl**2,
        chamber=engine.chamber_cc * 1000 if engine.chamber_cc and engine.bore else None,
        air_kpa=atmosphere_kpa(engine.altitude_m),
        exhaust=at.get(exhaust.name) if exhaust else None,
        transfer=first([port for port in transfers if may_touch(port, may)]),
        fixed=first([port for port in transfers if not may_touch(port, may)]),
        intake=at.get(intake.name) if intake else None,
    )


def lacks(wanted: Wanted, stand: Stand) -> list[Fault]:
    """What has to be known before the ways can be worked out."""
    needs: dict[str, list[str]] = {}
    for name in wanted.figures:
        figure = OF_KEY[name]
        if figure in ("trapped", "full", "cranking_psi") and stand.chamber is None:
            needs.setdefault("engine.chamber_cc = 6.0, with engine.bore", []).append(name)
        if stand.crank is None:
            needs.setdefault("engine.stroke and engine.rod", []).append(name)
            continue
        for port, roof in _edges(figure, stand):
            if roof is None:
                needs.setdefault(port, []).append(name)
    if "band cut" in wanted.may and stand.chamber is not None and stand.band is None:
        needs.setdefault("engine.squish_band, the width of the flat band", []).append('may = "band cut"')
    return [
        Fault(wanted.line, "", Lack(key.split(" ")[0].rstrip(","), f"{', '.join(why)} needs {key}"))
        for key, why in needs.items()
    ]


def _edges(figure: str, stand: Stand) -> list[tuple[str, float | None]]:
    """The ports without which the figure cannot be worked out, and where their edges lie."""
    exhaust = ('engine.ports.exhaust.opens = "100 deg"', stand.exhaust)
    transfer = ('engine.ports.transfer.opens = "120 deg"', stand.first_transfer)
    intake = ('engine.ports.intake with kind = "piston-port" and opens = "75 deg"', stand.intake)
    return {
        "exhaust_deg": [exhaust],
        "transfer_deg": [transfer],
        "blowdown_deg": [exhaust, transfer],
        "intake_deg": [intake],
        "trapped": [exhaust],
        "cranking_psi": [exhaust],
    }.get(figure, [])


def as_trapped(want: Want, stand: Stand) -> Want:
    """A wanted cranking pressure as the trapped ratio that gives it."""
    return Want("trapped", stand.trapped_at(want.low), stand.trapped_at(want.high))
