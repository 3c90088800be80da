"""Pieces that are one part are counted; what differs, if only by its mirror image, is not."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut.received.alike import alike
from gasketcut.received.pieces import Piece, pieces_of
from gasketcut.shape.loop import Circle, Contour, Loop, Segment

ELL = ((0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (12.0, 10.0), (12.0, 30.0), (0.0, 30.0))


def moved(contour: Contour, turn: float, dx: float, dy: float, way: int = 1) -> Contour:
    def at(x: float, y: float) -> tuple[float, float]:
        x = way * x
        return cos(turn) * x - sin(turn) * y + dx, sin(turn) * x + cos(turn) * y + dy

    if isinstance(contour, Circle):
        return Circle(at(*contour.center), contour.radius)
    return Loop(tuple(at(*point) for point in contour.points), tuple(way * bulge for bulge in contour.bulges))


def piece(outer: Contour, *holes: Contour) -> Piece:
    (found,) = pieces_of([outer, *holes])
    return found


def ell(turn: float = 0.0, dx: float = 0.0, dy: float = 0.0, way: int = 1, hole: float = 2.0) -> Piece:
    outline = Loop(ELL, (0.0, 0.3, 0.0, 0.0, 0.0, 0.0))
    contours = (outline, Circle((6.0, 24.0), 2.0), Circle((33.0, 5.0), hole))
    return piece(*(moved(one, turn, dx, dy, way) for one in contours))


def counts(pieces: Sequence[Piece]) -> list[int]:
    return [len(group) for group in alike(pieces)]


@given(turn=st.floats(-7, 7), dx=st.floats(-1e4, 1e4), dy=st.floats(-1e4, 1e4))
@settings(max_examples=60)
def test_a_turned_and_moved_piece_is_the_same(turn: float, dx: float, dy: float) -> None:
    assert counts([ell(), ell(turn, dx, dy)]) == [2]


@given(turn=st.floats(-7, 7), dx=st.floats(-100, 100))
@settings(max_examples=30)
def test_a_mirror_image_is_not(turn: float, dx: float) -> None:
    assert counts([ell(), ell(turn, dx, 0.0, -1)]) == [1, 1]


@pytest.mark.parametrize(("change", "same"), [(0.0, 2), (0.002, 2), (0.02, 1), (-0.02, 1)])
def test_how_much_a_hole_may_differ(change: float, same: int) -> None:
    assert counts([ell(), ell(1.0, 90.0, 3.0, hole=2.0 + change)])[0] == same


def test_the_same_shape_drawn_in_other_steps_is_the_same() -> None:
    whole = piece(Loop(((0, 0), (40, 0), (40, 20), (0, 20)), (0, 1.0, 0, 1.0)), Circle((5, 10), 3))
    half = cos(pi / 4) * 10
    # The bow in two, the lower side in two, from another corner and the other way round.
    points = ((0, 20), (40, 20), (40 + half, 10 + half), (40, 0), (17, 0), (0, 0))
    assert points[2][0] == pytest.approx(47.07, abs=0.01)
    steps = Loop(((0, 20), (40, 20), (50, 10), (40, 0), (17, 0), (0, 0)), (0, *[-(2**0.5 - 1)] * 2, 0, 0, -1.0))
    assert counts([whole, piece(steps, Circle((5, 10), 3))]) == [2]


def test_a_hexagon_with_one_hole_off_its_middle_fits_in_one_of_six_ways() -> None:
    corners = tuple((20 * cos(n * pi / 3), 20 * sin(n * pi / 3)) for n in range(6))
    hexagon = Loop(corners, (0.0,) * 6)
    holes = [Circle((8 * cos(n * pi / 3), 8 * sin(n * pi / 3)), 2.0) for n in (0, 1, 4)]
    same = [piece(hexagon, one) for one in holes]
    other = piece(hexagon, Circle((8 * cos(pi / 6), 8 * sin(pi / 6)), 2.0))
    assert counts([*same, other]) == [3, 1]


@pytest.mark.parametrize("radius", [2.0, 2.25, 3.25, 3.05])
def test_rounding_noise_in_holes_makes_no_difference(radius: float) -> None:
    places = ((11.95, 0.0), (0.0, 12.05), (-7.0, -3.0))
    found = [
        piece(*(moved(one, turn, 50.0 * turn, 0.0) for one in (
            Circle((0, 0), 20.0), *(Circle(place, radius + noise) for place in places))))
        for turn, noise in ((0.0, 0.0), (1.0, 1e-9), (2.0, -1e-9))
    ]  # fmt: skip
    assert counts(found) == [3]


def test_discs_and_rings() -> None:
    found = [piece(Circle((x, 0), 5.0)) for x in (0, 20, 40)]
    found += [piece(Circle((x, 0), 5.0), Circle((x, 0), 2.0)) for x in (60, 80)]
    found += [piece(Circle((100, 0), 5.0), Circle((101, 0), 2.0))]
    assert counts(found) == [3, 2, 1]


def test_a_mark_makes_a_difference() -> None:
    plain = Loop(((0, 0), (30, 0), (30, 20), (0, 20)), (0.0,) * 4)
    moved_plain = plain.moved(50, 0)
    mark = (Segment((5, 5), (10, 5), 0.0),)
    assert counts(pieces_of([plain, moved_plain], [mark])) == [1, 1]


def test_a_thousand_like_pieces_and_as_many_unlike_ones_are_quick() -> None:
    like = [ell(0.01 * number, 100.0 * number) for number in range(300)]
    unlike = [piece(Loop(((0, 0), (30 + 0.1 * n, 0), (30, 20), (0, 20)), (0.0,) * 4)) for n in range(300)]
    assert counts([*like, *unlike]) == [300, *[1] * 300]
