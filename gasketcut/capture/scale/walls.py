"""Lower edges that are seen with the wall above them: where they are, whatever shade the wall has.

From the sheet inward there is first the wall, as wide as thickness and camera make it, then the part's face. If the
wall is as light as the sheet the edge seen is the upper one, if as dark as the face the lower one, and else it lies
between; a wall of a pixel or two is too narrow for an edge of its own. So the shade of the walls is found first, by the
light across the edges; walls that look the same way are lit alike.

Shade   of a wall: 0 as the face, 1 as the sheet; less than 0 where it is darker than the face.
Places are in pixels; blur is a Gaussian's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import Silhouette, between
from gasketcut.capture.image.picture_file import Light
from gasketcut.capture.scale.parallax import outwards
from gasketcut.capture.scale.photo import Photo

_SHADES = np.linspace(-1.0, 0.95, 40)
_AT = np.arange(-4.0, 9.0)
"""Pixels inward from the edge seen at which the light is looked at."""

_NARROWEST = 0.3
"""Pixels of a wall's width from which it shows its shade."""

_WIDE, _HALF = 1.5, 0.5
"""Pixels below which a light wall and a dark one blur the edge alike, so that no more than half a shade is believed."""

_UNLIKELY, _UNALIKE = 5e-4, 5e-3
"""What a shade off the face's, and one off the other walls', counts as much as in the mean of squares left at a place.
Our choice: it keeps walls that show little of their shade near what is usual."""

_PLAIN = 0.2
"""Of the contrast, by which the light beyond an edge may be off sheet or face: beside another edge it is more."""

_WAYS, _FEWEST = 12, 40
"""Ways that walls look, round the circle; places from which one of them has a shade of its own. Our choice."""

_PLACES = 3000
"""Most places that are looked at."""

_USUAL_BLUR = 0.9
"""Where no upper edge shows it."""


@dataclass(frozen=True, slots=True)
class _Rim:
    """Of a ring: its points, the ways out of the material, and how far inward the upper edge is seen; n of each."""

    points: Array
    out: Array
    width: Array


@dataclass(frozen=True, slots=True)
class Unwalled:
    """Silhouettes with lower edges where they are; `unsure` is by how much those of them that stayed where they are
    seen may lie off, a standard deviation [pixels], and `why` they did; 0 and empty if none."""

    silhouettes: tuple[Silhouette, ...]
    unsure: float = 0.0
    why: str = ""


def without_walls(
    light: Light, level: float, photo: Photo, silhouettes: tuple[Silhouette, ...], thickness: float
) -> Unwalled:
    """The silhouettes with lower edges where they are.

    A ring too short to show the light on both sides of its edge has walls of the shade that the others show.

    level     : of linear light, at which the edges were seen
    thickness : of the part [mm]
    """
    rims = [[_rim(photo, ring, thickness, hole=ring is not one.outer) for ring in one.rings] for one in silhouettes]
    every = [rim for of_one in rims for rim in of_one]
    long = [rim for rim in every if len(rim.points) > 2 * len(_AT)]
    if not long:
        return Unwalled(silhouettes, _unsure(every), "no edge is long enough to show the shade of the walls")
    whole = _Rim(*(np.concatenate([getattr(rim, name) for rim in long]) for name in ("points", "out", "width")))
    step = 1 + len(whole.points) // _PLACES
    few = _Rim(whole.points[::step], whole.out[::step], whole.width[::step])
    seen = _across(light, few)
    sheet, face = float(np.median(seen[:, 0])), float(np.median(seen[:, -1]))
    if sheet <= face:
        return Unwalled(silhouettes, _unsure(every), "the part is not darker than the sheet")
    seen, here = (seen - face) / (sheet - face), (level - face) / (sheet - face)
    blur = _blur(seen[few.width <= 0])
    shades = _shades(few, seen, here, blur)
    done, left = [], list[_Rim]()
    for one, of_one in zip(silhouettes, rims, strict=True):
        outer, *inner = (_moved(rim, shades, here, blur) for rim in of_one)
        is_sound = Polygon(outer, inner).is_valid
        done.append(Silhouette(outer, tuple(inner)) if is_sound else one)
        left += [] if is_sound else of_one
    return Unwalled(tuple(done), _unsure(left), "edges would cross where the walls' shade puts them" if left else "")


def _unsure(rims: list[_Rim]) -> float:
    """Of edges that lie anywhere over their walls, alike likely: the widest wall's width, over the root of 12."""
    widest = max((float(rim.width.max()) for rim in rims), default=0.0)
    return max(widest, 0.0) / 12**0.5


def _rim(photo: Photo, ring: Array, thickness: float, *, hole: bool) -> _Rim:
    places = photo.mm(ring)
    x, y, height = photo.camera.at
    upper = photo.pixels((x, y) + (places - (x, y)) * height / (height - thickness))
    out = outwards(ring, hole=hole)
    return _Rim(ring, out, -np.sum((upper - ring) * out, axis=1))


