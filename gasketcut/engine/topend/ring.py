"""End gap of a piston ring, measured with the ring square in the least worn part of the bore.

Rules are other people's, as ranges of a share of the bore; the maker's range comes before all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from pathlib import Path
from typing import Any, Literal

from gasketcut.job.topend import RingSpec
from gasketcut.profile.loading import load


@dataclass(frozen=True, slots=True)
class Rule:
    """Least and most end gap for this bore [mm], for whom, and from where."""

    says: str
    least: float
    most: float
    source: str


@dataclass(frozen=True, slots=True)
class RingGap:
    """`verdict` on the reading: "tight", "fits", "wide", "worn" or None without one; `file` is how much to file off to
    come to the least and to the middle of the range that counts [mm]."""

    reading: float | None
    least: float
    most: float
    rules: tuple[Rule, ...]
    verdict: Literal["tight", "fits", "wide", "worn"] | None
    file: tuple[float, float] | None
    is_maker: bool
    wear_per_gap: float = pi
    """A bore worn wider by d opens the gap by pi d."""


def rules_for(bore: float, beside: Path | None = None) -> tuple[Rule, ...]:
    """The published rules for that bore [mm].

    >>> [round(value, 3) for value in (rules_for(47.0)[0].least, rules_for(47.0)[0].most)]
    [0.165, 0.211]
    """
    rows: list[dict[str, Any]] = load("ring", beside)["rules"]
    return tuple(Rule(row["says"], row["least"] * bore, row["most"] * bore, row["source"]) for row in rows)


def ring_gap(ring: RingSpec, bore: float, beside: Path | None = None) -> RingGap:
    """The reading judged by the maker's range, or else by all published ranges together: from the least of their least
    to the most of their most."""
    rules = rules_for(bore, beside)
    least, most = ring.maker or (min(rule.least for rule in rules), max(rule.most for rule in rules))
    reading = ring.gap.value if ring.gap else None
    if reading is None:
        return RingGap(None, least, most, rules, None, None, ring.maker is not None)
    worn = float(load("ring", beside)["worn"])
    verdict: Literal["tight", "fits", "wide", "worn"] = (
        "tight" if reading < least else "fits" if reading <= most else "worn" if reading > max(worn, most) else "wide"
    )
    lacking = (least - reading, (least + most) / 2 - reading) if verdict == "tight" else None
    return RingGap(reading, least, most, rules, verdict, lacking, ring.maker is not None)
