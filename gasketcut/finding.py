"""What a check has to say about the metal.

Weight   *stop*: no file is written unless the user insists; *warn*: look at it; *note*: good to know.
Finding  the rule, the part and place it concerns, what was found and wanted and in which unit, what to do.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from gasketcut.length import Units, in_order

Weight = Literal["stop", "warn", "note"]
WEIGHTS: tuple[Weight, ...] = ("stop", "warn", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One result of a check.

    at    (x, y) in the job's own coordinates [mm], or None
    unit  of what was found and wanted: that of the key, or mm2, MPa, "share", "ratio"
    """

    rule: str
    weight: Weight
    part: str | None
    text: str
    do: str
    at: tuple[float, float] | None = None
    found: float | None = None
    wanted: float | None = None
    unit: str = "mm"

    def in_order(self, units: Units) -> Finding:
        """With the lengths in its text, inches first where the job says inches."""
        text, do = in_order(self.text, units), in_order(self.do, units)
        return self if (text, do) == (self.text, self.do) else replace(self, text=text, do=do)


def sorted_findings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops first, then warnings, then notes; otherwise in the order in which they were found."""
    return tuple(sorted(findings, key=lambda finding: WEIGHTS.index(finding.weight)))


def has_stop(findings: Iterable[Finding]) -> bool:
    """True if at least one finding forbids cutting."""
    return any(finding.weight == "stop" for finding in findings)
