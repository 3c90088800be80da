"""How far the piston stays from the head: on the average, and at the tight place of the squish band.

Ends   the two ends of the pin's axis, at the bore's edge, where the solder is read. The head lies on a plane over the
       crown, so the least clearance of the whole band is at one of them, at the bore's edge whatever the band's width.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from gasketcut.engine.stack.distribution import Distribution, least_of, normal
from gasketcut.length import Measured


@dataclass(frozen=True, slots=True)
class End:
    """Clearance at a place of the bore's edge."""

    at: str
    clearance: Measured

    @property
    def words(self) -> str:
        """Where it is, as it stands in a sentence."""
        return f"at the {self.at}" if self.at.isalpha() else f"at {self.at}"


@dataclass(frozen=True, slots=True)
class Clearance:
    """Mean of the band, and its two ends; None where only a mean is known.

    covariance  of the two ends [mm2]
    """

    mean: Measured
    ends: tuple[End, End] | None = None
    covariance: float = 0.0

    @property
    def tight_end(self) -> End | None:
        """The end with less of it, the first where they are alike; None where no tilt is known."""
        return min(self.ends, key=lambda end: end.clearance.value) if self.ends else None

    @property
    def tight(self) -> Measured:
        """The least clearance over the band; the mean where no tilt is known."""
        return self.tight_end.clearance if self.tight_end else self.mean

    def without(self, gasket: Measured) -> Clearance:
        """With that gasket taken out: it lies under both ends, so how sure it is counts for both alike."""

        def less(length: Measured) -> Measured:
            return Measured(length.value - gasket.value, hypot(length.sigma, gasket.sigma))

        ends = None
        if self.ends:
            first, second = (End(end.at, less(end.clearance)) for end in self.ends)
            ends = first, second
        return Clearance(less(self.mean), ends, self.covariance + gasket.sigma**2)

    def spread_of_mean(self) -> Distribution:
        """How the mean may lie."""
        return normal(self.mean)

    def spread_of_tight(self) -> Distribution:
        """How the tight place may lie: whichever end turns out the smaller."""
        if self.ends is None:
            return normal(self.mean)
        return least_of(self.ends[0].clearance, self.ends[1].clearance, self.covariance)
