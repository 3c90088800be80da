"""What a received drawing holds, as a cutter reads it: parts, holes, cut length, starts, the narrowest places.

Start   of a cut: one for each closed contour and each open line that is cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.plane import Point
from gasketcut.received.as_named import as_named
from gasketcut.received.nest import Nest
from gasketcut.received.pieces import Piece, pieces_in
from gasketcut.received.reading.plane import Plane
from gasketcut.shape.loop import Contour, Loop
from gasketcut.shape.narrow import Narrow, smallest_hole, smallest_web, web_between

SHARP_DEG = 31.0
"""Two lines that turn by more meet in a corner; by less they may stand for an arc of a dozen lines. Ours."""

_MOST = 20_000
"""Vertices of one piece up to which necks within one edge are sought: beyond it would take seconds."""


@dataclass(frozen=True, slots=True)
class WhatItIs:
    """Lengths in mm, places in the file's own numbers.

    holes            of each part, from the bottom left upwards; the parts are their count
    cut_length       of all that is cut, without leads
    smallest_radius  in an inner corner, where the tool has to turn within the sheet; 0 where such a corner is sharp
    smallest_web     None if a part has neither holes nor necks
    as_named         material and thickness in the words of the file's or a layer's name
    """

    holes: tuple[int, ...]
    cut_length: float
    starts: int
    smallest_hole: Narrow | None
    smallest_radius: Narrow | None
    smallest_web: Narrow | None
    as_named: str | None

    @property
    def parts(self) -> int:
        return len(self.holes)


def what_it_is(nest: Nest, plane: Plane, open_lengths: Sequence[float], names: Sequence[str]) -> WhatItIs:
    """Take stock of sorted contours.

    plane        : from the file's numbers to the mm of the contours
    open_lengths : of the open lines that are cut [mm]
    names        : of the file and of the layers
    """

    def back(one: Narrow | None) -> Narrow | None:
        return None if one is None else Narrow(one.width, plane.back(one.at))

    pieces = pieces_in(nest)
    webs = [web for web in map(_web, pieces) if web is not None]
    return WhatItIs(
        holes=tuple(len(piece.holes) for piece in pieces),
        cut_length=float(nest.length.sum()) + sum(open_lengths),
        starts=len(nest.contours) + len(open_lengths),
        smallest_hole=back(smallest_hole(hole for piece in pieces for hole in piece.holes if _is_whole(hole))),
        smallest_radius=back(_smallest_radius(nest)),
        smallest_web=back(min(webs, key=lambda web: web.width, default=None)),
        as_named=as_named(names),
    )


def _is_whole(contour: Contour) -> bool:
    """Whether it goes round once: what crosses itself is reported, and has no widest disc."""
    return not isinstance(contour, Loop) or Polygon(contour.flattened(0.01)).is_valid


def _web(piece: Piece) -> Narrow | None:
    solid = Polygon(piece.outer.flattened(), [hole.flattened() for hole in piece.holes])
    if not shapely.is_valid(solid):
        return None
    return smallest_web(solid) if shapely.get_num_coordinates(solid) <= _MOST else web_between(solid)


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
    half = np.sign(nest.bulge) * e.sweep / 2
    chord = e.end - e.start
    along = np.arctan2(chord[:, 1], chord[:, 0])
    after = nest.following
    turn = (along[after] - half[after] - along - half + np.pi) % (2 * np.pi) - np.pi
    sharp = np.flatnonzero(turn * left < -np.radians(SHARP_DEG))
    if len(sharp):
        found.append(Narrow(0.0, _point(e.end[int(sharp[0])])))
    return min(found, key=lambda one: one.width, default=None)


def _point(row: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Point:
    return float(row[0]), float(row[1])
