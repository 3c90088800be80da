"""Ways in which one outline may lie over another, before any is looked at closely.

From the outer lines: the turns in which their distances from the middle go alike.
From the holes: where two of one lie as far apart as two of the other; the middle of the outer line counts as a hole.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.features import Features
from gasketcut.comparing.placing import Placing

_BINS = 720
_PEAKS = 16
_BASES = 24
"""Pairs of holes of the one that are looked for in the other; rare ones are, so that one moved hole spoils few."""

_MOST = 400
"""Ways by holes, mirrored or not; a regular pattern of 200 holes has as many."""

_APART, _APART_SHARE = 0.5, 0.003
"""How much two distances may differ [mm, and of the size], and two holes' sizes; ours."""


def candidates_of(fixed: Features, moved: Features, *, mirrored: bool) -> Iterator[Placing]:
    """Placings that take `moved` to `fixed`, likely ones; the ones that turn least first."""
    flip = Placing(mirrored).matrix
    centre = flip @ moved.centre
    for turn in (0.0, 180.0, 90.0, -90.0):
        yield _about(turn, mirrored, centre, fixed.centre)
    if not mirrored:
        yield Placing()
    for turn in _turns(fixed, moved, flip):
        yield _about(turn, mirrored, centre, fixed.centre)
    yield from _by_holes(fixed, moved, flip, mirrored)


def _about(turn: float, mirrored: bool, centre: Array, to: Array) -> Placing:
    """Turned, so that `centre` (mirrored already) comes to lie at `to`."""
    x, y = to - Placing(False, turn).matrix @ centre
    return Placing(mirrored, turn, (float(x), float(y)))


def _turns(fixed: Features, moved: Features, flip: Array) -> list[float]:
    """Turns [deg] in which the outer lines lie alike, best first; none for two rings."""
    first, second = _reach(fixed.ring - fixed.centre), _reach((moved.ring - moved.centre) @ flip.T)
    if min(np.ptp(first), np.ptp(second)) < 1e-3 * fixed.size:
        return []
    alike = np.fft.irfft(np.fft.rfft(first) * np.conj(np.fft.rfft(second)), _BINS)
    peaks = np.flatnonzero((alike >= np.roll(alike, 1)) & (alike > np.roll(alike, -1)))
    best = peaks[np.argsort(-alike[peaks], kind="stable")][:_PEAKS]
    return [_between(alike, int(one)) * 360.0 / _BINS for one in best]


def _between(values: Array, at: int) -> float:
    """The top of the parabola through three neighbours."""
    before, here, after = values[at - 1], values[at], values[(at + 1) % len(values)]
    bend = before - 2 * here + after
    return at + (0.5 * float((before - after) / bend) if bend < 0 else 0.0)


def _reach(ring: Array) -> Array:
    """How far out the line goes in each direction, less the mean."""
    ends = np.roll(ring, -1, axis=0)
    count = max(1, int(np.ceil(np.hypot(*(ends - ring).T).max() / np.hypot(*np.ptp(ring, axis=0)) * _BINS * 2)))
    shares = np.arange(count) / count
    dense = (ring[:, None, :] + (ends - ring)[:, None, :] * shares[None, :, None]).reshape(-1, 2)
    turn = np.floor(np.arctan2(dense[:, 1], dense[:, 0]) / (2 * np.pi) * _BINS).astype(np.int64) % _BINS
    reach = np.zeros(_BINS)
    np.maximum.at(reach, turn, np.hypot(*dense.T))
    known = np.flatnonzero(reach)
    filled = np.interp(np.arange(_BINS), known, reach[known], period=_BINS)
    result: Array = filled - filled.mean()
    return result


def _by_holes(fixed: Features, moved: Features, flip: Array, mirrored: bool) -> Iterator[Placing]:
    a, sizes_a = _places(fixed, np.eye(2))
    b, sizes_b = _places(moved, flip)
    if len(a) < 2 or len(b) < 2:
        return
    slack = _APART + _APART_SHARE * fixed.size
    apart_b = np.hypot(*(b[:, None] - b[None, :]).transpose(2, 0, 1))
    found = []
    for i, j in _bases(a):
        apart = np.hypot(*(a[j] - a[i]))
        alike = np.abs(apart_b - apart) <= slack
        alike &= (np.abs(sizes_b - sizes_a[i]) <= slack)[:, None] & (np.abs(sizes_b - sizes_a[j]) <= slack)[None, :]
        alike &= ~np.eye(len(b), dtype=bool)
        rows = np.argwhere(alike)
        if len(rows):
            found.append((len(rows), i, j, rows))
    left = _MOST
    for _, i, j, rows in sorted(found, key=lambda one: one[:3]):
        for k, m in rows[:left].tolist():
            way, other = a[j] - a[i], b[m] - b[k]
            turn = np.degrees(np.arctan2(way[1], way[0]) - np.arctan2(other[1], other[0]))
            yield _about(float(turn), mirrored, (b[k] + b[m]) / 2, (a[i] + a[j]) / 2)
        left -= len(rows)
        if left <= 0:
            return


def _places(features: Features, flip: Array) -> tuple[Array, Array]:
    """The middle of the outer line, then those of all holes, and what size each is."""
    middles = np.array([tuple(features.centre), *(one.middle for one in features.holes)])
    sizes = [np.sqrt(features.outline.outer.area), *(np.sqrt(one.contour.area) for one in features.holes)]
    return middles @ flip.T, np.array(sizes)


def _bases(places: Array) -> list[tuple[int, int]]:
    """Pairs: each place with the middle of the outer line, and those far from each other."""
    count = len(places)
    off = np.hypot(*(places - places[0]).T)
    far = np.argsort(-off, kind="stable")[:_BASES]
    pairs = [(0, int(one)) for one in far if off[one] > 1e-6]
    for one in far[: _BASES // 2].tolist():
        away = np.hypot(*(places - places[one]).T)
        pairs.append((one, int(np.argmax(away))))
        pairs.append((one, int(far[count // 2 % len(far)])))
    return list(dict.fromkeys(pair for pair in pairs if pair[0] != pair[1]))
