"""Was a part cut as it was drawn: its edges from a picture, laid on the drawing, and all by which they differ.

Out    outwards, out of the material, is positive: the part reaches farther there than it was drawn, a hole is smaller.
Range  every figure has its standard deviation, the picture's scale in it; it is judged by the worse end of its range.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from math import hypot, sqrt

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.comparing.cut.cut_edges import CutEdges
from gasketcut.comparing.cut.drawn_edge import DrawnEdge
from gasketcut.comparing.cut.settled import Pair, Settled, settled
from gasketcut.comparing.cut.worst_places import Strays, WorstPlace, strays_of, worst_places
from gasketcut.comparing.features import Features, Hole
from gasketcut.comparing.holes import pairs_of
from gasketcut.comparing.laying import laid_over
from gasketcut.comparing.placing import Placing
from gasketcut.errors import ShapeError
from gasketcut.length import box
from gasketcut.plane import Point
from gasketcut.shape.loop import Contour, Outline
from gasketcut.tolerances import TWO_SIDED_95

WITHIN = 0.2
"""mm by which a part may be off and still is cut as drawn, unless the user says otherwise. Our choice: scissors along a
line keep it, and so does the scale of a scanner whose dpi alone is known, over 60 mm."""

_PLAINLY = 0.5
"""A mirror image is taken for one if it lies this much better; ours."""

_ANYHOW = 0.01
"""mm on average; what lies on the drawing as well as this is not turned over. Our choice."""


_UNLIKE = 0.12
"""Share by which a side may differ and it may still be that part: 5 mm on 45. Our choice."""


class CutVerdict(Enum):
    """By the worse end of the range: all of it within what is allowed; what is found is within, its range is not; or
    it is not."""

    AS_DRAWN = "as drawn"
    NOT_PROVEN = "not proven"
    NOT_AS_DRAWN = "not as drawn"


@dataclass(frozen=True, slots=True)
class CutHole:
    """A round hole of the drawing, and what became of it: its number among the inner contours, where and how wide it
    was drawn, how far it moved along x and y, how wide it is (None: not round), and their sigmas [mm]."""

    number: int
    at: Point
    drawn: float
    shift: Point
    shift_sigma: float
    diameter: float | None
    diameter_sigma: float

    @property
    def moved(self) -> float:
        return hypot(*self.shift)


@dataclass(frozen=True, slots=True)
class LeftOver:
    """An opening of the drawing that was not cut, or of the part that nobody drew; its width if it is round."""

    at: Point
    diameter: float | None


@dataclass(frozen=True, eq=False)
class CutComparison:
    """What became of each contour of the drawing.

    drawn   the drawing
    cut     the part, as the picture has it
    became  of each inner contour of the drawing the number of the part's, None if it is not there
    fit     how the part lies on the drawing, offset and stretch
    """

    drawn: Outline
    cut: CutEdges
    within: float
    became: tuple[int | None, ...]
    fit: Settled

    @property
    def placing(self) -> Placing:
        """Takes the part to the drawing."""
        return self.fit.placing

    @property
    def mirrored(self) -> bool:
        return self.placing.mirrored

    @cached_property
    def centre(self) -> Array:
        """Of the drawing, about which a scale that is out carries everything."""
        left, low, right, high = self.drawn.bounds
        return np.array([(left + right) / 2, (low + high) / 2])

    @property
    def offset_sigma(self) -> float:
        """Of the offset, the level of light in it [mm]."""
        return hypot(self.fit.offset_sigma, self.cut.shift)

    @property
    def stretch_sigma(self) -> tuple[float, float]:
        """Of the stretch along x and y of the drawing, the picture's scale in it."""
        ways = self.placing.matrix  # its rows are the drawing's x and y as the picture has them
        x, y = (
            hypot(own, self.cut.sigma_of_length(way)) for own, way in zip(self.fit.stretch_sigma, ways, strict=True)
        )
        return x, y

    @cached_property
    def strays(self) -> tuple[Strays, ...]:
        """Every edge that has a partner all round, the outer line first."""
        became = {number: at for number, at in enumerate(self.became) if at is not None}
        numbers = (0, *(1 + number for number in became))
        pairs = _pairs(self.drawn, self.cut, became)
        return tuple(strays_of(number, pair, self.placing) for number, pair in zip(numbers, pairs, strict=True))

    @cached_property
    def worst(self) -> tuple[WorstPlace, ...]:
        """The farthest first."""
        return tuple(worst_places(self.strays, self.cut, self.placing, self.centre))

    @cached_property
    def holes(self) -> tuple[CutHole, ...]:
        """Every round hole of the drawing that is there, in its order."""
        found = []
        for number, hole in enumerate(Features(self.drawn).holes):
            at = self.became[number]
            if hole.circle is None or at is None:
                continue
            edge = self.cut.inner[at]
            seen = Features(Outline(self.cut.outer.contour, (edge.contour,), 0.0)).holes[0]
            ((x, y),) = self.placing(np.array([seen.middle])).tolist()
            shift = (x - hole.middle[0], y - hole.middle[1])
            way = np.array(shift) / max(hypot(*shift), 1e-12) if any(shift) else np.array([1.0, 0.0])
            turned = self.placing.matrix
            by_scale = self.cut.sigma_of_place((np.array(hole.middle) - self.centre) @ turned, way @ turned)
            # A circle's middle is known 1/sqrt(2) as well as its diameter, along each axis (least squares of points all
            # round), and better where a level common to all edges enters that. What is not round is as sure as a point.
            own = edge.sigma / sqrt(2) if edge.circle else edge.noise
            sigma = hypot(by_scale, self.fit.offset_sigma, self.cut.row, own)
            width = 2 * edge.circle.radius if edge.circle else None
            found.append(CutHole(number, hole.middle, 2 * hole.circle.radius, shift, sigma, width, edge.sigma))
        return tuple(found)

    @property
    def missing(self) -> tuple[LeftOver, ...]:
        """Openings that were not cut."""
        holes = Features(self.drawn).holes
        return tuple(_left(one) for one, at in zip(holes, self.became, strict=True) if at is None)

    @property
    def extra(self) -> tuple[LeftOver, ...]:
        """Openings of the part that nobody drew, where they lie on the drawing."""
        found = []
        for number, hole in enumerate(Features(self.cut.outline).holes):
            if number not in self.became:
                ((x, y),) = self.placing(np.array([hole.middle])).tolist()
                found.append(LeftOver((x, y), hole.diameter))
        return tuple(found)

    @property
    def inner(self) -> tuple[Contour | None, ...]:
        """What became of each inner contour of the drawing, as it lies there."""
        return tuple(None if at is None else self.contours[1 + at] for at in self.became)

    @property
    def not_drawn(self) -> tuple[Contour, ...]:
        """The part's openings that nobody drew, as they lie on the drawing."""
        return tuple(one for number, one in enumerate(self.contours[1:]) if number not in self.became)

    @property
    def is_off(self) -> bool:
        """Is an edge farther off than is allowed, by all of its range?"""
        return any(abs(one.out) - TWO_SIDED_95 * one.sigma > self.within for one in self.worst)

    def sigma_at(self, at: Point) -> float:
        """Of an edge at that place of the drawing, of both ways together: in no way is it less sure [mm]."""
        place = (np.array(at) - self.centre) @ self.placing.matrix
        by_scale = (self.cut.sigma_of_place(place, way) for way in np.eye(2))
        return hypot(self.cut.shift, self.cut.row, self._noise, *by_scale)

    def sigma_across(self, width: float) -> float:
        """Of a width between two edges: the level of light carries both, each has its own noise [mm]."""
        own = sqrt(2) * hypot(self.cut.row, self._noise)
        return hypot(2 * self.cut.shift, own, self.cut.worst_scale * width)

    @cached_property
    def _noise(self) -> float:
        return max(one.noise for one in self.strays)

    @property
    def alone(self) -> int:
        """How many openings of the one the other does not have."""
        return len(self.missing) + len(self.extra)

    @property
    def verdict(self) -> CutVerdict:
        if self.missing or self.extra or self.is_off:
            return CutVerdict.NOT_AS_DRAWN
        if all(abs(one.out) + TWO_SIDED_95 * one.sigma <= self.within for one in self.worst):
            return CutVerdict.AS_DRAWN
        return CutVerdict.NOT_PROVEN

    @cached_property
    def contours(self) -> tuple[Contour, ...]:
        """The part's own contours as they lie on the drawing, the outer one first."""
        return tuple(self.placing.contour(one.contour) for one in self.cut)


