"""A bank card beside the part, found by itself: anything of its size and corners, in whatever shades."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.bank_card import CARD, CARD_CORNER
from gasketcut.capture.edges.things import Thing
from gasketcut.capture.image.ground import Ground
from gasketcut.capture.image.picture_file import Light
from gasketcut.capture.scale.card_sides import has_card_corners, sides_near
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.uncertainty.card_spread import card_spread

_OFF = 0.01
"""How far the proportions of a card may be off: scanners' x and y differ by 0.6 % at the worst that was found, in a
forum's measurement of one. Our choice."""

_COARSELY = 0.04
"""The same of its coarse outline, which grain may draw. Our choice."""

_SURE = 0.0004
"""Of its short side, by which that may be unsure: less than half of what a card's scale is promised to. Our choice."""

_AREA = 0.08
"""How far the area of its coarse outline may be off, with dents where print is as bright as the ground. Our choice."""


@dataclass(frozen=True, slots=True)
class Card:
    """What has a bank card's shape, and the scale by it; None if its edges are too faint or too much of one is printed
    in the ground's shade."""

    thing: Thing
    scale: Scale | None


def cards_among(light: Light, ground: Ground, things: Sequence[Thing]) -> tuple[Card, ...]:
    """In the things' order."""
    found = (_card(light, ground, thing) for thing in things if not thing.sides)
    return tuple(card for card in found if card is not None)


def _card(light: Light, ground: Ground, thing: Thing) -> Card | None:
    box = _box(thing.outline)
    if box is None:
        return None
    sides = sides_near(light, box, ground.grain, 3.0 * ground.coarse.step + 5.0)
    if sides is None:
        return Card(thing, None)
    measured = sides.measured
    if measured is None or abs(measured[0] / measured[1] / (CARD[0] / CARD[1]) - 1) > _OFF:
        return Card(thing, None) if ground.is_grainy_for(thing.light) else None
    if not has_card_corners(light, sides, ground.grain):
        return None
    return Card(thing, _scale(*measured) if sides.sigma < _SURE * measured[1] else None)


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


def _box(outline: Polygon) -> Array | None:
    """The four corners of the box round it, its first side a long one, if it may be a card."""
    hull = outline.convex_hull
    box = shapely.minimum_rotated_rectangle(hull)
    if not isinstance(box, Polygon) or not isinstance(hull, Polygon):
        return None
    corners = np.array(box.exterior.coords)[:4]
    lengths = np.hypot(*np.diff(np.vstack([corners, corners[:1]]), axis=0).T)
    corners = np.roll(corners, -int(np.argmax(lengths[:2])), axis=0)
    long, short = float(lengths[:2].max()), float(lengths[:2].min())
    if short < 40 or abs(long / short / (CARD[0] / CARD[1]) - 1) > _COARSELY:
        return None
    wanted = long * short - (4 - np.pi) * (CARD_CORNER * long / CARD[0]) ** 2
    near = abs(hull.area / wanted - 1) < _AREA and abs(outline.area / wanted - 1) < 2 * _AREA
    return corners if near else None
