"""The squish answer as plain data, with the keys of the documented interface."""

from __future__ import annotations

from typing import Any

from gasketcut.engine.ports.port_change import PortChange
from gasketcut.engine.ports.timing import Timing
from gasketcut.engine.squish.effects import State, TimeArea
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.stack.choices import Choice


def squish_data(answer: SquishResult) -> dict[str, Any]:
    """What `gasketcut squish --json` prints. Lengths in mm, angles in degrees, chances from 0 to 1."""
    return {
        "squish": {
            "mean_mm": _r(answer.squish.mean.value),
            "least_mm": _r(answer.squish.least),
            "most_mm": _r(answer.squish.most),
            "bare_mm": _r(answer.bare.value),
            "sigma_mm": _r(answer.bare.sigma),
            "along_pin_mm": _r(answer.squish.along),
            "across_pin_mm": _r(answer.squish.across),
        },
        "target_mm": _r(answer.target),
        "band_mm": [_r(limit) for limit in answer.band],
        "needed_fitted_mm": _r(answer.needed),
        "verdict": answer.verdict,
        "choices": [_choice(choice) for choice in answer.choices],
        "before": _state(answer.before),
        "after": _state(answer.after),
        "port_edges_move_mm": _r(answer.moved),
        "work": [_port_change(one) for one in answer.work],
    }


def flat_squish(answer: SquishResult) -> dict[str, Any]:
    """The same for report.json, where it stands under `squish` already."""
    data = squish_data(answer)
    return {**data.pop("squish"), **data}


def _choice(choice: Choice) -> dict[str, Any]:
    return {
        "layers": [{"stock": layer.stock, "count": layer.count} for layer in choice.layers],
        "fitted_mm": [_r(value) for value in choice.fitted],
        "squish_mm": [_r(value) for value in choice.squish],
        "in_band": round(choice.odds.in_band, 4),
        "under_floor": round(choice.odds.under_floor, 4),
    }


def _state(state: State) -> dict[str, Any]:
    return {
        "fitted_mm": _r(state.fitted),
        "squish_mm": _r(state.squish),
        "chamber_cc": _r(state.chamber_cc),
        "ratio_full_stroke": _r(state.full_stroke),
        "ratio_trapped": _r(state.trapped),
        "gauge_kpa": [_r(value) for value in state.gauge_kpa] if state.gauge_kpa else None,
        "squish_velocity_m_s": _r(state.velocity),
        "ports": {name: _timing(timing) for name, timing in state.ports.items()},
        "time_area": {name: _area(area) for name, area in state.areas.items()},
        "blowdown_deg": _r(state.blowdown),
        "blowdown_area": _area(state.blowdown_area),
        "skirt_cover_mm": _r(state.skirt_cover),
    }


def _timing(timing: Timing) -> dict[str, Any]:
    return {"opens_deg": _r(timing.opens), "duration_deg": _r(timing.duration), "travel_mm": _r(timing.travel)}


def _area(area: TimeArea | None) -> dict[str, Any] | None:
    return None if area is None else {"s_mm2": _r(area.whole, 6), "s_per_m": _r(area.specific, 7)}


def _port_change(one: PortChange) -> dict[str, Any]:
    return {
        "port": one.port,
        "remove_mm": _r(one.removed),
        "widen_mm": _r(one.widened),
        "before": _timing(one.before),
        "after": _timing(one.after),
        "after_with_gasket": _timing(one.with_gasket),
        "area_mm2": [_r(one.area_before), _r(one.area_after)],
        "time_area": [_area(one.time_area_before), _area(one.time_area_after)],
        "chord_of_bore": _r(one.chord),
        "skirt_margin_mm": _r(one.skirt_margin),
        "pin_margin_mm": _r(one.pin_margin),
    }


def _r(value: float | None, places: int = 4) -> float | None:
    return None if value is None else round(value, places) + 0.0
