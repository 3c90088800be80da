"""From pixels to mm: by a bank card beside the part, by two caliper readings, or by the dpi.

Card    ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, corners of 3.18 mm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.capture.rings import Array, Figure
from gasketcut.length import IN

CARD = (85.60, 53.98)
_CORNER = 3.18
_CARD_OFF = 0.012
"""How far the proportions of a card may be off: a scanner's x and y differ by less. Our choice."""

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


def by_card(figures: tuple[Figure, ...]) -> tuple[Scale, Figure] | None:
    """The scale by the card among the figures, and which one it is; None if there is none."""
    for figure in figures:
        sides = card_sides(figure.outer)
        if sides is not None:
            (long, short), turn = sides
            # Along the card's own sides; for a card that lies askew both go into sx and sy alike.
            a, b = CARD[0] / long, CARD[1] / short
            c, s = abs(np.cos(turn)), abs(np.sin(turn))
            if c > 0.99:
                return Scale("card", a, b, CALIBRATED), figure
            if s > 0.99:
                return Scale("card", b, a, CALIBRATED), figure
            mean = (a * b) ** 0.5
            return Scale("card", mean, mean, max(CALIBRATED, abs(a / b - 1))), figure
    return None


def card_sides(ring: Array) -> tuple[tuple[float, float], float] | None:
    """Long and short side in pixels and the turn of the long one [rad], if the ring can be a card; else None."""
    box = shapely.minimum_rotated_rectangle(Polygon(ring))
    if not isinstance(box, Polygon):
        return None
    corners = np.array(box.exterior.coords)[:4]
    edges = np.diff(np.vstack([corners, corners[:1]]), axis=0)
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    first = int(np.argmax(lengths[:2]))
    long, short = float(lengths[first]), float(lengths[1 - first])
    if short <= 0 or abs(long / short / (CARD[0] / CARD[1]) - 1) > _CARD_OFF:
        return None
    # Four straight sides and round corners: area of the box less the corners.
    unit = long / CARD[0]
    wanted = long * short - (4 - np.pi) * (_CORNER * unit) ** 2
    if abs(Polygon(ring).area / wanted - 1) > 0.004:
        return None
    along, across = edges[first] / long, edges[1 - first] / short
    middle = corners.mean(axis=0)
    places = ring - middle
    u, v = places @ along, places @ across
    # By the middles of the sides: the box is widened by noise.
    right, left = u[np.abs(v) < short * 0.35], v[np.abs(u) < long * 0.35]
    long = float(np.median(right[right > 0]) - np.median(right[right < 0]))
    short = float(np.median(left[left > 0]) - np.median(left[left < 0]))
    return (long, short), float(np.arctan2(along[1], along[0]))
