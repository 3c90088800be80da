"""A finding about the readings of a pattern."""

from __future__ import annotations

from gasketcut.finding import Finding, Weight


def pattern_finding(weight: Weight, text: str, do: str, found: float | None = None) -> Finding:
    """Of no part: the readings belong to the whole job."""
    return Finding(rule="pattern", weight=weight, part=None, text=text, do=do, found=found)
