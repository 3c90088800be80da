"""What a picture shows before anything is fitted to it: a scale, and silhouettes in pixels."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.scale.calipers import Calipered, Moved, calipered
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.seeing.lettered import lettered
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced_part import TracedPart, part_of
from gasketcut.capture.uncertainty.edge_shift import EdgeShift
from gasketcut.shape.loop import Circle


@dataclass(frozen=True, slots=True)
class Seen:
    """Silhouettes of the parts, largest first; specks left out; what the user has to know; how the edges of each part
    were seen; a hole that calipers put elsewhere."""

    scale: Scale | Photo
    silhouettes: tuple[Silhouette, ...]
    dust: int
    warnings: tuple[str, ...]
    shifts: tuple[EdgeShift, ...]
    before: tuple[Silhouette, ...] = ()
    """Parts that are larger than the one that was picked: their stretches have the first numbers."""

    moved: Moved | None = None

    def parts(self, fit: float | None) -> list[TracedPart]:
        """Of each silhouette one, by how its own edges were seen.

        fit : tolerance of the outline [mm], else from its noise
        """
        each = zip(self.silhouettes, self.shifts, strict=True)
        return [part_of(one, self.scale, fit, shift) for one, shift in each]


def with_calipers(seen: Seen, settings: TraceSettings) -> Seen:
    """The scale corrected by the readings of a job, if there are any."""
    if not settings.calipers:
        return seen
    found: list[Calipered] = []
    start = seen.scale

    def corrected(part: TracedPart, so_far: Scale | Photo) -> Scale | Photo:
        # From the start each time: only the letters are those of the scale so far, or the readings would count twice.
        fx, fy = so_far.sx / start.sx, so_far.sy / start.sy
        by = calipered({hole.name: _shrunk(hole.circle, fx, fy) for hole in part.holes}, settings.calipers, start.sigma)
        found.append(by)
        sx, sy = start.sx * by.fx, start.sy * by.fy
        if isinstance(start, Photo):
            stretch = (start.stretch[0] * by.fx, start.stretch[1] * by.fy)
            return replace(start, sx=sx, sy=sy, sigma=by.spread.worst, stretch=stretch)
        return replace(start, sx=sx, sy=sy, spread=by.spread)

    scale = lettered(seen.silhouettes[0], seen.scale, corrected)
    return replace(seen, scale=scale, moved=found[-1].moved, warnings=(*seen.warnings, *found[-1].words))


def _shrunk(circle: Circle, fx: float, fy: float) -> Circle:
    """As it was before both ways were stretched by so much."""
    x, y = circle.center
    return Circle((x / fx, y / fy), circle.radius / ((fx + fy) / 2))
