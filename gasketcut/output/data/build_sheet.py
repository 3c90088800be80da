"""The build sheet for other programs: every number that stands on it, and its sections as they are worded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from math import isfinite
from pathlib import Path
from typing import Any

from gasketcut.engine.ports.port_change import exhaust_area, port_width
from gasketcut.engine.squish.compression import ratios_from_gauge
from gasketcut.engine.squish.effects import crank_of
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.topend.cost import bill_of
from gasketcut.engine.topend.key import key_work
from gasketcut.engine.topend.muffler import muffler_of
from gasketcut.engine.topend.ring import ring_gap
from gasketcut.engine.topend.trials import compare, rates_of
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.output.data.finding import finding_data
from gasketcut.output.data.squish import squish_data
from gasketcut.pages.build_sheet.sections import Section
from gasketcut.profile.profiles import Profiles


def record_data(
    job: Job,
    answer: SquishResult | None,
    date: str,
    findings: tuple[Finding, ...],
    sections: tuple[Section, ...],
    profiles: Profiles,
    quotes: Mapping[str, float] = {},
) -> dict[str, Any]:
    """Lengths in mm, areas in mm2, angles in degrees, pressures in kPa; a section without data is left out."""
    found = {
        "title": job.title,
        "date": date,
        "engine": plain(job.engine),
        "readings": plain(job.squish),
        "squish": squish_data(answer) if answer else None,
        **_topend(job, answer, profiles, quotes),
        "stock": [plain(stock) for stock in job.stock],
        "parts": [
            {"name": part.name, "kind": part.kind, "stock": part.stock, "count": part.count, "face_up": part.face_up}
            for part in job.parts
        ],
        "record": plain(job.record),
        "findings": [finding_data(finding) for finding in findings],
        "sections": [plain(section) for section in sections],
    }
    return {key: value for key, value in found.items() if value not in (None, [], {})}


def _topend(job: Job, answer: SquishResult | None, profiles: Profiles, quotes: Mapping[str, float]) -> dict[str, Any]:
    top, engine = job.topend, job.engine
    found: dict[str, Any] = {}
    if top.ring is not None and engine is not None:
        found["ring"] = plain(ring_gap(top.ring, engine.bore, profiles.ring))
    width = port_width(engine) if engine else None
    if width is not None:
        found["port_width"] = {
            "chord_mm": width.chord,
            "wall_mm": round(width.wall, 4),
            "of_bore": round(width.of_bore, 4),
            "start_mm": round(width.start, 4),
            "limit_mm": round(width.limit, 4),
            "skirt_mm": plain(width.skirt),
            "area_mm2": [plain(width.area), plain(width.opened)],
            "duration_deg": plain(width.duration),
        }
    area = exhaust_area(job)
    if top.muffler is not None and area is not None:
        found["outlet"] = plain(muffler_of(top.muffler, area, profiles.outlet))
    if top.ignition is not None:
        found["ignition"] = plain(key_work(top.ignition, crank_of(engine) if engine else None))
    if engine is not None and engine.gauge_kpa is not None:
        low, high = ratios_from_gauge(engine.gauge_kpa, engine.altitude_m)
        found["cranking_pressure"] = {
            "gauge_kpa": round(engine.gauge_kpa, 3),
            "altitude_m": engine.altitude_m,
            "ratio_trapped": [round(low, 4), round(high, 4)],
            "ratio_worked_out": plain(answer.before.trapped) if answer else None,
        }
    if top.costs:
        found["cost"] = plain(bill_of(top.costs, quotes))
    if top.trials:
        rates = rates_of(top.trials)
        found["trials"] = {
            "conditions": plain(rates),
            "compared": [plain(compare(rates[0], other)) for other in rates[1:]],
        }
    return found


def plain(value: Any) -> Any:
    """Frozen values as dicts and lists, floats rounded, what is not finite as None.

    >>> plain((1.00000049, float("inf"), "x"))
    [1.0, None, 'x']
    """
    if is_dataclass(value) and not isinstance(value, type):
        return {each.name: plain(getattr(value, each.name)) for each in fields(value) if not each.name.endswith("line")}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [plain(one) for one in value]
    if isinstance(value, float):
        return round(value, 6) + 0.0 if isfinite(value) else None
    return str(value) if isinstance(value, Path) else value
