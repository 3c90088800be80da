"""The edges in a picture as closed rings of points, which lies in which, and what is not a part.

Ring         a closed line at the half level between part and ground, in pixels, y down, the first pixel's centre at
             (0, 0).
Silhouette   an outer ring and the rings right inside it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.level_lines import is_closed, level_lines
from gasketcut.capture.image.picture_file import Light, PictureError
from gasketcut.capture.image.shades import sampled, two_shades

_DUST = 0.0004
"""Of the picture's largest ring by area: smaller ones are dust or fibre. Our choice."""

_SHEET = 40
"""Rings within a ring that make it the sheet they lie on, or what is round that. Our choice."""

_CONTRAST = 0.04
"""Difference of light between part and ground below which no edge shows. Our choice."""


def nearest_on(ring: Array, points: Array) -> Array:
    """Of each point the nearest place on the closed ring; shapes (n, 2)."""
    line = shapely.LinearRing(ring)
    return shapely.get_coordinates(
        shapely.line_interpolate_point(line, shapely.line_locate_point(line, shapely.points(points)))
    )


def between(light: Light, x: Array, y: Array) -> Light:
    """Values between pixels, straight from one to the next; beyond the rim the rim's own."""
    column = np.clip(np.floor(x).astype(int), 0, light.shape[1] - 2)
    row = np.clip(np.floor(y).astype(int), 0, light.shape[0] - 2)
    u, v = np.clip(x - column, 0, 1), np.clip(y - row, 0, 1)
    above = light[row, column] * (1 - u) + light[row, column + 1] * u
    below = light[row + 1, column] * (1 - u) + light[row + 1, column + 1] * u
    result: Light = (above * (1 - v) + below * v).astype(np.float32)
    return result


@dataclass(frozen=True, slots=True)
class Silhouette:
    """Rings of shape (n, 2); the first point is not repeated."""

    outer: Array
    inner: tuple[Array, ...]

    @property
    def rings(self) -> tuple[Array, ...]:
        return self.outer, *self.inner

    @property
    def area(self) -> float:
        return float(Polygon(self.outer).area)


@dataclass(frozen=True, slots=True)
class PictureEdges:
    """Silhouettes, largest first; where specks were dropped, shape (n, 2); how much runs out of the picture."""

    silhouettes: tuple[Silhouette, ...]
    specks: Array
    cut_off: int
    ground: float
    part: float
    level: float
    """Linear light of the ground, of the part, and where the edges lie."""

    @property
    def dust(self) -> int:
        return len(self.specks)

    @property
    def dark_part(self) -> bool:
        return self.part < self.ground


def edges_in(
    light: Light,
    *,
    smallest: float = 0.0,
    share: float = _DUST,
    on_sheet: bool = False,
    level: float | None = None,
    shades: tuple[float, float] | None = None,
) -> PictureEdges:
    """The silhouettes of the picture; raise `PictureError` if none shows.

    smallest : pixels across below which a ring is a speck
    share    : of the largest ring's area below which one is a speck
    on_sheet : dark things on a bright sheet, whatever lies round that; its own edge is no part
    level    : linear light at which edges lie; else half way between part and ground
    shades   : linear light of ground and part, where they are known
    """
    ground, part = shades or _plateaus(light)
    if on_sheet and ground < part:
        ground, part = part, ground
    level = (ground + part) / 2 if level is None else level
    lines = level_lines(light, level)
    rings = [line[:-1] for line in lines if is_closed(line)]
    long = 0.02 * max(light.shape)
    cut_off = sum(not is_closed(line) and np.ptp(line, axis=0).max() > long for line in lines)
    if not rings:
        raise PictureError(
            "the part runs out of the picture; scan it with a margin all round"
            if cut_off
            else "no closed edge in the picture"
        )
    polygons = [Polygon(ring) for ring in rings]
    if on_sheet:
        firsts = shapely.STRtree([shapely.Point(ring[0]) for ring in rings])
        kept_ones = [
            n for n, polygon in enumerate(polygons) if len(firsts.query(polygon, predicate="contains")) < _SHEET
        ]
        rings, polygons = [rings[n] for n in kept_ones], [polygons[n] for n in kept_ones]
        if not rings:
            raise PictureError("there is nothing on the sheet")
    areas = np.array([polygon.area for polygon in polygons])
    across = np.array([max(np.ptp(ring, axis=0)) for ring in rings])
    keep = (areas > share * areas.max()) & (across > smallest)
    kept = [n for n in np.argsort(-areas, kind="stable") if keep[n]]
    specks = np.array([rings[n][0] for n in np.nonzero(~keep)[0]]).reshape(-1, 2)
    return PictureEdges(silhouettes_of([rings[n] for n in kept]), specks, cut_off, ground, part, level)


def closed_rings(values: Array | Light, level: float) -> list[Array]:
    """Where the values pass the level; the first point is not repeated, and open lines are left out."""
    return [line[:-1] for line in level_lines(values, level) if is_closed(line)]


def _plateaus(light: Light) -> tuple[float, float]:
    """Light of the ground and of the part.

    What the picture's edge mostly is, is the ground.
    """
    sample = sampled(light)
    if float(np.ptp(sample)) < _CONTRAST:
        raise PictureError("the picture has one shade only, so no part shows")
    low, high = two_shades(sample)
    if not low.size or not high.size:
        raise PictureError("the picture has one shade only, so no part shows")
    dark, bright = float(np.median(low)), float(np.median(high))
    if bright - dark < _CONTRAST:
        raise PictureError("part and ground have nearly the same shade; lay white or black paper behind the part")
    border = np.concatenate([light[0], light[-1], light[:, 0], light[:, -1]])
    bright_ground = float(np.mean(border > (dark + bright) / 2)) >= 0.5
    side = high if bright_ground else low
    noise = 1.4826 * float(np.median(np.abs(side - np.median(side)))) / (bright - dark)
    if min(low.size, high.size) > 0.3 * sample.size and noise > 0.2:
        raise PictureError("the picture is all noise; no part shows")
    return (bright, dark) if bright_ground else (dark, bright)


def silhouettes_of(rings: list[Array]) -> tuple[Silhouette, ...]:
    """Rings come largest first, so what holds one is before it."""
    polygons = [Polygon(ring) for ring in rings]
    tree = shapely.STRtree([shapely.Point(ring[0]) for ring in rings])
    depth, parent = np.zeros(len(rings), dtype=int), np.full(len(rings), -1)
    for n, polygon in enumerate(polygons):
        shapely.prepare(polygon)
        for inside in tree.query(polygon, predicate="contains"):
            if inside != n and polygons[inside].area < polygon.area:
                depth[inside] += 1
                parent[inside] = (
                    n if parent[inside] < 0 or polygons[parent[inside]].area > polygon.area else parent[inside]
                )
    found = []
    for n, ring in enumerate(rings):
        if depth[n] % 2 == 0:
            inner = tuple(rings[m] for m in range(len(rings)) if parent[m] == n and depth[m] == depth[n] + 1)
            found.append(Silhouette(ring, inner))
    return tuple(sorted(found, key=lambda one: -one.area))
