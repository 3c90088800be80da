"""End gap of a piston ring, measured with the ring square in the least worn part of the bore.

Rules are other people's, as ranges of a share of the bore; the maker's range comes before all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

from gasketcut.job.topend import RingSpec
from gasketcut.profile.ring import RingRules


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


def rules_for(bore: float, published: RingRules) -> tuple[Rule, ...]:
    """The published rules for that bore [mm]."""
    return tuple(Rule(rule.says, *rule.range(bore), rule.source) for rule in published.rules)


def ring_gap(ring: RingSpec, bore: float, published: RingRules) -> RingGap:
    """The reading judged by the maker's range, or else by all published ranges together: from the least of their least
    to the most of their most."""
    rules = rules_for(bore, published)
    least, most = ring.maker or (min(rule.least for rule in rules), max(rule.most for rule in rules))
    reading = ring.gap.value if ring.gap else None
    if reading is None:
        return RingGap(None, least, most, rules, None, None, ring.maker is not None)
    verdict: Literal["tight", "fits", "wide", "worn"] = (
        "tight"
        if reading < least
        else "fits"
        if reading <= most
        else "worn"
        if reading > max(published.worn, most)
        else "wide"
    )
    lacking = (least - reading, (least + most) / 2 - reading) if verdict == "tight" else None
    return RingGap(reading, least, most, rules, verdict, lacking, ring.maker is not None)
