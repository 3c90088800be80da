"""An inspection in the few figures that stay of it in a table: small, so that it travels between processes."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from gasketcut.received.faults.flaw import MENDED
from gasketcut.received.inspection import Inspection
from gasketcut.received.reading.unit import FACTORS, Unit


@dataclass(frozen=True, slots=True)
class Summary:
    """Size by the likely unit [mm]; holes of all parts together; how many faults and places to look at of each kind.

    asked : what only a person can decide, by kind: a group in place of the faults that are there because of it
    """

    verdict: str
    unit: Unit
    size: tuple[float, float]
    parts: int
    holes: int
    faults: dict[str, int]
    looks: dict[str, int]
    asked: dict[str, int]

    def size_in(self, unit: str) -> tuple[float, float]:
        """The size [mm] if the file's numbers are in that unit."""
        factor = FACTORS[unit] / self.unit.factor
        return self.size[0] * factor, self.size[1] * factor


def summary_of(found: Inspection) -> Summary:
    """What stays of it."""
    return Summary(
        verdict=found.verdict,
        unit=found.unit,
        size=found.size,
        parts=found.what.parts,
        holes=sum(found.what.holes),
        faults=dict(Counter(flaw.kind for flaw in found.flaws)),
        looks=dict(Counter(look.kind for look in found.looks)),
        asked={group.kind: group.count for group in found.groups if group.flaws}
        | dict(Counter(flaw.kind for flaw in found.unexplained if flaw.kind not in MENDED)),
    )
