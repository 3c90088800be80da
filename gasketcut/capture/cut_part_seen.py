"""A part that was cut, as a picture shows it: the one on the picture that is most like the drawing, by its edges."""

from __future__ import annotations

import numpy as np

from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.figures import diameter
from gasketcut.comparing.cut.cut_edges import CutEdge, CutEdges
from gasketcut.comparing.partners import partners_of
from gasketcut.shape.loop import Outline


def cut_part_seen(traced: Traced, drawn: Outline) -> CutEdges:
    """Its edges in mm."""
    every = [_edges(part) for part in traced.parts]
    pairs, _, _ = partners_of([drawn], [one.outline for one in every])
    return every[pairs[0][1] if pairs else 0]


def _edges(part: TracedPart) -> CutEdges:
    sure, rounds = part.uncertainty, len(part.holes)
    holes = [
        CutEdge(ring, one.circle, diameter(part, one).sigma)
        for ring, one in zip(part.rings[:rounds], part.holes, strict=True)
    ]
    scale = np.array([[sure.scale.xx, sure.scale.xy, 0.0], [sure.scale.xy, sure.scale.yy, 0.0],
                      [0.0, 0.0, sure.scale.skew**2]])  # fmt: skip
    windows = [CutEdge(ring) for ring in part.rings[rounds:]]
    return CutEdges(CutEdge(part.ring), (*holes, *windows), scale, sure.shift, sure.ripple)
