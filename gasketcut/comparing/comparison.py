"""Is this the same part as that: two sets of contours laid over each other, and what differs.

Piece        one outline of the one and its partner in the other.
Mirrored     the one is the other turned over; that is another part, even if nothing else differs.
Deviation    of outer lines and of holes that have a partner; what has none is missing (in the second) or extra.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from gasketcut.comparing.deviation import Deviation, between, between_circles
from gasketcut.comparing.edges import ring_of
from gasketcut.comparing.features import Features, Hole
from gasketcut.comparing.holes import pairs_of
from gasketcut.comparing.laying import Laid, laid_over
from gasketcut.comparing.partners import partners_of
from gasketcut.comparing.placing import Placing
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Outline

WITHIN = 0.1
"""mm; two parts nearer than this are the same unless the user says otherwise. Our choice."""

_PLAINLY = 0.5
"""A mirror image is taken for one if it then lies this much better [of the average distance]; ours."""


@dataclass(frozen=True, slots=True)
class HolePair:
    """Where the hole is in the first, how far it moved, its diameters (None where it is not round), and how far its
    edge is off at most [mm]."""

    at: Point
    moved: float
    diameters: tuple[float | None, float | None]
    off: float


@dataclass(frozen=True, slots=True)
class Alone:
    """A hole, or a whole piece, without a partner; `at` in the first drawing, `diameter` None where it is not round."""

    what: str
    at: Point
    diameter: float | None


@dataclass(frozen=True, slots=True)
class PieceComparison:
    """`numbers` of the two outlines; `placing` takes the first to the second; `largest` of outer line and holes."""

    numbers: tuple[int, int]
    placing: Placing
    largest: Deviation
    holes: tuple[HolePair, ...]
    missing: tuple[Alone, ...]
    extra: tuple[Alone, ...]

    def is_same_but_mirrored(self, within: float) -> bool:
        return self.largest.size <= within and not self.missing and not self.extra


@dataclass(frozen=True, slots=True)
class Comparison:
    """All pieces, and those that have no partner; places in the first drawing [mm]."""

    within: float
    pieces: tuple[PieceComparison, ...]
    missing: tuple[Alone, ...]
    extra: tuple[Alone, ...]

    @property
    def mirrored(self) -> bool:
        return any(piece.placing.mirrored for piece in self.pieces)

    @property
    def is_same_but_mirrored(self) -> bool:
        """Nothing differs by more than `within`, but for what is turned over."""
        alone = bool(self.missing or self.extra)
        return not alone and all(piece.is_same_but_mirrored(self.within) for piece in self.pieces)

    @property
    def is_same(self) -> bool:
        return self.is_same_but_mirrored and not self.mirrored

    @property
    def largest(self) -> Deviation | None:
        """None where no piece has a partner."""
        return max((piece.largest for piece in self.pieces), key=lambda one: one.size, default=None)


def compare(first: Sequence[Outline], second: Sequence[Outline], within: float = WITHIN) -> Comparison:
    """Lay the second over the first, piece by piece, and say what differs by how much.

    within : greatest deviation of what still is the same [mm]
    """
    found: dict[tuple[Outline, Outline], PieceComparison] = {}
    pairs, left, over = partners_of(first, second)
    pieces = []
    for a, b in pairs:
        key = first[a], second[b]
        if key not in found:
            found[key] = _compare_pieces(*key, within)
        pieces.append(replace(found[key], numbers=(a, b)))
    missing, extra = (
        tuple(Alone("piece", _middle(outlines[n]), None) for n in numbers)
        for outlines, numbers in ((first, left), (second, over))
    )
    return Comparison(within, tuple(pieces), missing, extra)


def _compare_pieces(first: Outline, second: Outline, within: float) -> PieceComparison:
    """Turned over only if they do not lie on each other otherwise, and then plainly better."""
    a, b = Features(first), Features(second)
    upright = laid_over(a, b, mirrored=False)
    piece = _compared(a, b, upright)
    if piece.is_same_but_mirrored(within):
        return piece
    over = laid_over(a, b, mirrored=True)
    turned = _compared(a, b, over)
    plainly = over.off <= _PLAINLY * upright.off
    return turned if turned.is_same_but_mirrored(within) or plainly else piece


def _compared(a: Features, b: Features, laid: Laid) -> PieceComparison:
    to_first = laid.placing
    middles = to_first(np.array([one.middle for one in b.holes]).reshape(-1, 2))
    pairs = pairs_of(a.holes, b.holes, middles)
    deviations = [_off(a.outline.outer, b.outline.outer, to_first)]
    holes = []
    for i, j in pairs:
        one, other = a.holes[i], b.holes[j]
        off = _off(one.contour, other.contour, to_first)
        deviations.append(off)
        moved = hypot(*(middles[j] - one.middle))
        holes.append(HolePair(one.middle, moved, (one.diameter, other.diameter), off.size))
    missing = tuple(_alone(one, one.middle) for n, one in enumerate(a.holes) if n not in {i for i, _ in pairs})
    extra = tuple(
        _alone(one, (float(x), float(y)))
        for n, (one, (x, y)) in enumerate(zip(b.holes, middles, strict=True))
        if n not in {j for _, j in pairs}
    )
    return PieceComparison(
        (0, 0), to_first.inverse, max(deviations, key=lambda one: one.size), tuple(holes), missing, extra
    )


def _off(one: Contour, other: Contour, to_first: Placing) -> Deviation:
    if isinstance(one, Circle) and isinstance(other, Circle):
        ((x, y),) = to_first(np.array([other.center])).tolist()
        return between_circles(one, Circle((x, y), other.radius))
    return between(ring_of(one), to_first(ring_of(other)))


def _alone(hole: Hole, at: Point) -> Alone:
    return Alone("hole", at, hole.diameter)


def _middle(outline: Outline) -> Point:
    x, y = Features(outline).centre
    return float(x), float(y)
