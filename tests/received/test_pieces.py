"""A drawing sorted into pieces, each with its own holes and marks."""

from __future__ import annotations

from math import pi

import pytest

from gasketcut.received.pieces import pieces_of
from gasketcut.shape.loop import Circle, Loop, Segment


def square(left: float, low: float, side: float) -> Loop:
    points = ((left, low), (left + side, low), (left + side, low + side), (left, low + side))
    return Loop(points, (0.0,) * 4)


def test_a_disc_in_a_hole_is_a_piece_of_its_own() -> None:
    ring, hole, disc = Circle((0, 0), 20), Circle((0, 0), 15), Circle((0, 0), 10)
    pieces = pieces_of([disc, ring, hole])
    assert [(one.outer, one.holes) for one in pieces] == [(ring, (hole,)), (disc, ())]
    assert pieces[0].area == pytest.approx(pi * (400 - 225), rel=1e-12)


def test_each_hole_goes_to_the_piece_around_it() -> None:
    first, second = square(0, 0, 10), square(20, 0, 10)
    holes = [Circle((25, 5), 2), Circle((5, 5), 1), Circle((28, 8), 0.5)]
    pieces = pieces_of([*holes, second, first])
    assert [one.outer for one in pieces] == [first, second]
    assert pieces[0].holes == (holes[1],)
    assert pieces[1].holes == (holes[0], holes[2])


def test_marks_stay_with_the_piece_they_lie_on() -> None:
    plate, hole = square(0, 0, 30), Circle((15, 15), 5)
    on_plate, in_hole, beside = ((Segment((x, 15), (x + 1, 15), 0),) for x in (2, 15, 40))
    (piece,) = pieces_of([plate, hole], [on_plate, in_hole, beside])
    assert piece.marks == (on_plate,)


def test_nothing_gives_nothing() -> None:
    assert pieces_of([]) == ()
