"""Volumes, the two compression ratios, and what a gauge shows.

Full-stroke ratio   from bottom dead centre: (swept + chamber) / chamber; "uncorrected".
Trapped ratio       from where the exhaust closes: (trapped above the closing port + chamber) / chamber; "corrected".
Chamber             everything above the piston at TDC: bowl, squish, plug well, deck; as a burette gives it [cc].
Crankcase ratio     largest over smallest volume below the piston: (least + swept) / least.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from gasketcut.engine.ports.crank import crank_of
from gasketcut.job.model import Engine

SEA_LEVEL_KPA = 101.325
POLYTROPIC = (1.2, 1.3)
"""Exponent of real cranking, least and most (an encyclopaedia's article on compression ratio; 1.4 has no losses)."""


def disc_cc(bore: float, height: float) -> float:
    """Volume of a disc [cc] from mm.

    >>> round(disc_cc(66.0, 0.5), 4)
    1.7106
    """
    return pi / 4 * bore**2 * height / 1000


def ratio(swept_cc: float, chamber_cc: float) -> float:
    """(swept + chamber) / chamber, for either ratio.

    >>> round(ratio(223, 18), 2)
    13.39
    """
    return (swept_cc + chamber_cc) / chamber_cc


_SEA_LEVEL_K, _LAPSE_K_M = 288.15, 0.0065
_EXPONENT = 9.80665 / (287.05287 * _LAPSE_K_M)  # gravity [m/s2] over gas constant of air [J/(kg K)] and lapse


def atmosphere_kpa(altitude_m: float = 0.0) -> float:
    """Air pressure of the standard atmosphere at an altitude, up to 11 km.

    Source: ISO 2533 and ICAO Doc 7488, whose height is the geopotential one; by a map's height it
    is up to 0.013 kPa more at 3 km.

    >>> round(atmosphere_kpa(1000), 4)
    89.8746
    """
    return float(SEA_LEVEL_KPA * (1 - _LAPSE_K_M * altitude_m / _SEA_LEVEL_K) ** _EXPONENT)


def swept_cc(engine: Engine) -> float | None:
    """From TDC to BDC [cc]: by the piston's own travel where rod and offset are known, else by the stroke."""
    crank = crank_of(engine)
    height = crank.full_travel if crank else engine.stroke
    return None if height is None or engine.bore is None else disc_cc(engine.bore, height)


@dataclass(frozen=True, slots=True)
class CrankcaseRatio:
    """What the measured volume comes to if the piston stood at BDC, and at TDC; None where it cannot have stood there.

    ratio  the one of the two that is so; None where the job does not say where the piston stood
    """

    cc: float
    at: str | None
    at_bdc: float
    at_tdc: float | None

    @property
    def ratio(self) -> float | None:
        """By where the piston stood."""
        return {"BDC": self.at_bdc, "TDC": self.at_tdc}.get(self.at or "")


def crankcase_ratio(engine: Engine) -> CrankcaseRatio | None:
    """None without a measured volume and what is swept.

    Source: definition. Largest over smallest volume: at BDC the volume is the smallest, at TDC the largest.
    """
    cc, swept = engine.crankcase_cc, swept_cc(engine)
    if cc is None or swept is None:
        return None
    return CrankcaseRatio(cc, engine.crankcase_at, ratio(swept, cc), cc / (cc - swept) if cc > swept else None)


def gauge_kpa(trapped: float, exponent: float, air_kpa: float = SEA_LEVEL_KPA) -> float:
    """What a tight gauge shows: p (CR^n - 1).

    >>> round(gauge_kpa(7.5, 1.3))
    1290
    """
    return float(air_kpa * (trapped**exponent - 1))


def ratios_from_gauge(gauge: float, altitude_m: float) -> tuple[float, float]:
    """Least and most trapped ratio that a gauge reading [kPa] at that altitude stands for."""
    high, low = (ratio_from_gauge(gauge, exponent, atmosphere_kpa(altitude_m)) for exponent in POLYTROPIC)
    return low, high


def ratio_from_gauge(gauge: float, exponent: float, air_kpa: float = SEA_LEVEL_KPA) -> float:
    """The trapped ratio that a gauge reading [kPa] stands for."""
    return float((1 + gauge / air_kpa) ** (1 / exponent))