def compare_cut(drawn: Outline, cut: CutEdges, within: float = WITHIN) -> CutComparison:
    """Lay the part on its drawing and say what differs by how much; turned over only if it then lies plainly better, or
    as well with more of its openings where they were drawn. Raise `ShapeError` for another part altogether."""
    _must_be_like(drawn, cut.outline)
    upright = _compared(drawn, cut, within, mirrored=False)
    if upright.fit.off <= _ANYHOW and not upright.alone:
        return upright
    over = _compared(drawn, cut, within, mirrored=True)
    if over.alone != upright.alone:
        as_well = over.fit.off <= upright.fit.off / _PLAINLY + _ANYHOW
        return over if over.alone < upright.alone and as_well else upright
    return over if over.fit.off < _PLAINLY * upright.fit.off else upright


def _must_be_like(drawn: Outline, cut: Outline) -> None:
    """Both boxes of the least area, long side and short."""
    (long, short), (other_long, other_short) = _sides(drawn), _sides(cut)
    if max(abs(other_long / long - 1), abs(other_short / short - 1)) > _UNLIKE:
        seen, wanted = box(other_long, other_short), box(long, short)
        raise ShapeError(
            f"this is another part: the one in the picture is {seen}, the drawing {wanted}; or the scale is wrong"
        )


def _sides(outline: Outline) -> tuple[float, float]:
    around = shapely.minimum_rotated_rectangle(Polygon(Features(outline).ring))
    (x, y), (u, v), (w, z) = shapely.get_coordinates(around)[:3].tolist()
    sides = sorted((hypot(u - x, v - y), hypot(w - u, z - v)))
    return sides[1], sides[0]


def _compared(drawn: Outline, cut: CutEdges, within: float, *, mirrored: bool) -> CutComparison:
    a, b = Features(drawn), Features(cut.outline)
    middles = np.array([one.middle for one in b.holes]).reshape(-1, 2)
    start = laid_over(a, b, mirrored=mirrored).placing
    became = dict(pairs_of(a.holes, b.holes, start(middles)))
    fit = settled(_pairs(drawn, cut, became), start)
    after = dict(pairs_of(a.holes, b.holes, fit.placing(middles)))
    if after != became:  # an edge is known by its place, and the place by the edges
        became, fit = after, settled(_pairs(drawn, cut, after), fit.placing)
    return CutComparison(drawn, cut, within, tuple(became.get(n) for n in range(len(drawn.inner))), fit)


def _pairs(drawn: Outline, cut: CutEdges, became: Mapping[int, int]) -> list[Pair]:
    """The outer line first."""
    inner = [Pair(DrawnEdge(drawn.inner[i], is_outer=False), cut.inner[j]) for i, j in became.items()]
    return [Pair(DrawnEdge(drawn.outer, is_outer=True), cut.outer), *inner]


def _left(hole: Hole) -> LeftOver:
    return LeftOver(hole.middle, hole.diameter)
