"""What a picture shows before anything is fitted to it: a scale, and silhouettes in pixels."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.scale.calipers import Calipered, Moved, calipered
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.seeing.lettered import lettered
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.edge_shift import EdgeShift


@dataclass(frozen=True, slots=True)
class Seen:
    """Silhouettes of the parts, largest first; specks left out; what the user has to know; how their edges were seen; a
    hole that calipers put elsewhere."""

    scale: Scale | Photo
    silhouettes: tuple[Silhouette, ...]
    dust: int
    warnings: tuple[str, ...]
    shift: EdgeShift
    before: tuple[Silhouette, ...] = ()
    """Parts that are larger than the one that was picked: their stretches have the first numbers."""

    moved: Moved | None = None


def with_calipers(seen: Seen, settings: TraceSettings) -> Seen:
    """The scale corrected by the readings of a job, if there are any."""
    if not settings.calipers:
        return seen
    found: list[Calipered] = []

    def corrected(part: TracedPart, so_far: Scale | Photo) -> Scale | Photo:
        by = calipered({hole.name: hole.circle for hole in part.holes}, settings.calipers, so_far.sigma)
        found.append(by)
        sx, sy = so_far.sx * by.fx, so_far.sy * by.fy
        if isinstance(so_far, Photo):
            stretch = (so_far.stretch[0] * by.fx, so_far.stretch[1] * by.fy)
            return replace(so_far, sx=sx, sy=sy, sigma=by.spread.worst, stretch=stretch)
        return replace(so_far, sx=sx, sy=sy, spread=by.spread)

    scale = lettered(seen.silhouettes[0], seen.scale, corrected)
    return replace(seen, scale=scale, moved=found[-1].moved, warnings=(*seen.warnings, *found[-1].words))
