"""The edges of one thing, at the level half way between it and the ground right round it.

Only the thing's own part of the picture is looked at: that keeps other shades out, and a large picture's memory small.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import PictureEdges, Silhouette, edges_in
from gasketcut.capture.edges.things import Thing
from gasketcut.capture.image.coarse import smoothed
from gasketcut.capture.image.edge_threshold import edges_at_own_level
from gasketcut.capture.image.ground import Ground
from gasketcut.capture.image.picture_file import Light

_MARGIN = 0.25
"""Of a thing's size, that is looked at all round it: dust lies there too."""


@dataclass(frozen=True, slots=True)
class PartEdges:
    """Silhouettes, largest first, and where specks were left out, shape (n, 2); pixels of the picture."""

    silhouettes: tuple[Silhouette, ...]
    specks: Array


def edges_of(
    light: Light, ground: Ground, thing: Thing, others: list[Polygon], speck: float, warnings: list[str]
) -> PartEdges:
    """Of the thing and of what lies within its outline; raise `PictureError` if no closed edge shows.

    others : rooms of other things, whose specks are their own
    speck  : pixels across below which a ring is one
    """
    left, top, window = _window(light, thing)
    if ground.is_grainy_for(thing.light):
        window = smoothed(window)
    room = shapely.transform(thing.outline, lambda points: points - (left, top))
    about = 2.5 * ground.coarse.step + 2
    look = partial(edges_in, window, smallest=speck, shades=(ground.light, thing.light))
    edges = _within(look(), room, about)
    rings = edges.silhouettes[0].rings if edges.silhouettes else ()
    edges = edges_at_own_level(window, edges, rings, lambda level: _within(look(level=level), room, about), warnings)
    corner = np.array([left, top], dtype=float)
    silhouettes = tuple(
        Silhouette(one.outer + corner, tuple(ring + corner for ring in one.inner)) for one in edges.silhouettes
    )
    specks = edges.specks + corner
    for other in others:
        specks = specks[shapely.distance(other, shapely.points(specks)) > 3 * ground.coarse.step]
    return PartEdges(silhouettes, specks)


def _window(light: Light, thing: Thing) -> tuple[int, int, Light]:
    """Its left column and its top row, and the light in it."""
    left, top, right, bottom = thing.outline.bounds
    margin = _MARGIN * max(right - left, bottom - top) + 20
    left, top = max(0, int(left - margin)), max(0, int(top - margin))
    return left, top, light[top : int(bottom + margin) + 1, left : int(right + margin) + 1]


def _within(edges: PictureEdges, room: Polygon, about: float) -> PictureEdges:
    kept = tuple(one for one in edges.silhouettes if shapely.distance(room, shapely.Point(one.outer[0])) <= about)
    return replace(edges, silhouettes=kept)
