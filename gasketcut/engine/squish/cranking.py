"""Cranking pressure: what a gauge showed against what the volumes give."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from gasketcut.engine.squish.compression import ratios_from_gauge
from gasketcut.job.model import Engine


class GaugeVerdict(Enum):
    """The gauge against the trapped ratio that the volumes give."""

    AGREES = "agrees"
    LESS = "shows less"
    MORE = "shows more"


@dataclass(frozen=True, slots=True)
class CrankingPressure:
    """What the gauge showed [kPa] at the altitude [m].

    ratios   least and most trapped ratio that it stands for
    trapped  the ratio that the volumes give, None where they are not known; the verdict then is None too
    """

    gauge_kpa: float
    altitude_m: float
    ratios: tuple[float, float]
    trapped: float | None
    verdict: GaugeVerdict | None


def cranking_pressure(engine: Engine, trapped: float | None) -> CrankingPressure | None:
    """None where no gauge was read; `trapped` is the ratio by the volumes as they were when it was."""
    if engine.gauge_kpa is None:
        return None
    low, high = ratios_from_gauge(engine.gauge_kpa, engine.altitude_m)
    verdict = None
    if trapped is not None:
        verdict = GaugeVerdict.LESS if trapped > high else GaugeVerdict.MORE if trapped < low else GaugeVerdict.AGREES
    return CrankingPressure(engine.gauge_kpa, engine.altitude_m, (low, high), trapped, verdict)
