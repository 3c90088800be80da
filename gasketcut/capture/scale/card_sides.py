"""The four sides and the corners of what may be a bank card, each place measured by its own shade.

What is printed may be nearly as bright as the ground, lighter on one side and darker on the other, so a side is looked
at in many places, each by the half level between the ground and what lies inside right there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gasketcut.arrays import Array
from gasketcut.bank_card import CARD
from gasketcut.capture.edges.curve import Line, line_through, off_curve
from gasketcut.capture.edges.rings import between
from gasketcut.capture.image.ground import levels_of
from gasketcut.capture.image.picture_file import Light

_CROOKED = 0.004
"""Radians by which opposite sides may differ, and neighbours from a right angle; a scanner leans less. Our choice."""

_ENDS, _PLACES, _STEP = 0.12, 240, 0.25
"""Share of a side left out at either end; places at which it is looked at, and how finely [pixels]."""

_REACH = 7.0
"""Pixels to either side that are looked at in the end."""

_ABOUT = 3.0
"""Pixels to either side of an edge within which it has all its blur. Our choice."""

_FAINT = 4.0
"""Levels between card and ground: less at a place is no edge. Our choice."""

_CLEAR = 12.0
"""Times the grain that neighbouring places are averaged to, so that no grain passes for an edge. Our choice."""

_MOST_TOGETHER = 30
"""Places averaged at most."""

_STRAIGHT = 0.5
"""Pixels by which a side may stray from a line, as a standard deviation. Our choice."""

_LONGEST = 6.0
"""mm from where two sides would cross, that is looked at for the corner: one of 12 mm would end there."""

_CORNERS = (2.0, 4.6)
"""mm; radii that pass for a card's, as old cards are worn and a corner is short. Our choice."""


@dataclass(frozen=True, slots=True)
class CardSides:
    """Lines round it in order, the first along a long side; how unsure the distance of two of them is by how their
    points stray; [pixels]."""

    lines: tuple[Line, ...]
    sigma: float

    @property
    def corners(self) -> Array:
        """Where neighbouring lines cross; shape (4, 2), the first two are the ends of the first line."""
        return np.array([_crossing(self.lines[n - 1], self.lines[n]) for n in range(4)])

    @property
    def measured(self) -> tuple[float, float, float] | None:
        """Long and short side in pixels and the turn of the long one [rad]; None if it is crooked."""
        sizes, turns = [], []
        # The short sides bound the long way.
        for first, second in ((self.lines[1], self.lines[3]), (self.lines[0], self.lines[2])):
            way, other = np.array([first.dx, first.dy]), np.array([second.dx, second.dy])
            if abs(way[0] * other[1] - way[1] * other[0]) > _CROOKED:
                return None
            along = way if way @ other > 0 else -way
            mean = (along + other) / np.hypot(*(along + other))
            normal = np.array([-mean[1], mean[0]])
            sizes.append(abs(float(np.array([second.x - first.x, second.y - first.y]) @ normal)))
            turns.append(normal)
        if abs(float(turns[0] @ turns[1])) > _CROOKED:
            return None
        return sizes[0], sizes[1], float(np.arctan2(turns[0][1], turns[0][0]))


def sides_near(light: Light, box: Array, grain: float, reach: float) -> CardSides | None:
    """The sides near the box's; None if too little of one stands out from the ground.

    box   : corners in order, the first side a long one
    grain : of the picture, in levels
    reach : pixels by which the box may be off
    """
    found = box
    for wide in (max(reach, _REACH), _REACH):
        middle = found.mean(axis=0)
        lines = [_side(light, found[n], found[(n + 1) % 4], middle, grain, wide) for n in range(4)]
        seen = [line for line in lines if line is not None]
        if len(seen) < 4:
            return None
        sides = CardSides(tuple(line for line, _ in seen), 2**0.5 * max(sigma for _, sigma in seen))
        if sides.measured is None:
            return sides
        found = sides.corners
    return sides


def has_card_corners(light: Light, sides: CardSides, grain: float) -> bool:
    """Whether the corners are as round as a card's, where they show; at most one of them may not be."""
    corners = sides.corners
    long = float(np.hypot(*(corners[1] - corners[0])))
    pixel = CARD[0] / long
    middle = corners.mean(axis=0)
    others = 0
    for n in range(4):
        ends = corners[(n + 1) % 4] - corners[n], corners[n - 1] - corners[n]
        way = sum(end / np.hypot(*end) for end in ends)
        way = way / np.hypot(*way) * (1 if way @ (middle - corners[n]) > 0 else -1)
        radius = _radius(light, corners[n], way, pixel, grain)
        others += radius is not None and not _CORNERS[0] < radius < _CORNERS[1]
    return others <= 1


