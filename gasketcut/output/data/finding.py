"""A finding as plain data, with the keys of the documented report."""

from __future__ import annotations

from typing import Any

from gasketcut.finding import Finding


def finding_data(finding: Finding) -> dict[str, Any]:
    """Rule, weight, part, place, numbers [mm] and words."""
    return {
        "rule": finding.rule,
        "weight": finding.weight,
        "part": finding.part,
        "at": [round(value, 4) + 0.0 for value in finding.at] if finding.at else None,
        "found": _rounded(finding.found),
        "wanted": _rounded(finding.wanted),
        "unit": finding.unit if finding.found is not None or finding.wanted is not None else None,
        "text": finding.text,
        "do": finding.do,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4) + 0.0
