"""The edges on a sheet: what was fitted, and the edge seen with its distance from that enlarged."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.fitted_edge import STEP, averaged
from gasketcut.capture.edges.rings import nearest_on
from gasketcut.capture.traced_part import TracedPart
from gasketcut.output.picture import Picture
from gasketcut.pages.traced.frame import Frame
from gasketcut.shape.loop import Contour

FITTED, SEEN = 0.35, 0.15  # mm on paper
SEEN_COLOUR = "#1a5fa0"
_FACTORS = (500, 200, 100, 50, 20, 10, 5, 2, 1)
_SHOWN, FARTHEST = 1.2, 3.0
"""mm on paper: what nearly all of an edge may stand off, enlarged, and where the rest of it is cut off. Our choice."""

_NEARLY_ALL = 0.9
_APART = 0.5  # mm on paper between points of the edge seen, and no less than what a fit goes by
_FLAT = 0.02  # mm on paper


def draw_edges(picture: Picture, frame: Frame, part: TracedPart, factor: float) -> None:
    """Thick what was fitted; thin and blue the edge seen, `factor` times as far off."""
    for ring, contour in zip((part.ring, *part.rings), part.contours, strict=True):
        fitted = contour.flattened(_FLAT / frame.scale)
        picture.line(*(frame.at(part, point) for point in (*fitted, fitted[0])), width=FITTED)
        points = averaged(ring, _step(frame.scale))
        feet, off = _off(points, contour)
        far = np.hypot(*off.T)[:, None]
        paper = np.minimum(far * factor * frame.scale, FARTHEST) / np.maximum(far * frame.scale, 1e-12)
        seen = feet + off * paper
        picture.line(*(frame.at(part, point) for point in (*seen, seen[0])), width=SEEN, colour=SEEN_COLOUR)


def factor_for(parts: Iterable[TracedPart], scale: float) -> int:
    """How many times a distance is enlarged, so that nearly all of every edge stays near its own line."""
    off = np.concatenate(
        [
            np.hypot(*_off(averaged(ring, _step(scale)), contour)[1].T)
            for part in parts
            for ring, contour in zip((part.ring, *part.rings), part.contours, strict=True)
        ]
    )
    usual = float(np.quantile(off, _NEARLY_ALL)) * scale
    return next((one for one in _FACTORS if usual * one <= _SHOWN), _FACTORS[-1])


def _step(scale: float) -> float:
    return max(STEP, _APART / scale)


def _off(points: Array, contour: Contour) -> tuple[Array, Array]:
    """The nearest places on the contour, and the way from them to the points."""
    feet = nearest_on(np.array(contour.flattened(0.002)), points)
    return feet, points - feet
