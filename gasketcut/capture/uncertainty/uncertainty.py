"""What makes the figures of a part unsure, before it is asked which figure."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gasketcut.capture.uncertainty.scale_spread import ScaleSpread


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """Standard deviations in mm, but for that of the scale.

    scale  : of all lengths, relative
    shift  : by which every edge of the part may lie too far out or in, all alike: level of light, blur, sharpening
    ripple : by which a straight edge along the pixels' rows may be off, as all its places cut the pixels alike
    pixel  : how large one is
    """

    scale: ScaleSpread
    shift: float
    ripple: float
    pixel: float

    def wider(self, times: float) -> Uncertainty:
        """Each standard deviation so many times as large."""
        return replace(self, scale=self.scale.wider(times), shift=self.shift * times, ripple=self.ripple * times)
