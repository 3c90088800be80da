"""Findings for a person: one paragraph each, 80 columns."""

from __future__ import annotations

import textwrap

from gasketcut.finding import Finding
from gasketcut.length import IN, Units
from gasketcut.plane import Point, place_text

WIDTH = 80
_SIGNS = {"stop": "STOP", "warn": "warn", "note": "note"}


def findings_text(findings: tuple[Finding, ...], units: Units) -> str:
    """The findings with what to do, one paragraph each; equal ones of several parts are not merged."""
    rows = []
    for finding in findings:
        place = f" at {place_words(finding.at, units)}" if finding.at else ""
        text = f"{finding.part or 'job'}: {finding.text}{place}"
        text += "" if text.endswith("?") else "."
        if finding.weight != "note":
            text += f" Do: {finding.do}."
        head = f"{_SIGNS[finding.weight]}  "
        rows.append(textwrap.fill(text, WIDTH, initial_indent=head, subsequent_indent=" " * len(head)))
    return "\n".join(rows)


def place_words(at: Point, units: Units) -> str:
    """A place as the job writes one.

    >>> place_words((25.4, -12.7), "in")
    '(1.000, -0.500) in'
    """
    if units == "in":
        return f"({at[0] / IN:.3f}, {at[1] / IN:.3f}) in"
    return place_text(at)
