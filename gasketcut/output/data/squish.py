"""The squish answer as plain data, with the keys of the documented interface."""

from __future__ import annotations

from typing import Any

from gasketcut.engine.assumptions import LEVEL
from gasketcut.engine.ports.judged import Judged
from gasketcut.engine.ports.port_change import PortChange
from gasketcut.engine.ports.time_area import TimeArea
from gasketcut.engine.ports.timing import Timing
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.stack.choices import Choice
from gasketcut.output.data.number import rounded, rounded_all
from gasketcut.output.text.choice import passed_sentence, squish_sentence, why_sentence


def squish_data(answer: SquishResult) -> dict[str, Any]:
    """What `gasketcut squish --json` prints. Lengths in mm, angles in degrees, chances from 0 to 1."""
    return {
        "squish": {
            "mean_mm": rounded(answer.squish.mean.value),
            "least_mm": rounded(answer.squish.least),
            "most_mm": rounded(answer.squish.most),
            "bare_mm": rounded(answer.bare.value),
            "sigma_mm": rounded(answer.bare.sigma),
            "along_pin_mm": rounded(answer.squish.along),
            "across_pin_mm": rounded(answer.squish.across),
            **_tight(answer),
        },
        "target_mm": rounded(answer.target),
        "band_mm": [rounded(limit) for limit in answer.band],
        "risk": answer.wanted.risk,
        "needed_fitted_mm": rounded(answer.needed),
        "verdict": answer.verdict.value,
        "answer_text": squish_sentence(answer),
        "answer": _answer(answer),
        "choices": [_choice(choice) for choice in answer.choices],
        "before": _state(answer.before, answer),
        "gasket_only": _state(answer.gasket_only, answer) if answer.gasket_only else None,
        "after": _state(answer.after, answer),
        "level": LEVEL,
        "sensitivity": {
            "per_mm": answer.sensitivity.per,
            "more": _known(answer.sensitivity.more),
            "less": _known(answer.sensitivity.less),
        },
        "side_by_side": [
            {**_choice(one.choice), "after": _state(one.after, answer) if one.after else None}
            for one in answer.side_by_side
        ],
        "crankcase_ratio": rounded(answer.crankcase.ratio) if answer.crankcase else None,
        "port_edges_move_mm": rounded(answer.moved),
        "work": [_port_change(one) for one in answer.work],
        "assumed": [{"what": one.what, "value": one.value, "key": one.key} for one in answer.assumed],
    }


def flat_squish(answer: SquishResult) -> dict[str, Any]:
    """The same for report.json, where it stands under `squish` already."""
    data = squish_data(answer)
    return {**data.pop("squish"), **data}


def _tight(answer: SquishResult) -> dict[str, Any]:
    """Where the least clearance over the band was, and how much of it bare and measured."""
    end, bare = answer.squish.clearance.tight_end, answer.clearance.tight
    return {
        "tight_at": end.at if end else None,
        "tight_mm": rounded(answer.squish.clearance.tight.value),
        "tight_bare_mm": rounded(bare.value),
        "tight_sigma_mm": rounded(bare.sigma),
    }


def _answer(answer: SquishResult) -> dict[str, Any] | None:
    """The recommended choice with its reason, and the better-looking one that it was preferred to."""
    if answer.best is None:
        return None
    passed = {**_choice(answer.passed[0]), "why": passed_sentence(answer)} if answer.passed else None
    return {**_choice(answer.best), "why": why_sentence(answer), "passed_over": passed}


def _choice(choice: Choice) -> dict[str, Any]:
    """Lengths as least, likely, most at 95 %."""
    return {
        "layers": [{"stock": layer.stock, "count": layer.count} for layer in choice.layers],
        "fitted_mm": [rounded(value) for value in choice.fitted],
        "squish_mm": [rounded(value) for value in choice.squish],
        "tight_mm": [rounded(value) for value in choice.tight],
        "in_band": round(choice.odds.in_band, 4),
        "under_floor": round(choice.odds.under_floor, 4),
        "safe": choice.safe,
    }


def _state(state: State, answer: SquishResult) -> dict[str, Any]:
    """With the +- of each figure that anything uncertain goes into; None where the range ends beyond what the engine
    survives."""
    figures, judged = _figures(state), answer.judged(state)
    figures["time_area"] = {name: {**area, **_judged(judged.get(name))} for name, area in figures["time_area"].items()}
    return {**figures, "plus_minus": _known(state.plus_minus)}


def _known(state: State | None) -> dict[str, Any] | None:
    """Its figures without those that are nothing."""
    return None if state is None else _without_nothing(_figures(state))


def _without_nothing(figures: dict[str, Any]) -> dict[str, Any]:
    slim = {key: _without_nothing(one) if isinstance(one, dict) else one for key, one in figures.items()}
    return {key: one for key, one in slim.items() if one not in (None, 0, {}) and one != [0, 0]}


def _figures(state: State) -> dict[str, Any]:
    velocity = state.velocity
    return {
        "fitted_mm": rounded(state.fitted),
        "squish_mm": rounded(state.squish),
        "chamber_cc": rounded(state.chamber_cc),
        "ratio_full_stroke": rounded(state.full_stroke),
        "ratio_trapped": rounded(state.trapped),
        "gauge_kpa": [rounded(value) for value in state.gauge_kpa] if state.gauge_kpa else None,
        "squish_area_share": rounded(state.squish_share),
        "squish_velocity_m_s": rounded(velocity.peak) if velocity else None,
        "squish_velocity_peak_deg": rounded(velocity.at) if velocity else None,
        "squish_velocity_mean_m_s": rounded(velocity.mean) if velocity else None,
        "squish_velocity_mean_deg": [rounded(velocity.since), rounded(velocity.until)] if velocity else None,
        "ports": {name: _timing(timing) for name, timing in state.ports.items()},
        "time_area": {name: _area(area) for name, area in state.areas.items()},
        "blowdown_deg": rounded(state.blowdown),
        "blowdown_area": _area(state.blowdown_area) if state.blowdown_area else None,
        "skirt_cover_mm": rounded(state.skirt_cover),
    }


def _timing(timing: Timing) -> dict[str, Any]:
    return {
        "opens_deg": rounded(timing.opens),
        "duration_deg": rounded(timing.duration),
        "travel_mm": rounded(timing.travel),
    }


def _area(area: TimeArea) -> dict[str, Any]:
    return {"s_mm2": rounded(area.whole, 6), "s_per_m": rounded(area.specific, 7)}


def _judged(one: Judged | None) -> dict[str, Any]:
    """Nothing for a kind of port of which no range was published; `together` is all ports of a kind."""
    if one is None:
        return {}
    return {
        "together_s_per_m": rounded(one.specific, 7),
        "range_s_per_m": rounded_all((one.range.low, one.range.high), 7),
        "in_range": one.is_inside,
        "middle_rpm": rounded(one.rpm_at_middle, 1),
        "stated_for": one.range.engines,
        "source": one.range.source,
    }


def _port_change(one: PortChange) -> dict[str, Any]:
    return {
        "port": one.port,
        "remove_mm": rounded(one.removed),
        "widen_mm": rounded(one.widened),
        "wanted_deg": rounded(one.wanted),
        "exceeded_deg": rounded(one.exceeded),
        "area_mm2": [rounded(one.area_before), rounded(one.area_after)],
        "chord_of_bore": rounded(one.chord),
        "skirt_margin_mm": rounded(one.skirt_margin),
        "pin_margin_mm": rounded(one.pin_margin),
    }
