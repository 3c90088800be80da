"""Findings for a person: one paragraph each, 80 columns."""

from __future__ import annotations

import textwrap

from gasketcut.finding import Finding

WIDTH = 80
_SIGNS = {"stop": "STOP", "warn": "warn", "note": "note"}


def findings_text(findings: tuple[Finding, ...]) -> str:
    """The findings with what to do, one paragraph each; equal ones of several parts are not merged."""
    rows = []
    for finding in findings:
        place = f" at ({finding.at[0]:.1f}, {finding.at[1]:.1f})" if finding.at else ""
        text = f"{finding.part or 'job'}: {finding.text}{place}"
        text += "" if text.endswith("?") else "."
        if finding.weight != "note":
            text += f" Do: {finding.do}."
        head = f"{_SIGNS[finding.weight]}  "
        rows.append(textwrap.fill(text, WIDTH, initial_indent=head, subsequent_indent=" " * len(head)))
    return "\n".join(rows)
