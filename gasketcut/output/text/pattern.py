"""A measured hole pattern for a person and as plain data."""

from __future__ import annotations

from typing import Any

from gasketcut.job.model import Measure
from gasketcut.length import IN, Units, in_order
from gasketcut.measure.pattern import Pattern
from gasketcut.output.data.finding import finding_data
from gasketcut.output.text.finding import findings_text


def pattern_data(pattern: Pattern, measure: Measure) -> dict[str, Any]:
    """What `gasketcut pattern --json` prints; lengths in mm."""
    suspect = None
    if pattern.suspect is not None:
        one = measure.distances[pattern.suspect]
        suspect = {
            "reading": pattern.suspect + 1,
            "from": one.first,
            "to": one.second,
            "off_mm": round(pattern.residuals[pattern.suspect], 4),
        }
    return {
        "holes": {name: [round(x, 4) + 0.0, round(y, 4) + 0.0] for name, (x, y) in pattern.holes.items()},
        "sigma_mm": {name: round(value, 4) for name, value in pattern.sigma.items()},
        "diameters_mm": {name: round(value, 4) + 0.0 for name, value in pattern.diameters.items()},
        "residuals": [
            {
                "from": one.first,
                "to": one.second,
                "over": one.over,
                "residual_mm": round(off, 4) + 0.0,
                "in_sigmas": round(off / one.reading.sigma, 2) + 0.0,
                "normalised": round(test, 2),
            }
            for one, off, test in zip(measure.distances, pattern.residuals, pattern.normalised, strict=True)
        ],
        "suspect": suspect,
        "suspects": [list(one) for one in pattern.suspects],
        "agree_mm": round(pattern.agree, 4),
        "findings": [finding_data(finding) for finding in pattern.findings],
    }


def pattern_text(pattern: Pattern, measure: Measure, units: Units) -> str:
    """Places first, then the readings, then what to mind; 80 columns."""
    rows = [f"{'hole':<10} {'x mm':>9} {'y mm':>9} {'x in':>9} {'y in':>9} {'+- mm':>8} {'diameter':>9}"]
    for name, (x, y) in pattern.holes.items():
        size = pattern.diameters[name]
        across = f"{size:>9.2f}" if size > 0 else f"{'-':>9}"
        rows.append(
            f"{name:<10} {x:>9.3f} {y:>9.3f} {x / IN:>9.4f} {y / IN:>9.4f} {pattern.sigma[name]:>8.3f} {across}"
        )
    rows += ["", f"{'reading':<30} {'mm':>9} {'off by mm':>10} {'in sigmas':>10}"]
    for number, (one, off) in enumerate(zip(measure.distances, pattern.residuals, strict=True)):
        what = f"{number + 1:>2} {one.first} to {one.second}, {one.over}"
        mark = "  <- does not agree" if number == pattern.suspect else ""
        rows.append(f"{what:<30} {one.reading.value:>9.3f} {off:>+10.3f} {off / one.reading.sigma:>+10.1f}{mark}")
    if pattern.findings:
        rows += ["", in_order(findings_text(pattern.findings, units), units)]
    return "\n".join(rows)
