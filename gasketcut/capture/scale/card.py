"""A bank card beside the part, found by itself, whatever is printed on it.

What is printed may be as bright as the half level between part and ground, so the card is looked for in a coarse
picture at a level near the ground's, and each side then measured by the half level between the ground and what lies
inside there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.bank_card import CARD, CARD_CORNER
from gasketcut.capture.edges.curve import Line, line_through, off_curve
from gasketcut.capture.edges.rings import PictureEdges, between, edges_in
from gasketcut.capture.image.picture_file import Light, PictureError
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.uncertainty.card_spread import card_spread

_NEAR = 0.07
"""Of the way from the ground's light to the part's: where a card ends that is printed nearly as bright. Our choice."""

_COARSE = 1000
"""Pixels along the longer side at which it is looked for: noise is averaged away."""

_OFF = 0.02
"""How far the proportions of a card may be off: a scanner's x and y differ by less. Our choice."""

_AREA = 0.015
"""How far its area may be off. Our choice."""

_CROOKED = 0.004
"""Radians by which opposite sides may differ; what is not as parallel is no card. Our choice."""

_ENDS, _PLACES, _REACH, _STEP = 0.12, 240, 7.0, 0.25
"""Share of a side left out at either end; places at which it is looked at; pixels to either side, and how fine."""

_PALE = 0.12
"""Of the contrast of part and ground: less at a place is no edge. Our choice."""


@dataclass(frozen=True, slots=True)
class Card:
    """The scale by it, and where it lies in the picture [pixels]."""

    scale: Scale
    room: Polygon


def by_card(light: Light, edges: PictureEdges) -> Card | None:
    """The card in the picture; None if there is none."""
    step = max(1, max(light.shape) // _COARSE)
    height, width = (size // step for size in light.shape)
    coarse = light[: height * step, : width * step].reshape(height, step, width, step).mean(axis=(1, 3))
    try:
        near = edges_in(coarse, smallest=30.0, level=edges.ground + _NEAR * (edges.part - edges.ground))
    except PictureError:
        return None
    for silhouette in near.silhouettes:
        box = _box(silhouette.outer * step + (step - 1) / 2)
        measured = None if box is None else _measured(light, box, edges)
        if box is not None and measured is not None:
            return Card(_scale(*measured), Polygon(box))
    return None


def _scale(long: float, short: float, turn: float) -> Scale:
    # Along the card's own sides; for a card that lies askew both go into sx and sy alike.
    a, b = CARD[0] / long, CARD[1] / short
    c, s = abs(np.cos(turn)), abs(np.sin(turn))
    if c > 0.99:
        return Scale("card", a, b, card_spread("along"))
    if s > 0.99:
        return Scale("card", b, a, card_spread("across"))
    mean = float((a * b) ** 0.5)
    return Scale("card", mean, mean, card_spread("askew"))


def _box(ring: Array) -> Array | None:
    """The four corners of the ring's box, its first side a long one, if the ring may be a card."""
    box = shapely.minimum_rotated_rectangle(Polygon(ring))
    if not isinstance(box, Polygon):
        return None
    corners = np.array(box.exterior.coords)[:4]
    lengths = np.hypot(*np.diff(np.vstack([corners, corners[:1]]), axis=0).T)
    corners = np.roll(corners, -int(np.argmax(lengths[:2])), axis=0)
    long, short = float(lengths[:2].max()), float(lengths[:2].min())
    if short < 40 or abs(long / short / (CARD[0] / CARD[1]) - 1) > _OFF:
        return None
    wanted = long * short - (4 - np.pi) * (CARD_CORNER * long / CARD[0]) ** 2
    return corners if abs(Polygon(ring).area / wanted - 1) < _AREA else None


def _measured(light: Light, corners: Array, edges: PictureEdges) -> tuple[float, float, float] | None:
    """Long and short side in pixels and the turn of the long one [rad]; None if it is no card after all."""
    middle = corners.mean(axis=0)
    lines = []
    for n in range(4):
        line = _side(light, corners[n], corners[(n + 1) % 4], middle, edges)
        if line is None:
            return None
        lines.append(line)
    sizes, turns = [], []
    for first, second in ((lines[1], lines[3]), (lines[0], lines[2])):  # the short sides bound the long way
        way, other = np.array([first.dx, first.dy]), np.array([second.dx, second.dy])
        if abs(way[0] * other[1] - way[1] * other[0]) > _CROOKED:
            return None
        along = way if way @ other > 0 else -way
        mean = (along + other) / np.hypot(*(along + other))
        normal = np.array([-mean[1], mean[0]])
        sizes.append(abs(float(np.array([second.x - first.x, second.y - first.y]) @ normal)))
        turns.append(normal)
    if abs(float(turns[0] @ turns[1])) > _CROOKED or abs(sizes[0] / sizes[1] / (CARD[0] / CARD[1]) - 1) > _OFF:
        return None
    return sizes[0], sizes[1], float(np.arctan2(turns[0][1], turns[0][0]))


def _side(light: Light, start: Array, end: Array, middle: Array, edges: PictureEdges) -> Line | None:
    """The side near the box's; None if too little of it stands out from the ground."""
    way = (end - start) / np.hypot(*(end - start))
    out = np.array([way[1], -way[0]])
    out = out if out @ (start - middle) > 0 else -out
    shares = np.linspace(_ENDS, 1 - _ENDS, _PLACES)[:, None]
    places = start + shares * (end - start)
    at = np.arange(-_REACH, _REACH + _STEP / 2, _STEP)
    values = between(light, places[:, :1] + out[0] * at, places[:, 1:] + out[1] * at)
    within, without = np.median(values[:, :8], axis=1), np.median(values[:, -8:], axis=1)
    share = (edges.level - edges.ground) / (edges.part - edges.ground)
    levels = without + share * (within - without)
    clear = np.abs(within - without) > _PALE * abs(edges.part - edges.ground)
    # Print may begin right at the edge: where the inside is not of one shade, the place is no use.
    clear &= np.ptp(values[:, :8], axis=1) < 0.35 * np.abs(within - without)
    beyond = (values - levels[:, None]) * np.sign(without - within)[:, None] >= 0
    last = at.size - 1 - np.argmax(~beyond[:, ::-1], axis=1)  # the last place that is still the card
    clear &= (last > 0) & (last < at.size - 1)
    if clear.sum() < _PLACES / 5:
        return None
    rows, last, levels = np.nonzero(clear)[0], last[clear], levels[clear]
    low, high = values[rows, last], values[rows, last + 1]
    off = at[last] + _STEP * (levels - low) / np.where(high == low, 1.0, high - low)
    found = places[clear] + off[:, None] * out
    for _ in range(3):
        line = line_through(found)
        stray = off_curve(line, found)
        good = stray <= max(3 * 1.4826 * float(np.median(stray)), 0.05)
        if good.all():
            break
        found = found[good]
    return line
