"""The light at which a part's edges lie: half way between their two sides, corrected for sharpening.

Other things in the picture, a card or dots of ink, have shades of their own, so the part's are measured at its edges.
Sharpening works on encoded numbers, in which a blurred edge is lopsided: it moves the half level out or in, by 0.1 of a
pixel or more, the same way on every edge. The edge's mean profile shows the halos by which it was done; the profile is
fitted by a blurred step, encoded, of which g + amount * (g - blurred g) was made (unsharp masking).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import erf, exp, log

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import PictureEdges, between
from gasketcut.capture.image.picture_file import Light, encoded, linear

_REACH, _STEP = 8.0, 0.25
"""Pixels to either side of an edge that are looked at."""

_FINE = 0.05
_WIDE = np.arange(-20.0, 20.0 + _FINE / 2, _FINE)

_HALO = 0.015
"""Of the contrast, by which an edge must overshoot to be called sharpened. Our choice."""

_BETTER, _GOOD = 0.4, 0.02
"""The halos' fit must lower so far what the plain one leaves, and under this share of the contrast. Our choice."""

_STARTS = ((0.5, 1.0), (1.0, 2.0), (1.5, 3.0))
"""Amounts and radii from which the halos are fitted."""

_PER_RING = 800
_SHORTEST = 60
"""Places of a ring that are looked at, and points of the shortest one."""

_FLAT = 0.12
"""Of the contrast, by which the light may vary well off the edge; beside a thin line it varies more. Our choice."""

_OTHER = 0.01
"""Of the contrast, by which a level must differ from the picture's to be taken. Our choice."""


@dataclass(frozen=True, slots=True)
class _Edge:
    """`level` of linear light at which edges lie; halos of `halo` of the contrast moved them by `pixels`."""

    level: float
    pixels: float = 0.0
    halo: float = 0.0


def edges_at_own_level(
    light: Light,
    edges: PictureEdges,
    rings: Sequence[Array],
    look: Callable[[float], PictureEdges],
    warnings: list[str],
) -> PictureEdges:
    """The picture's edges at the level that these rings have, if that is another; sharpening is put into `warnings`.

    rings : of the part in `edges`
    look  : the edges at another level
    """
    found = _edge_of(light, rings)
    if found is None or abs(found.level - edges.level) <= _OTHER * abs(edges.part - edges.ground):
        return edges
    if found.halo:
        warnings.append(
            f"the picture has been sharpened: its edges overshoot by {found.halo * 100:.0f} %, which moves them by "
            f"{abs(found.pixels):.2f} pixels; corrected, but switch sharpening off if you can"
        )
    return look(found.level)


def _edge_of(light: Light, rings: Sequence[Array]) -> _Edge | None:
    """What the edges show; None if they have no clear sides."""
    long = [ring for ring in rings if len(ring) > _SHORTEST]
    if not long:
        return None
    at, profile = _profile(light, long)
    dark, bright = float(np.median(profile[:8])), float(np.median(profile[-8:]))
    contrast = bright - dark
    if contrast <= 0.05 or max(np.ptp(profile[:8]), np.ptp(profile[-8:])) > _FLAT * contrast:
        return None
    ends = linear(np.array([dark, bright], dtype=np.float32))
    half = _Edge(float(ends.mean()))
    halo = max(float(profile.max()) - bright, dark - float(profile.min())) / contrast
    if halo < _HALO:
        return half
    plain = _fitted(at, profile, ends, np.array([0.0, 0.0, 0.0, 0.0]), free=2)
    made = min(
        (_fitted(at, profile, ends, np.array([0.0, 0.0, amount, log(radius)]), free=4) for amount, radius in _STARTS),
        key=lambda one: one[1],
    )
    (shift, _, amount, _), rest = made
    if rest > _BETTER * plain[1] or rest > _GOOD * contrast or amount <= 0 or abs(shift) > 0.6:
        return half
    there = np.interp(shift, at, profile)
    return _Edge(float(linear(np.array([there], dtype=np.float32))[0]), float(shift), halo)


def _profile(light: Light, rings: list[Array]) -> tuple[Array, Array]:
    """Encoded light across the edges from the dark side to the bright one: the middle of all places' values."""
    at = np.arange(-_REACH, _REACH + _STEP / 2, _STEP)
    rows = []
    for ring in rings:
        ways = np.roll(ring, -2, axis=0) - np.roll(ring, 2, axis=0)
        every = max(1, len(ring) // _PER_RING)
        places, ways = ring[::every], ways[::every]
        ways = ways / np.maximum(np.hypot(*ways.T), 1e-12)[:, None]
        values = between(
            light, places[:, :1] - ways[:, 1:] * at, places[:, 1:] + ways[:, :1] * at
        )  # to the left of the direction
        if values[:, -8:].mean() < values[:, :8].mean():
            values = values[:, ::-1]
        rows.append(encoded(values))
    return at, np.median(np.vstack(rows), axis=0).astype(float)


def _edge(numbers: Array, ends: Light) -> Array:
    """The profile on `_WIDE`: numbers are shift, log of the blur, amount and log of the radius [pixels]."""
    _, blur, amount, radius = numbers
    spread = exp(blur) * 2**0.5
    rise = np.array([0.5 * (1 + erf(x / spread)) for x in _WIDE])
    plain = encoded((ends[0] + (ends[1] - ends[0]) * rise).astype(np.float32)).astype(float)
    if amount == 0:
        return plain
    wide = exp(radius)
    reach = int(4 * wide / _FINE) + 1
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) * _FINE / wide) ** 2)
    soft = np.convolve(np.pad(plain, reach, mode="edge"), weights / weights.sum(), mode="valid")
    result: Array = np.clip(plain + amount * (plain - soft), 0.0, 1.0)
    return result


def _fitted(at: Array, profile: Array, ends: Light, start: Array, *, free: int) -> tuple[Array, float]:
    """The first `free` numbers fitted by Levenberg-Marquardt; what is left, root mean square."""

    def off(numbers: Array) -> Array:
        result: Array = np.interp(at - numbers[0], _WIDE, _edge(numbers, ends)) - profile
        return result

    low, high = np.array([-3.0, log(0.2), 0.0, log(0.4)]), np.array([3.0, log(5.0), 6.0, log(6.0)])
    numbers, here, damping = start.copy(), off(start), 1e-3
    for _ in range(40):
        columns = []
        for n in range(free):
            moved = numbers.copy()
            moved[n] += 1e-4
            columns.append((off(moved) - here) / 1e-4)
        matrix = np.column_stack(columns)
        normal = matrix.T @ matrix
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal) + 1e-12), -matrix.T @ here)
        tried = numbers.copy()
        tried[:free] = np.clip(numbers[:free] + step, low[:free], high[:free])
        there = off(tried)
        if there @ there < here @ here:
            done = float(here @ here - there @ there) < 1e-12
            numbers, here, damping = tried, there, max(damping / 5, 1e-9)
            if done:
                break
        else:
            damping *= 5
            if damping > 1e6:
                break
    return numbers, float(np.sqrt(np.mean(here**2)))
