"""Volumes, the two compression ratios, and what a gauge shows.

Full-stroke ratio   from bottom dead centre: (swept + chamber) / chamber; "uncorrected".
Trapped ratio       from where the exhaust closes: (trapped above the closing port + chamber) / chamber; "corrected".
Chamber             everything above the piston at TDC: bowl, squish, plug well, deck; as a burette gives it [cc].
"""

from __future__ import annotations

from math import exp, pi

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


def atmosphere_kpa(altitude_m: float = 0.0) -> float:
    """Air pressure at an altitude: 101.325 exp(-h / 8434) (isothermal formula, from memory; good to 1 % up to 2 km)."""
    return SEA_LEVEL_KPA * exp(-altitude_m / 8434.0)


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
