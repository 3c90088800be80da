"""From pixels to mm along x and y, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.arrays import Array
from gasketcut.capture.uncertainty.scale_spread import SCANNER, ScaleSpread, each
from gasketcut.length import IN


@dataclass(frozen=True, slots=True)
class Scale:
    """mm for a pixel along x and y; how sure that is; where it comes from."""

    source: str
    sx: float
    sy: float
    spread: ScaleSpread

    @property
    def sigma(self) -> float:
        """Of the less sure way, relative."""
        return self.spread.worst

    def mm(self, ring: Array) -> Array:
        """Points with y up."""
        result: Array = ring * (self.sx, -self.sy)
        return result


def by_dpi(dpi: tuple[float, float], source: str) -> Scale:
    """From dots an inch along x and y."""
    return Scale(source, IN / dpi[0], IN / dpi[1], each(SCANNER))
