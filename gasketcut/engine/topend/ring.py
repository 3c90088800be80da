"""End gap of a piston ring, measured with the ring square in the least worn part of the bore.

Rules are other people's, as ranges of a share of the bore; the maker's range comes before all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from gasketcut.job.topend import RingSpec
from gasketcut.length import Measured
from gasketcut.profile.ring import RingRules


@dataclass(frozen=True, slots=True)
class Rule:
    """Least and most end gap for this bore [mm], for whom, and from where."""

    says: str
    least: float
    most: float
    source: str


class RingVerdict(Enum):
    """A reading against the range that counts."""

    TIGHT = "tight"
    FITS = "fits"
    WIDE = "wide"
    WORN = "worn"


@dataclass(frozen=True, slots=True)
class RingGap:
    """The end gap against the range from `least` to `most` that counts [mm], of all published `rules` or the maker's.

    reading, verdict  None where nobody measured it
    file              how much to file off to come to the least and to the middle [mm]; None where it is not tight
    is_pinned         a pin holds the ring's ends
    """

    reading: Measured | None
    least: float
    most: float
    rules: tuple[Rule, ...]
    verdict: RingVerdict | None
    file: tuple[float, float] | None
    is_maker: bool
    is_pinned: bool


def rules_for(bore: float, published: RingRules) -> tuple[Rule, ...]:
    """The published rules for that bore [mm]."""
    return tuple(Rule(rule.says, *rule.range(bore), rule.source) for rule in published.rules)


def ring_gap(ring: RingSpec, bore: float, published: RingRules) -> RingGap:
    """The reading judged by the maker's range, or else by all published ranges together: from the least of their least
    to the most of their most."""
    rules = rules_for(bore, published)
    least, most = ring.maker or (min(rule.least for rule in rules), max(rule.most for rule in rules))
    verdict, lacking = None, None
    if ring.gap is not None:
        gap = ring.gap.value
        verdict = _judged(gap, least, most, published.worn)
        lacking = (least - gap, (least + most) / 2 - gap) if verdict is RingVerdict.TIGHT else None
    return RingGap(ring.gap, least, most, rules, verdict, lacking, ring.maker is not None, ring.pinned)


def _judged(gap: float, least: float, most: float, worn: float) -> RingVerdict:
    if gap < least:
        return RingVerdict.TIGHT
    if gap <= most:
        return RingVerdict.FITS
    return RingVerdict.WORN if gap > max(worn, most) else RingVerdict.WIDE
