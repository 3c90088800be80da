"""What `make` and `fit` say, for other programs. Lengths in mm whatever the job's units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.part_result import JointResult, PartResult
from gasketcut.finding import Finding, sorted_findings
from gasketcut.output.data.finding import finding_data
from gasketcut.output.data.ground import ground_data
from gasketcut.output.data.passage import passage_data
from gasketcut.output.data.quote import quote_data
from gasketcut.output.data.squish import flat_squish
from gasketcut.output.sheet_files import layout_data
from gasketcut.version import VERSION


def report_data(
    evaluation: Evaluation, names: Mapping[str, tuple[str, ...]], more: tuple[Finding, ...] = ()
) -> dict[str, Any]:
    """The documented report of `make`; `names` are the files of each part, `more` what was found in making them."""
    sheets, on_sheets = evaluation.laid_out
    data = fit_data(evaluation)
    parts = [{**one, "files": list(names.get(one["name"], ()))} for one in data["parts"]]
    return {
        **data,
        "parts": parts,
        "squish": flat_squish(evaluation.known_squish) if evaluation.known_squish else None,
        "quote": quote_data(evaluation.quote) if evaluation.quote else None,
        **({"layout": layout_data(sheets)} if sheets else {}),
        "findings": [finding_data(one) for one in sorted_findings((*evaluation.findings, *on_sheets, *more))],
        "tool": f"gasketcut {VERSION}",
    }


def fit_data(evaluation: Evaluation) -> dict[str, Any]:
    """Verdicts, clearances and findings, the same for `fit` and `make`."""
    return {
        "title": evaluation.job.title,
        "verdict": evaluation.verdict.value,
        "parts": [
            *({**_part(one), **_ground(evaluation, one.name)} for one in evaluation.parts.values()),
            *({**_joint(one), **_ground(evaluation, one.name)} for one in evaluation.joints.values()),
        ],
        "findings": [finding_data(finding) for finding in evaluation.findings],
    }


def _part(result: PartResult) -> dict[str, Any]:
    part, outline = result.part, result.outline
    left, low, right, high = outline.bounds
    return {
        "name": result.name,
        "kind": result.spec.kind,
        "verdict": result.verdict.value,
        "clear_mm": _rounded(result.clear_mm),
        "unsaid": list(result.unsaid),
        "passages": [passage_data(row) for row in result.passages],
        "count": part.count,
        "stock": part.stock.name if part.stock else None,
        "thickness_mm": part.thickness,
        "area_mm2": round(outline.area, 4),
        "cut_length_mm": round(outline.cut_length, 4),
        "pierces": len(outline.contours),
        "size_mm": [round(right - left, 4), round(high - low, 4)],
        "deviation_um": round(outline.deviation * 1000, 3),
    }


def _ground(evaluation: Evaluation, name: str) -> dict[str, Any]:
    """Only where something is to be ground."""
    found = [ground_data(one) for one in evaluation.grindings[name]]
    return {"ground": found} if found else {}


def _joint(result: JointResult) -> dict[str, Any]:
    return {
        "name": result.name,
        "kind": result.spec.kind,
        "verdict": result.verdict.value,
        "clear_mm": None,
        "unsaid": [],
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4) + 0.0
