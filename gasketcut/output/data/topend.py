"""The rest of the top end as plain data, section by section, every key with its unit."""

from __future__ import annotations

from typing import Any

from gasketcut.engine.ports.port_change import PortWidth
from gasketcut.engine.squish.cranking import CrankingPressure
from gasketcut.engine.topend.cost import Bill
from gasketcut.engine.topend.key import KeyWork
from gasketcut.engine.topend.muffler import Muffler, ScreenNeed
from gasketcut.engine.topend.result import TopEndResult
from gasketcut.engine.topend.ring import RingGap
from gasketcut.engine.topend.trials import Compared, Trials
from gasketcut.output.data.engine import measured_data
from gasketcut.output.data.number import rounded, rounded_all
from gasketcut.output.text.trials import trial_sentence
from gasketcut.profile.outlet import Mark


def topend_data(topend: TopEndResult) -> dict[str, Any]:
    """A section that there are no values for is None."""
    return {
        "ring": _ring(topend.ring) if topend.ring else None,
        "port_width": _width(topend.port_width) if topend.port_width else None,
        "outlet": _outlet(topend.muffler) if topend.muffler else None,
        "ignition": _key(topend.key) if topend.key else None,
        "cranking_pressure": _pressure(topend.pressure) if topend.pressure else None,
        "cost": _cost(topend.bill) if topend.bill else None,
        "trials": _trials(topend.trials) if topend.trials else None,
    }


def _ring(gap: RingGap) -> dict[str, Any]:
    return {
        "reading": measured_data(gap.reading) if gap.reading else None,
        "least_mm": rounded(gap.least),
        "most_mm": rounded(gap.most),
        "is_maker": gap.is_maker,
        "is_pinned": gap.is_pinned,
        "verdict": gap.verdict.value if gap.verdict else None,
        "file_mm": rounded_all(gap.file) if gap.file else None,
        "rules": [
            {"says": rule.says, "least_mm": rounded(rule.least), "most_mm": rounded(rule.most), "source": rule.source}
            for rule in gap.rules
        ],
    }


def _width(width: PortWidth) -> dict[str, Any]:
    return {
        "chord_mm": rounded(width.chord),
        "wall_mm": rounded(width.wall),
        "of_bore": rounded(width.of_bore),
        "start_mm": rounded(width.start),
        "limit_mm": rounded(width.limit),
        "skirt_mm": rounded(width.skirt),
        "opened_by_mm": rounded(width.opened_by),
        "area_mm2": rounded_all((width.area, width.opened)),
        "duration_deg": rounded_all(width.duration) if width.duration else None,
    }


def _outlet(muffler: Muffler) -> dict[str, Any]:
    same = muffler.same
    return {
        "port_mm2": rounded(muffler.port_mm2),
        "stages": [{"name": name, "area_mm2": rounded(area)} for name, area in muffler.stages],
        "effective_mm2": rounded(muffler.effective_mm2),
        "effective_percent": rounded(muffler.effective_percent),
        "outlet_percent": rounded(muffler.outlet_percent),
        "below": _mark(muffler.below),
        "above": _mark(muffler.above),
        "same": {
            "round_mm": rounded(same.round_mm),
            "several": [{"count": count, "round_mm": rounded(diameter)} for count, diameter in same.several],
            "oval_mm": rounded_all(same.oval),
            "slot_mm": rounded_all(same.slot),
        },
        "screen": _screen(muffler.screen) if muffler.screen else None,
    }


def _mark(mark: Mark | None) -> dict[str, Any] | None:
    return None if mark is None else {"percent": rounded(mark.percent), "says": mark.says, "source": mark.source}


def _screen(need: ScreenNeed) -> dict[str, Any]:
    return {
        "open_share": rounded(need.open_share),
        "open_mm2": rounded(need.open_mm2),
        "gross_mm2": rounded(need.gross_mm2),
        "disc_mm": rounded(need.disc_mm),
        "has_enough": need.has_enough,
        "too_coarse": need.too_coarse,
        "too_thin": need.too_thin,
        "rule": need.rule.says,
        "most_opening_mm": rounded(need.rule.opening),
        "least_wire_mm": rounded(need.rule.wire),
    }


def _key(work: KeyWork) -> dict[str, Any]:
    return {
        "mean_mm": rounded(work.mean),
        "mm_per_degree": rounded(work.mm_per_degree),
        "removed_mm": rounded(work.removed),
        "direction": work.direction,
        "turn_deg": rounded(work.turn),
        "turn_by_chord_deg": rounded(work.turn_by_chord),
        "left_mm": rounded(work.left),
        "before_deg": rounded(work.before),
        "after_deg": rounded(work.after),
        "before_mm": rounded(work.before_mm),
        "after_mm": rounded(work.after_mm),
        "measured_deg": rounded(work.measured),
        "removed_by_measured_mm": rounded(work.removed_by_measured),
    }


def _pressure(pressure: CrankingPressure) -> dict[str, Any]:
    return {
        "gauge_kpa": rounded(pressure.gauge_kpa),
        "altitude_m": rounded(pressure.altitude_m),
        "ratio_trapped": rounded_all(pressure.ratios),
        "ratio_worked_out": rounded(pressure.trapped),
        "verdict": pressure.verdict.value if pressure.verdict else None,
    }


def _cost(bill: Bill) -> dict[str, Any]:
    """Money is in `currency`."""
    return {
        "lines": [
            {
                "name": line.cost.name,
                "group": line.cost.group,
                "count": line.cost.count,
                "price": rounded(line.cost.price, 6),
                "state": line.cost.state,
                "instead_of": line.cost.instead_of,
                "part": line.cost.part,
                "amount": rounded(line.amount, 6),
                "counts": line.counts,
            }
            for line in bill.lines
        ],
        "groups": [{"group": group, "amount": rounded(amount, 6)} for group, amount in bill.groups],
        "total": rounded(bill.total, 6),
        "open": list(bill.open),
        "currency": bill.currency,
    }


def _trials(trials: Trials) -> dict[str, Any]:
    """Rates are seconds for each unit of size: mm2 where areas were cut."""
    unit = "s_per_mm2" if trials.is_area else "s"
    return {
        "conditions": [
            {
                "condition": one.condition,
                f"rates_{unit}": rounded_all(one.rates, 6),
                f"mean_{unit}": rounded(one.mean, 6),
            }
            for one in trials.rates
        ],
        "compared": [_compared(found) for found in trials.compared],
    }


def _compared(found: Compared) -> dict[str, Any]:
    return {
        "first": found.first.condition,
        "second": found.second.condition,
        "ratio": rounded(found.ratio),
        "low": rounded(found.low),
        "high": rounded(found.high),
        "confidence": found.confidence,
        "freedom": rounded(found.freedom),
        "verdict": found.verdict.value,
        "says": trial_sentence(found),
    }