def _across(light: Light, rim: _Rim) -> Array:
    """Light at `_AT` from each point inward, shape (n, len(_AT))."""
    x, y = (rim.points[:, n, None] - rim.out[:, n, None] * _AT for n in (0, 1))
    return np.asarray(between(light, x, y), dtype=float)


def _blur(seen: Array) -> float:
    """By how steep the light falls at upper edges, which have no wall."""
    if len(seen) < _FEWEST:
        return _USUAL_BLUR
    middle = int(np.argmin(np.abs(_AT)))
    falls = float(np.median(seen[:, middle - 1] - seen[:, middle + 1]))
    blurs = np.linspace(0.3, 4.0, 371)
    return float(blurs[np.argmin(np.abs(2 * _rise(1 / blurs) - 1 - falls))])


def _rise(x: Array) -> Array:
    """The normal distribution, to 3e-4 (tanh approximation, E. Page, Applied Statistics 26 (1977) 75)."""
    result: Array = 0.5 * (1 + np.tanh(0.7988 * x * (1 + 0.04417 * x * x)))
    return result


def _light_at(inward: Array, width: Array, shade: Array, blur: float) -> Array:
    """From 1, the sheet's, to 0, the face's; `inward` counts from the lower edge."""
    return 1 - (1 - shade) * _rise(inward / blur) - shade * _rise((inward - width) / blur)


def _inside(width: Array, shade: Array, here: float, blur: float) -> Array:
    """How far inward of the lower edge the light passes `here`, more than at an edge without a wall."""
    low, high = np.full_like(width, -4 * blur), width + 4 * blur
    for _ in range(24):
        middle = (low + high) / 2
        above = _light_at(middle, width, shade, blur) > here
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    result: Array = (low + high) / 2 - blur * _level_at(here)
    return result


def _shades(rim: _Rim, seen: Array, here: float, blur: float) -> Array:
    """Of the walls that look each way, shape (_WAYS,)."""
    walls = (rim.width > _NARROWEST) & (np.abs(seen[:, 0] - 1) < _PLAIN) & (np.abs(seen[:, -1]) < _PLAIN)
    if walls.sum() < _FEWEST:
        return np.zeros(_WAYS)
    width, seen = rim.width[walls], seen[walls]
    off = np.empty((len(width), len(_SHADES)))
    for n, shade in enumerate(_SHADES):
        each = np.full_like(width, shade)
        begins = _inside(width, each, here, blur) + blur * _level_at(here)
        off[:, n] = np.sum((_light_at(_AT + begins[:, None], width[:, None], each[:, None], blur) - seen) ** 2, axis=1)
    way = _way(rim.out[walls])
    usual = _likeliest(off, width, _UNLIKELY * _SHADES**2)
    best: Array = np.full(_WAYS, np.nan)
    for n in range(_WAYS):
        mine = np.abs((way - n + _WAYS / 2) % _WAYS - _WAYS / 2) < 1
        if mine.sum() >= _FEWEST:
            best[n] = _likeliest(off[mine], width[mine], _UNALIKE * (_SHADES - usual) ** 2)
    return _completed(best, usual)


def _likeliest(off: Array, width: Array, unlikely: Array) -> float:
    """The shade of walls; `off` has a row for each place and a column for each shade."""
    price = off.mean(axis=0) + unlikely
    if width.mean() < _WIDE:
        price = np.where(_SHADES > _HALF, np.inf, price)
    return float(_SHADES[np.argmin(price)])


def _completed(shades: Array, usual: float) -> Array:
    """With those that were not seen as a light from one side would make them, near the usual one."""
    round_ = np.arange(_WAYS) / _WAYS * 2 * np.pi
    waves = np.column_stack([np.cos(round_), np.sin(round_)])
    known = np.isfinite(shades)
    matrix = np.vstack([waves[known], np.eye(2)])
    swing = np.linalg.lstsq(matrix, np.append(shades[known] - usual, [0.0, 0.0]), rcond=None)[0]
    result: Array = np.where(known, shades, np.clip(usual + waves @ swing, _SHADES[0], _SHADES[-1]))
    return result


def _level_at(here: float) -> float:
    """Where an edge without a wall passes `here`, in blurs."""
    plain = np.linspace(-4.0, 4.0, 801)
    return float(plain[np.argmin(np.abs(1 - _rise(plain) - here))])


def _way(out: Array) -> Array:
    """From 0 to _WAYS round the circle."""
    result: Array = np.arctan2(out[:, 1], out[:, 0]) / (2 * np.pi) * _WAYS % _WAYS
    return result


def _moved(rim: _Rim, shades: Array, here: float, blur: float) -> Array:
    way = _way(rim.out)
    shade = np.interp(way, np.arange(_WAYS + 1), np.append(shades, shades[0]))
    inside = _inside(np.maximum(rim.width, 0.0), shade, here, blur)
    result: Array = rim.points + rim.out * np.where(rim.width > 0, inside, 0.0)[:, None]
    return result
