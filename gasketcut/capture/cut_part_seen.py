"""A part that was cut, as a picture shows it: the one on the picture that is most like the drawing, by its edges."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.capture.image.picture_file import Scan
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import seen_in
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.figures import diameter
from gasketcut.comparing.cut.cut_edges import CutEdge, CutEdges
from gasketcut.comparing.partners import partners_of
from gasketcut.shape.loop import Outline


@dataclass(frozen=True, slots=True)
class CutPartSeen:
    """Its edges in mm, where the scale comes from, and what the user has to know of the picture."""

    edges: CutEdges
    scale: str
    warnings: tuple[str, ...]


def cut_part_seen(scan: Scan, settings: TraceSettings, drawn: Outline) -> CutPartSeen:
    """Nothing is guessed of what may be meant by it: it is drawn. Raise `PictureError` as `trace` does."""
    seen = seen_in(scan, settings)
    parts = seen.parts(settings.fit)
    every = [_edges(part) for part in parts]
    pairs, _, _ = partners_of([drawn], [one.outline for one in every])
    warnings = list(seen.warnings)
    if len(parts) > 1:
        warnings.append(f"{len(parts)} parts in one picture: the one most like the drawing is compared")
    return CutPartSeen(every[pairs[0][1] if pairs else 0], seen.scale.source, tuple(warnings))


def _edges(part: TracedPart) -> CutEdges:
    sure, rounds = part.uncertainty, len(part.holes)
    holes = [
        CutEdge(ring, one.circle, diameter(part, one).sigma)
        for ring, one in zip(part.rings[:rounds], part.holes, strict=True)
    ]
    windows = [CutEdge(ring) for ring in part.rings[rounds:]]
    return CutEdges(CutEdge(part.ring), (*holes, *windows), sure.scale.covariance, sure.shift, sure.ripple)