def _radius(light: Light, corner: Array, way: Array, pixel: float, grain: float) -> float | None:
    """Of the corner [mm]: its edge lies (sqrt(2) - 1) radii inside where the sides would cross; None if it is faint."""
    reach = _LONGEST / pixel
    at = np.arange(-reach, reach, _STEP)
    beside = np.arange(-0.3, 0.31, 0.1)[:, None] / pixel
    values = between(light, corner[0] + way[0] * at - way[1] * beside, corner[1] + way[1] * at + way[0] * beside).mean(
        axis=0
    )
    part = max(4, at.size // 6)
    without, within = float(np.median(values[:part])), float(np.median(values[-part:]))
    apart = abs(float(np.diff(levels_of(np.array([without, within], dtype=np.float32)))[0]))
    if apart < max(_FAINT, 3 * grain):
        return None
    beyond = (values - (without + within) / 2) * np.sign(within - without) >= 0
    first = int(np.argmax(beyond))
    return float(at[first] * pixel / (2**0.5 - 1)) if first else None


def _side(
    light: Light, start: Array, end: Array, middle: Array, grain: float, reach: float
) -> tuple[Line, float] | None:
    """The line, and the standard deviation of its place."""
    way = (end - start) / np.hypot(*(end - start))
    out = np.array([way[1], -way[0]])
    out = out if out @ (start - middle) > 0 else -out
    shares = np.linspace(_ENDS, 1 - _ENDS, _PLACES)[:, None]
    places = start + shares * (end - start)
    at = np.arange(-reach, reach + _STEP / 2, _STEP)
    values = between(light, places[:, :1] + out[0] * at, places[:, 1:] + out[1] * at)
    ends = levels_of(np.median(values[:, :8], axis=1)), levels_of(np.median(values[:, -8:], axis=1))
    contrast = float(np.quantile(np.abs(ends[0] - ends[1]), 0.8))
    together = min(_MOST_TOGETHER, max(1, round((_CLEAR * grain / max(contrast, 1.0)) ** 2)))
    count = _PLACES // together
    places = places[: count * together].reshape(count, together, 2).mean(axis=1)
    values = values[: count * together].reshape(count, together, -1).mean(axis=1)
    found = _edge_points(places, values, at, out, grain / together**0.5)
    if len(found) < max(6, count / 5):
        return None
    for _ in range(3):
        line = line_through(found)
        stray = off_curve(line, found)
        spread = 1.4826 * float(np.median(stray))
        good = stray <= max(3 * spread, 0.05)
        if good.all():
            break
        found = found[good]
    return (line, spread / len(found) ** 0.5) if spread <= _STRAIGHT else None


def _edge_points(places: Array, values: Light, at: Array, out: Array, grain: float) -> Array:
    """Where each place's row of values passes its own half level, from outside; shape (m, 2)."""
    within, without = np.median(values[:, :8], axis=1), np.median(values[:, -8:], axis=1)
    apart = np.abs(within - without)
    clear = np.abs(levels_of(within) - levels_of(without)) > max(_FAINT, 5 * grain)
    # Print may begin right at the edge: where the inside is not of one shade, the place is no use.
    clear &= np.ptp(values[:, :8], axis=1) < 0.35 * apart
    levels = (within + without) / 2
    beyond = (values - levels[:, None]) * np.sign(without - within)[:, None] >= 0
    last = at.size - 1 - np.argmax(~beyond[:, ::-1], axis=1)  # the last place that is still the card
    clear &= (last > 0) & (last < at.size - 1)
    rows, last = np.nonzero(clear)[0], last[clear]
    off, even = _by_light(values[rows], at, last)
    result: Array = places[rows[even]] + off[even][:, None] * out
    return result


def _by_light(values: Light, at: Array, last: Array) -> tuple[Array, Array]:
    """Where a sharp edge would lie that lets as much light through, looked at `_ABOUT` pixels to either side; and where
    both sides are even enough for that. The half level itself wanders by a tenth of a pixel with where the edge cuts
    the pixels, and along a row all places are cut alike."""
    about, level = round(_ABOUT / _STEP), round(1 / _STEP)
    fits = (last >= about) & (last + about < at.size)
    middle = np.clip(last, about, at.size - 1 - about)
    columns = middle[:, None].astype(np.int64) + np.arange(-about, about + 1)
    rows = np.take_along_axis(values, columns, axis=1).astype(float)
    within, without = rows[:, : level + 1].mean(axis=1), rows[:, -level - 1 :].mean(axis=1)
    apart = without - within
    even = fits & (np.ptp(rows[:, : level + 1], axis=1) < 0.35 * np.abs(apart))
    share = (rows - within[:, None]) / np.where(apart == 0, 1.0, apart)[:, None]  # of what lies outside
    outside = (share.sum(axis=1) - (share[:, 0] + share[:, -1]) / 2) * _STEP
    return at[middle] + _ABOUT - outside, even


def _crossing(one: Line, other: Line) -> Array:
    ways = np.array([[one.dx, -other.dx], [one.dy, -other.dy]])
    along = np.linalg.solve(ways, np.array([other.x - one.x, other.y - one.y]))[0]
    return np.array([one.x + along * one.dx, one.y + along * one.dy])
