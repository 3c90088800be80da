"""The margins of the checks as cut that are smaller than what the picture is good to: they prove nothing either way."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.comparing.cut.cut_comparison import CutComparison
from gasketcut.evaluation.as_cut import AsCut
from gasketcut.finding import Finding
from gasketcut.tolerances import TWO_SIDED_95

_TO_METAL = ("overhang", "worst overhang", "hole", "seal")
"""Rules by where an edge lies on the metal: as sure as its place."""

_WIDTHS = ("land", "web")
"""Rules by a width of sheet between two edges."""


@dataclass(frozen=True, slots=True)
class Unproven:
    """A finding, by how much it is on its side of the limit, and half the range of that at 95 % [mm]."""

    finding: Finding
    margin: float
    half_range: float


def unproven(found: CutComparison, checks: AsCut) -> tuple[Unproven, ...]:
    """Every finding of the part as it was cut that may be the picture's doing."""
    rows = []
    for one in checks.own_findings:
        if one.found is None or one.wanted is None or one.at is None:
            continue
        if one.rule in _TO_METAL:
            sigma = found.sigma_at(one.at)
        elif one.rule in _WIDTHS:
            sigma = found.sigma_across(one.found)
        else:
            continue
        margin = abs(one.found - one.wanted)
        if margin < TWO_SIDED_95 * sigma:
            rows.append(Unproven(one, margin, TWO_SIDED_95 * sigma))
    return tuple(rows)


def is_surely_spoilt(found: CutComparison, checks: AsCut) -> bool:
    """Does it no longer fit by more than the picture is good to?"""
    unsure = [one.finding for one in unproven(found, checks)]
    return any(one not in unsure for one in checks.spoilt_by)
