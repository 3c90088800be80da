"""What lies on the ground of a scan: parts, a card, whatever leaves the ground's shade, each with a shade of its own.

Thing    what the coarse picture shows lighter than the ground, or darker, in one piece. Lighter and darker pieces that
         touch are one thing of both tones, but for the thin halo of sharpening and the shadow of a thick part.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import closed_rings, silhouettes_of
from gasketcut.capture.image.ground import Ground, levels_of
from gasketcut.capture.image.picture_file import Light
from gasketcut.shape.outlines import grown, pieces, shrunk_pieces

_FAINT, _STANDS_OUT = 5.0, 4.5
"""Levels from the ground at which a thing begins, and the same in standard deviations of the ground. Our choice."""

_SMALLEST = 0.002
"""Of the coarse picture's longer side: what is smaller across is a speck. Our choice."""

_THIN = 0.01
"""Of a thing's size: what beside it is thinner than twice this, or than a few pixels, is its halo or shadow: two-toned
things have more. Our choice."""

_TOUCH = 2.5
"""Coarse pixels between pieces that touch."""

_STRIP = 0.15
"""Of the picture: what runs along a whole side and is no wider is the lid's edge. Our choice."""


@dataclass(frozen=True, slots=True)
class Thing:
    """Its filled outline in pixels of the picture, and what of that is not a hole; linear light in the middle of its
    values; lighter than the ground, darker, or (None) both; the sides of the picture over which it runs."""

    outline: Polygon
    body: Polygon
    light: float
    lighter: bool | None
    sides: tuple[str, ...] = ()
    is_strip: bool = False

    @property
    def area(self) -> float:
        return float(self.outline.area)


def things_on(light: Light, ground: Ground) -> tuple[Thing, ...]:
    """Largest first."""
    apart = max(_FAINT, _STANDS_OUT * ground.noise)
    padded = np.pad(ground.levels, 1, constant_values=ground.level)
    lighter = [(True, one) for one in _pieces(padded, ground.level + apart)]
    darker = [(False, one) for one in _pieces(padded, ground.level - apart)]
    things = [_thing(light, ground, body, tone) for tone, body in _joined([*lighter, *darker])]
    return tuple(sorted(things, key=lambda one: -one.area))


def _pieces(levels: Array, level: float) -> list[Polygon]:
    """In coarse pixels; the pad of one pixel all round is taken off again."""
    smallest = max(3.0, _SMALLEST * max(levels.shape))
    rings = [ring - 1 for ring in closed_rings(levels, level)]
    rings = [ring for ring in rings if np.ptp(ring, axis=0).max() > smallest]
    rings.sort(key=lambda ring: -Polygon(ring).area)
    return [_largest(pieces(shapely.make_valid(Polygon(one.outer, one.inner)))) for one in silhouettes_of(rings)]


def _largest(found: list[Polygon]) -> Polygon:
    return max(found, key=lambda one: float(one.area))


def _joined(found: list[tuple[bool, Polygon]]) -> list[tuple[bool | None, Polygon]]:
    """Without halos and shadows, and with what is of both tones in one."""
    done: list[tuple[bool | None, Polygon]] = []
    for lighter, piece in sorted(found, key=lambda one: -one[1].area):
        beside = [
            n for n, (tone, other) in enumerate(done) if tone != lighter and shapely.distance(other, piece) <= _TOUCH
        ]
        if not beside:
            done.append((lighter, piece))
            continue
        size = max(np.ptp(np.array(done[n][1].exterior.coords), axis=0).max() for n in beside)
        if not shrunk_pieces(piece, max(1.5, _THIN * size)):
            continue
        wide = shapely.union_all([grown(one, _TOUCH / 2) for one in (piece, *(done[n][1] for n in beside))])
        whole = _largest([one for part in pieces(wide) for one in shrunk_pieces(part, _TOUCH / 2)])
        done = [(None, whole), *(one for n, one in enumerate(done) if n not in beside)]
    return done


def _thing(light: Light, ground: Ground, piece: Polygon, lighter: bool | None) -> Thing:
    coarse = ground.coarse
    height, width = coarse.light.shape
    left, top, right, bottom = piece.bounds
    sides = tuple(
        name
        for name, over in (
            ("left", left < 0),
            ("right", right > width - 1),
            ("top", top < 0),
            ("bottom", bottom > height - 1),
        )
        if over
    )
    is_strip = bool(
        sides
        and (
            (right - left < _STRIP * width and bottom - top > 0.9 * height)
            or (bottom - top < _STRIP * height and right - left > 0.9 * width)
        )
    )
    body = shapely.transform(piece, coarse.in_picture)
    found = Thing(Polygon(body.exterior), body, 0.0, lighter, sides, is_strip)
    return replace(found, light=_light_in(light, found, coarse.step, ground))


def _light_in(light: Light, thing: Thing, step: int, ground: Ground) -> float:
    """In the middle of its values well inside; of a line, where no inside is left, what differs most."""
    inside = shrunk_pieces(thing.body, 1.5 * step)
    thin = not inside
    room = thing.body if thin else shapely.union_all(inside)
    left, top, right, bottom = (round(one) for one in room.bounds)
    every = max(1, int(((right - left) * (bottom - top) / 4000) ** 0.5))
    across = np.arange(max(left, 0), min(right + 1, light.shape[1]), every)
    down = np.arange(max(top, 0), min(bottom + 1, light.shape[0]), every)
    columns, rows = (one.ravel() for one in np.meshgrid(across, down))
    shapely.prepare(room)
    within = shapely.contains_xy(room, columns, rows)
    values = light[rows[within], columns[within]]
    if not values.size:
        return ground.light
    if thin:
        off = np.abs(levels_of(values) - ground.level)
        values = values[off >= np.quantile(off, 0.8)]
    return float(np.median(values))
