"""What a stack leaves between piston and head: mean and tight place as ranges, and the odds of the tight place.

The clearance is normal about its readings, the thickness of a clamped sheet triangular between least, likely and most;
both ranges and odds come from their one sum.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from gasketcut.engine.stack.clearance import Clearance
from gasketcut.engine.stack.distribution import sums_of
from gasketcut.parts.stock import Range


class Odds(NamedTuple):
    """Chances of the tight place, 0 to 1."""

    in_band: float
    under_floor: float


class Outcome(NamedTuple):
    """Least, likely, most at LEVEL [mm] of what lies there, of the mean squish and of the tight place; the odds."""

    fitted: Range
    squish: Range
    tight: Range
    odds: Odds


class Outlook:
    """The outcomes of one clearance in one band, the clearance's distributions worked out once.

    bare : clearance without a gasket
    band : floor and ceiling [mm]
    """

    def __init__(self, bare: Clearance, band: tuple[float, float]) -> None:
        self._bare, self._band = bare, band
        self._mean = bare.spread_of_mean()
        self._tight = bare.spread_of_tight()

    def of(self, terms: Sequence[Range]) -> Outcome:
        """With these thicknesses under the cylinder, each apart from the others."""
        likely = sum(term[1] for term in terms)
        fitted, (mean, tight) = sums_of(terms, (self._mean, self._tight))
        floor, ceiling = self._band
        under = tight.under(floor)
        return Outcome(
            fitted=fitted.range_with(likely) if fitted else (likely, likely, likely),
            squish=mean.range_with(self._bare.mean.value + likely),
            tight=tight.range_with(self._bare.tight.value + likely),
            odds=Odds(max(0.0, tight.under(ceiling) - under), under),
        )
