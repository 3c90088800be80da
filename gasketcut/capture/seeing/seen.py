"""What a picture shows before anything is fitted to it: a scale, and silhouettes in pixels."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.scale.calipers import Moved, calipered
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced_part import part_of


@dataclass(frozen=True, slots=True)
class Seen:
    """Silhouettes, largest first; specks left out; what the user has to know; a hole that calipers put elsewhere."""

    scale: Scale | Photo
    silhouettes: tuple[Silhouette, ...]
    dust: int
    warnings: tuple[str, ...]
    moved: Moved | None = None


def with_calipers(seen: Seen, settings: TraceSettings) -> Seen:
    """The scale corrected by the readings of a job, if there are any."""
    if not settings.calipers:
        return seen
    scale = seen.scale
    rough = part_of(seen.silhouettes[0], scale, None, only_holes=True)
    found = calipered({hole.name: hole.circle for hole in rough.holes}, settings.calipers, scale.sigma)
    made = replace(scale, sx=scale.sx * found.fx, sy=scale.sy * found.fy, sigma=found.sigma)
    if isinstance(made, Photo):
        made = replace(made, stretch=(made.stretch[0] * found.fx, made.stretch[1] * found.fy))
    return replace(seen, scale=made, moved=found.moved, warnings=(*seen.warnings, *found.words))
