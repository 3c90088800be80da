"""A cut part against its drawing for other programs. Lengths in mm, places on the drawing, outwards positive.

Beside a figure stands the range in which the true one lies 95 times in 100.
"""

from __future__ import annotations

from typing import Any

from gasketcut.capture.measured import Measured
from gasketcut.comparing.cut.causes import (
    bars_of,
    is_constant,
    kerf_to_set,
    openings_offset,
    outline_offset,
    stretch_told,
)
from gasketcut.comparing.cut.cut_comparison import CutComparison, CutHole, LeftOver
from gasketcut.evaluation.as_cut import AsCut
from gasketcut.output.compared.cut_names import edge_name, hole_name
from gasketcut.output.compared.margins import is_surely_spoilt, unproven
from gasketcut.output.data.finding import finding_data
from gasketcut.output.data.number import figure_data, rounded, rounded_all
from gasketcut.output.data.passage import passage_data


def cut_data(found: CutComparison, checks: AsCut, picture: str, scale: str) -> dict[str, Any]:
    """`scale` is where the picture's scale comes from."""
    part, fit = checks.drawn.part, found.fit
    stretch, told = fit.stretch, stretch_told(found)
    bars = bars_of(told) if told else None
    return {
        "part": part.name,
        "picture": picture,
        "scale": {"source": scale, "sigma": rounded(found.cut.worst_scale, 6)},
        "within_mm": rounded(found.within),
        "verdict": found.verdict.value,
        "spoilt": _spoilt(found, checks),
        "mirrored": found.mirrored,
        "turn_deg": rounded(found.placing.turn),
        **_ranged("offset_mm", "offset_range_95", fit.offset, found.offset_sigma),
        "offset_is_constant": is_constant(found),
        "outline_offset_mm": rounded(outline_offset(found)),
        "openings_offset_mm": rounded(openings_offset(found)),
        "stretch": None
        if stretch is None
        else [
            {"along": axis, **_ranged("share", "range_95", share, sigma, 6)}
            for axis, share, sigma in zip("xy", stretch, found.stretch_sigma, strict=True)
        ],
        "worst": [
            {
                "of": edge_name(found, part, one.edge),
                "at": rounded_all(one.at),
                **_ranged("mm", "range_95", one.out, one.sigma),
            }
            for one in found.worst
        ],
        "holes": [_hole(one, hole_name(part, one.at)) for one in found.holes],
        "missing": _left(found.missing),
        "extra": _left(found.extra),
        "kerf_to_set_mm": rounded(kerf_to_set(found, checks.drawn.cut.kerf)),
        "printed": None if bars is None else {"x_mm": rounded(bars[0], 3), "y_mm": rounded(bars[1], 3)},
        "fit": _fit(found, checks),
    }


def _hole(one: CutHole, name: str) -> dict[str, Any]:
    return {
        "name": name,
        "at": rounded_all(one.at),
        **_ranged("moved_mm", "moved_range_95", one.moved, one.shift_sigma),
        "shift_mm": rounded_all(one.shift),
        **_ranged("diameter_mm", "diameter_range_95", one.diameter, one.diameter_sigma),
        "drawn_mm": rounded(one.drawn),
    }


def _ranged(name: str, range_name: str, value: float | None, sigma: float, digits: int = 4) -> dict[str, Any]:
    """A figure and its range by these names; None for both of what is not there."""
    if value is None:
        return {name: None, range_name: None}
    figure = figure_data(Measured(value, sigma), digits)
    return {name: figure["value"], range_name: figure["range_95"]}


def _spoilt(found: CutComparison, checks: AsCut) -> dict[str, Any] | None:
    """Why it no longer fits as it was cut, and whether by more than the picture is good to; None: it is not spoilt."""
    if not checks.is_spoilt:
        return None
    return {"reasons": [one.text for one in checks.spoilt_by], "is_proven": is_surely_spoilt(found, checks)}


def _fit(found: CutComparison, checks: AsCut) -> dict[str, Any]:
    """What the checks of `fit` say of the drawing and of the part as it was cut."""
    drawn = checks.drawn
    return {
        "as_drawn": drawn.verdict.value,
        "as_cut": checks.verdict.value,
        "narrowest_drawn_mm": rounded(drawn.narrowest.width) if drawn.narrowest else None,
        "narrowest_cut_mm": rounded(checks.narrowest.width) if checks.narrowest else None,
        "passages_drawn": [passage_data(row) for row in drawn.passages],
        "passages_cut": [passage_data(row) for row in checks.passages],
        "findings": [finding_data(one) for one in checks.findings],
        "not_proven": [
            {
                "rule": one.finding.rule,
                "text": one.finding.text,
                "at": rounded_all(one.finding.at or ()),
                "margin_mm": rounded(one.margin),
                "half_range_mm": rounded(one.half_range),
            }
            for one in unproven(found, checks)
        ],
    }


def _left(those: tuple[LeftOver, ...]) -> list[dict[str, Any]]:
    return [{"at": rounded_all(one.at), "diameter_mm": rounded(one.diameter)} for one in those]
