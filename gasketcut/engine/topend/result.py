"""The rest of the top end, evaluated once: what the build sheet and its numbers are read from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gasketcut.engine.ports.crank import crank_of
from gasketcut.engine.ports.port_change import PortWidth, exhaust_area, port_width
from gasketcut.engine.squish.compression import swept_cc
from gasketcut.engine.squish.cranking import CrankingPressure, cranking_pressure
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.topend.cost import Bill, bill_of
from gasketcut.engine.topend.key import KeyWork, key_work
from gasketcut.engine.topend.muffler import Muffler, muffler_of
from gasketcut.engine.topend.ring import RingGap, ring_gap
from gasketcut.engine.topend.trials import Trials, trials_of
from gasketcut.job.model import Job
from gasketcut.profile.profiles import Profiles


@dataclass(frozen=True, slots=True, kw_only=True)
class TopEndResult:
    """Each of them None where the job says nothing of it, or not enough."""

    swept_cc: float | None
    ring: RingGap | None
    port_width: PortWidth | None
    muffler: Muffler | None
    key: KeyWork | None
    pressure: CrankingPressure | None
    bill: Bill | None
    trials: Trials | None


def topend_result(
    job: Job, squish: SquishResult | None, quotes: Mapping[str, float], profiles: Profiles
) -> TopEndResult:
    """Of each section what can be had; `Job.lacking` says what the others want. Raise `GasketError` for what cannot be.

    quotes : what one piece of a part costs to cut, by its name
    """
    engine, top = job.engine, job.topend
    trapped = squish.before.trapped if squish else None
    return TopEndResult(
        swept_cc=swept_cc(engine) if engine else None,
        ring=_ring(job, profiles),
        port_width=port_width(engine) if engine else None,
        muffler=_muffler(job, profiles),
        key=key_work(top.ignition, crank_of(engine) if engine else None) if top.ignition else None,
        pressure=cranking_pressure(engine, trapped) if engine else None,
        bill=bill_of(top.costs, quotes) if top.costs else None,
        trials=trials_of(top.trials) if top.trials else None,
    )


def _ring(job: Job, profiles: Profiles) -> RingGap | None:
    if job.topend.ring is None or job.engine is None or job.engine.bore is None:
        return None
    return ring_gap(job.topend.ring, job.engine.bore, profiles.ring)


def _muffler(job: Job, profiles: Profiles) -> Muffler | None:
    if job.topend.muffler is None:
        return None
    port = exhaust_area(job)
    if port is None:
        return None
    return muffler_of(job.topend.muffler, port, profiles.outlet)
