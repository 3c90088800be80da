"""From pixels to mm along x and y, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.arrays import Array
from gasketcut.length import IN

SCANNER = 0.002
"""Of a length: what an uncalibrated scanner is off, 0.1 to 0.3 mm on 100 mm (ACRS 1997, five desk-top scanners)."""

CALIBRATED = 0.0004
"""Of a length, by a scale beside the part: 0.05 mm on 100 mm at most (University of Strathclyde, slip gauges)."""


@dataclass(frozen=True, slots=True)
class Scale:
    """mm for a pixel along x and y; `sigma` relative; where it comes from."""

    source: str
    sx: float
    sy: float
    sigma: float

    def mm(self, ring: Array) -> Array:
        """Points with y up."""
        result: Array = ring * (self.sx, -self.sy)
        return result


def by_dpi(dpi: tuple[float, float], source: str) -> Scale:
    """From dots an inch along x and y."""
    return Scale(source, IN / dpi[0], IN / dpi[1], SCANNER)
