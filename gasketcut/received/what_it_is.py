"""What a received drawing holds, as a cutter reads it: parts, holes, cut length, starts, the narrowest places.

Start   of a cut: one for each closed contour and each open line that is cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.plane import Point
from gasketcut.received.alike import alike, equal_when_moved
from gasketcut.received.pieces import Piece, pieces_in
from gasketcut.received.reading.plane import Plane
from gasketcut.received.stock.as_named import as_named
from gasketcut.received.stock.neighbours import narrowest_web
from gasketcut.received.stock.nest import Nest
from gasketcut.shape.loop import Circle
from gasketcut.shape.narrow import Narrow, neck, width_of

SHARP_DEG = 31.0
"""Two lines that turn by more meet in a corner; by less they may stand for an arc of a dozen lines. Ours."""

_MOST = 20_000
"""Vertices of all pieces up to which necks within one edge are sought: beyond it would take seconds."""

_MOST_TURNED = 60
"""Different pieces up to which it is tried whether one is another one turned."""

_COARSE = 0.005
"""mm of chord for seeking necks: half of what they are found to."""


@dataclass(frozen=True, slots=True)
class WhatItIs:
    """Lengths in mm, places in the file's own numbers.

    holes            of each part, from the bottom left upwards; the parts are their count
    duplicates       how many parts are equal to one before them, turned or not; a mirror image is not equal
    cut_length       of all that is cut, without leads
    smallest_radius  in an inner corner, where the tool has to turn within the sheet; 0 where such a corner is sharp
    smallest_web     None if a part has neither holes nor necks
    as_named         material and thickness in the words of the file's or a layer's name
    """

    holes: tuple[int, ...]
    duplicates: int
    cut_length: float
    starts: int
    smallest_hole: Narrow | None
    smallest_radius: Narrow | None
    smallest_web: Narrow | None
    as_named: str | None

    @property
    def parts(self) -> int:
        return len(self.holes)


def what_it_is(nest: Nest, plane: Plane, open_lengths: Array, names: Sequence[str]) -> WhatItIs:
    """Take stock of sorted contours.

    plane        : from the file's numbers to the mm of the contours
    open_lengths : of the open lines that are cut [mm]
    names        : of the file and of the layers
    """

    def back(one: Narrow | None) -> Narrow | None:
        return None if one is None else Narrow(one.width, plane.back(one.at))

    pieces = pieces_in(nest)
    return WhatItIs(
        holes=tuple(len(piece.holes) for piece in pieces),
        duplicates=len(pieces) - _different(pieces),
        cut_length=float(nest.length.sum() + open_lengths.sum()),
        starts=len(nest.contours) + len(open_lengths),
        smallest_hole=back(_smallest_hole(nest)),
        smallest_radius=back(_smallest_radius(nest)),
        smallest_web=back(_smallest_web(nest)),
        as_named=as_named(names),
    )


def _different(pieces: Sequence[Piece]) -> int:
    """How many are left when equal ones count once; turns are tried only while that takes no time."""
    firsts = [pieces[group[0]] for group in equal_when_moved(pieces)]
    is_quick = 1 < len(firsts) <= _MOST_TURNED and sum(len(one.holes) for one in firsts) <= 10 * _MOST_TURNED
    return len(alike(firsts)) if is_quick else len(firsts)


def _smallest_hole(nest: Nest) -> Narrow | None:
    """The smallest first by what its widest disc cannot be under, so that hardly any has to be measured."""
    # source: area <= r length - pi r^2 for the widest disc's radius r (Bonnesen), so 2 r >= 2 area / length
    holes = np.flatnonzero((nest.depth % 2 == 1) & (nest.length > 0))
    least = 2 * nest.area[holes] / nest.length[holes]
    found: Narrow | None = None
    for number, at_least in zip(holes[np.argsort(least)].tolist(), np.sort(least).tolist(), strict=True):
        if found is not None and at_least >= found.width:
            break
        if is_whole(nest, number):
            width = width_of(nest.contours[number])
            found = width if found is None or width.width < found.width else found
    return found


def is_whole(nest: Nest, number: int) -> bool:
    """Whether it goes round once: what crosses itself is reported, and has no widest disc."""
    return isinstance(nest.contours[number], Circle) or bool(nest.rings[number].is_simple)


def _smallest_web(nest: Nest) -> Narrow | None:
    """Between two edges, or a neck within one; those are sought once in equal pieces, while it takes no time."""
    found = narrowest_web(nest)
    left, measured, children = _MOST, set(), nest.children
    bays = _has_bays(nest)
    vertices = shapely.get_num_coordinates(nest.rings)
    for outer in np.flatnonzero(nest.depth % 2 == 0).tolist():
        ways = [outer, *children.get(outer, ())]
        size = tuple(nest.length[ways].round(2).tolist())
        if size in measured or not bays[ways].any():
            continue
        measured.add(size)
        left -= int(vertices[ways].sum())
        if left < 0:
            break
        rings = [nest.contours[one].flattened(_COARSE) for one in ways]
        solid = Polygon(rings[0], rings[1:])
        limit = float(np.diff(nest.boxes[outer].reshape(2, 2), axis=0).min()) / 2
        limit = min(limit, found.width) if found is not None else limit
        found = (neck(solid, limit) if solid.is_valid else None) or found
    return found


def _has_bays(nest: Nest) -> NDArray[np.bool_]:
    """Which contours bend both ways: only those can come near themselves."""
    e = nest.elements
    way = nest.turn[e.owner]
    back = (nest.bulge * way < -1e-9) | (_turns(nest) * way < -1e-6)
    found = np.zeros(len(nest.contours), dtype=np.bool_)
    found[e.owner[back]] = True
    return found


def _smallest_radius(nest: Nest) -> Narrow | None:
    """Of arcs and corners that the sheet is outside of: the cut turns within the sheet there."""
    e = nest.elements
    if not len(e.owner):
        return None
    # Gone round with the sheet on the left, inner corners and arcs turn right.
    left = np.where(nest.depth % 2 == 0, nest.turn, -nest.turn)[e.owner]
    arcs = np.flatnonzero((nest.bulge * left < 0) & e.is_arc)
    found = []
    if len(arcs):
        least = int(arcs[np.argmin(e.radius[arcs])])
        found.append(Narrow(float(e.radius[least]), _point(e.start[least])))
    sharp = np.flatnonzero(_turns(nest) * left < -np.radians(SHARP_DEG))
    if len(sharp):
        found.append(Narrow(0.0, _point(e.end[int(sharp[0])])))
    return min(found, key=lambda one: one.width, default=None)


def _turns(nest: Nest) -> Array:
    """By how much the contour turns where each element ends [rad], positive to the left."""
    e = nest.elements
    chord = e.end - e.start
    along, half = np.arctan2(chord[:, 1], chord[:, 0]), np.sign(nest.bulge) * e.sweep / 2
    after = nest.following
    turn: Array = (along[after] - half[after] - along - half + np.pi) % (2 * np.pi) - np.pi
    return turn


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])
