"""Is it the same part? One that moved shows its whole way, and the rest none."""

from math import cos, hypot, pi, sin
from time import perf_counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut.comparing.comparison import compare
from gasketcut.comparing.placing import Placing
from gasketcut.shape.loop import Circle, Loop
from tests.comparing.parts import (
    bolts,
    in_facets,
    lobed,
    noisy,
    outline,
    placed,
    rounded_plate,
    scattered,
    with_holes,
)

PLATE = outline(
    rounded_plate(80, 50, 5),
    *(Circle(place, 4.0) for place in ((10.0, 10.0), (70.0, 10.0), (70.0, 40.0), (10.0, 40.0))),
)
LOBED = outline(lobed(), *PLATE.inner[:3], Circle((12.0, 38.0), 3.0))
PLACINGS = [
    Placing(), Placing(False, 33.0, (100.0, -20.0)), Placing(False, 180.0, (5.0, 5.0)),
    Placing(False, -91.5, (0.0, 2000.0)),
]  # fmt: skip


def one(first, second, within=0.1):
    found = compare([first], [second], within)
    (piece,) = found.pieces
    return found, piece


def changed(one_outline, number, hole):
    return with_holes(one_outline, [*one_outline.inner[:number], hole, *one_outline.inner[number + 1 :]])


@pytest.mark.parametrize("placing", PLACINGS, ids=str)
def test_the_same_part_however_it_lies(placing):
    found, piece = one(LOBED, placed(LOBED, placing))
    assert found.is_same
    assert found.largest.size <= 1e-4
    assert piece.placing.mirrored is False
    assert piece.placing.turn == pytest.approx(placing.turn, abs=1e-4)
    assert piece.placing.shift == pytest.approx(placing.shift, abs=1e-3)
    assert [hole.moved for hole in piece.holes] == pytest.approx([0.0] * 4, abs=1e-4)


@pytest.mark.parametrize(
    ("placing", "way"),
    [
        *((PLACINGS[1], way) for way in ((0.3, 0.0), (0.0, -0.3), (-0.18, 0.24))),
        *((placing, (0.3, 0.0)) for placing in (PLACINGS[0], PLACINGS[2], Placing(True, 12.0, (3.0, 4.0)))),
    ],
    ids=str,
)
def test_one_moved_hole_of_four_shows_its_whole_way_and_the_others_none(placing, way):
    """On a plate with two mirror lines, so that a mirror image of it lies as well: it is the same plate then."""
    x, y = PLATE.inner[3].center
    found, piece = one(PLATE, placed(changed(PLATE, 3, Circle((x + way[0], y + way[1]), 4.0)), placing))
    moved = sorted(hole.moved for hole in piece.holes)
    assert moved[3] == pytest.approx(0.3, abs=0.005)
    assert moved[:3] == pytest.approx([0.0] * 3, abs=0.005)
    assert found.largest.size == pytest.approx(0.3, abs=0.005)
    assert not found.is_same
    assert not found.mirrored


def test_within_noise_it_shows_all_the_same():
    x, y = LOBED.inner[3].center
    apart = changed(LOBED, 3, Circle((x + 0.3, y), 3.0))
    for seed in range(4):
        found, piece = one(LOBED, placed(noisy(apart, 0.01, seed), Placing(False, 25.0, (7.0, -3.0))))
        moved = [hole.moved for hole in piece.holes]
        assert moved[3] == pytest.approx(0.3, abs=0.05)
        assert max(moved[:3]) < 0.05
        assert not found.is_same
        assert compare([LOBED], [noisy(LOBED, 0.01, seed)]).is_same


def test_a_hole_that_went_far_draws_nothing_after_it_within_noise():
    """Averaging is over what agrees: with that hole among it, it would read 1.80 mm."""
    x, y = LOBED.inner[3].center
    gone = changed(LOBED, 3, Circle((x + 1.9, y), 3.0))
    _, piece = one(LOBED, placed(noisy(gone, 0.01, 5), PLACINGS[1]))
    moved = sorted(hole.moved for hole in piece.holes)
    assert moved[3] == pytest.approx(1.9, abs=0.03)
    assert max(moved[:3]) < 0.03  # three times the noise


def test_a_mirror_image_is_not_the_same():
    found, piece = one(LOBED, placed(LOBED, Placing(True, 40.0, (3.0, 4.0))))
    assert (found.is_same, found.mirrored, found.is_same_but_mirrored) == (False, True, True)
    assert found.largest.size <= 1e-4
    assert piece.placing.turn == pytest.approx(40.0, abs=1e-4)


def test_a_mirror_image_with_a_moved_hole_is_both():
    x, y = LOBED.inner[0].center
    second = placed(changed(LOBED, 0, Circle((x + 0.4, y), 4.0)), Placing(True, 40.0, (3.0, 4.0)))
    found, piece = one(LOBED, second)
    assert (found.mirrored, found.is_same_but_mirrored) == (True, False)
    assert [hole.moved for hole in piece.holes] == pytest.approx([0.4, 0.0, 0.0, 0.0], abs=0.005)


@pytest.mark.parametrize("count", [2, 3, 4, 6, 36])
def test_rings_with_one_off_hole(count):
    """Nearly symmetric: of all turns but one two holes would be off."""
    holes = bolts(count, 30, 2)
    holes[0] = Circle((30.0 * cos(0.05), 30.0 * sin(0.05)), 2.0)
    ring = outline(Circle((0.0, 0.0), 40.0), *holes, Circle((0.0, 0.0), 20.0))
    found, piece = one(ring, placed(ring, Placing(False, 137.0, (3.0, 4.0))))
    assert found.is_same
    assert piece.placing.turn == pytest.approx(137.0 if count > 2 else piece.placing.turn, abs=1e-3)
    if count > 2:
        over, turned = one(ring, placed(ring, Placing(True, 20.0, (0.0, 0.0))))
        # It has a mirror line only where the off hole still lies on one.
        assert over.is_same_but_mirrored
        assert over.mirrored == (not over.is_same)
        assert turned.largest.size <= 1e-3


def test_a_ring_without_holes_is_not_turned():
    found, piece = one(outline(Circle((0.0, 0.0), 40.0)), outline(Circle((10.0, 0.0), 40.05)))
    assert found.is_same
    assert piece.placing == Placing(False, pytest.approx(0.0, abs=1e-6), pytest.approx((10.0, 0.0), abs=1e-4))
    assert found.largest.size == pytest.approx(0.05, abs=0.001)


@pytest.mark.parametrize("sides", [3, 4, 6])
def test_polygons_of_which_several_turns_are_as_good(sides):
    points = tuple((30 * cos(2 * pi * n / sides), 30 * sin(2 * pi * n / sides)) for n in range(sides))
    shape = outline(Loop(points, (0.0,) * sides))
    found, piece = one(shape, placed(shape, Placing(False, 360 / sides + 5, (3.0, 0.0))))
    assert found.is_same
    assert abs(piece.placing.turn) == pytest.approx(5.0, abs=1e-3)


def test_a_large_hole_that_moved_on_a_ring_does_not_turn_the_ring():
    """Three small ones hold it against one large one, which alone could be put right by a turn of 2 degrees."""
    small = [Circle((30.0 * cos(turn), 30.0 * sin(turn)), 1.5) for turn in (0.3, 2.0, 3.9)]
    ring = outline(Circle((0.0, 0.0), 45.0), Circle((0.0, -36.0), 4.0), *small)
    _, piece = one(ring, placed(changed(ring, 0, Circle((1.2, -36.0), 4.0)), PLACINGS[1]))
    assert [hole.moved for hole in piece.holes] == pytest.approx([1.2, 0.0, 0.0, 0.0], abs=0.005)


def test_a_hole_that_grew():
    found, piece = one(LOBED, placed(changed(LOBED, 1, Circle(LOBED.inner[1].center, 4.25)), PLACINGS[1]))
    assert piece.holes[1].diameters == pytest.approx((8.0, 8.5))
    assert piece.holes[1].moved == pytest.approx(0.0, abs=1e-4)
    assert found.largest.size == pytest.approx(0.25, abs=1e-3)


def test_missing_and_extra_holes():
    more = [*LOBED.inner[:2], LOBED.inner[3], Circle((60.0, 25.0), 2.5)]
    found, piece = one(LOBED, placed(with_holes(LOBED, more), Placing(False, 71.0, (9.0, 9.0))))
    assert not found.is_same
    assert [(alone.what, alone.at, alone.diameter) for alone in piece.missing] == [("hole", (70.0, 40.0), 8.0)]
    assert [alone.at for alone in piece.extra] == [pytest.approx((60.0, 25.0), abs=1e-3)]
    assert found.largest.size <= 1e-3


def test_a_hole_farther_off_than_twice_its_width_is_another_one():
    far = with_holes(LOBED, [*LOBED.inner[:3], Circle((45.0, 12.0), 3.0)])
    _, piece = one(LOBED, far)
    assert (len(piece.missing), len(piece.extra)) == (1, 1)
    near = with_holes(LOBED, [*LOBED.inner[:3], Circle((19.0, 38.0), 3.0)])
    _, piece = one(LOBED, near)
    assert (len(piece.missing), [round(hole.moved, 3) for hole in piece.holes]) == (0, [0.0, 0.0, 0.0, 7.0])


def test_a_notch_of_a_millimetre():
    notched = with_holes(outline(lobed((80, 20), (79, 20.5), (80, 21))), LOBED.inner)
    found, _ = one(LOBED, placed(notched, PLACINGS[1]))
    assert found.largest.size == pytest.approx(1.0, abs=0.001)
    assert found.largest.at == pytest.approx((79.0, 20.5), abs=0.001)


@pytest.mark.parametrize("chord", [0.005, 0.02])
def test_an_outline_that_came_back_in_facets(chord):
    plate = outline(rounded_plate(80, 50, 12), *LOBED.inner)
    facets = outline(in_facets(plate.outer, chord), *(in_facets(hole, chord / 4) for hole in plate.inner))
    found, piece = one(plate, placed(facets, PLACINGS[1]))
    assert found.is_same
    assert found.largest.size <= chord + 0.001
    assert max(hole.moved for hole in piece.holes) <= 0.001
    assert piece.holes[3].diameters == pytest.approx((6.0, 6.0), abs=0.01)


def test_windows_that_are_not_round():
    slot = Loop(((20.0, 20.0), (34.0, 20.0), (34.0, 26.0), (20.0, 26.0)), (0.0, 1.0, 0.0, 1.0))
    first = with_holes(LOBED, [*LOBED.inner, slot])
    assert one(first, placed(first, PLACINGS[1]))[0].is_same
    shifted = Loop(tuple((x + 0.5, y) for x, y in slot.points), slot.bulges)
    found, piece = one(first, placed(with_holes(first, [*LOBED.inner, shifted]), PLACINGS[1]))
    hole = next(hole for hole in piece.holes if hole.diameters == (None, None))
    assert hole.moved == pytest.approx(0.5, abs=0.002)
    assert found.largest.size == pytest.approx(0.5, abs=0.002)
    assert max(hole.moved for hole in piece.holes[:4]) <= 0.001


def test_five_hundred_holes():
    plate = outline(rounded_plate(300, 180, 5), *scattered(500, 1))
    x, y = plate.inner[77].center
    second = placed(changed(plate, 77, Circle((x + 0.3, y), 2.0)), Placing(False, 200.0, (3.0, 4.0)))
    began = perf_counter()
    found, piece = one(plate, second)
    assert perf_counter() - began < 60
    moved = np.array([hole.moved for hole in piece.holes])
    assert moved[77] == pytest.approx(0.3, abs=1e-3)
    assert np.delete(moved, 77).max() <= 1e-3
    assert not found.is_same


def test_a_regular_field_of_holes_with_one_too_few():
    field = [Circle((10 + 11.0 * i, 10 + 8.0 * j), 2.0) for i in range(25) for j in range(20)]
    plate = outline(rounded_plate(300, 180, 5), *field)
    found, piece = one(plate, placed(with_holes(plate, field[:243] + field[244:]), Placing(False, 20.0, (3.0, 4.0))))
    assert [alone.at for alone in piece.missing] == [field[243].center]
    assert (piece.extra, found.largest.size <= 1e-3) == ((), True)


def test_a_part_without_holes_and_one_quite_different():
    bare = outline(lobed())
    assert one(bare, placed(bare, PLACINGS[1]))[0].is_same
    began = perf_counter()
    found = compare([PLATE], [outline(Circle((0.0, 0.0), 40.0), *bolts(6, 30, 3))])
    assert perf_counter() - began < 60
    assert not found.is_same
    assert found.largest.size > 5


def test_pieces_find_their_partners():
    ring = outline(Circle((0.0, 0.0), 20.0), Circle((0.0, 0.0), 12.0))
    first = [LOBED, ring, PLATE, ring]
    second = [placed(one_piece, Placing(False, 15.0 * n, (100.0 * n, -50.0))) for n, one_piece in enumerate(
        [ring, PLATE, LOBED, ring])]  # fmt: skip
    found = compare(first, second)
    assert found.is_same
    assert {piece.numbers for piece in found.pieces} in (
        {(0, 2), (1, 0), (2, 1), (3, 3)},
        {(0, 2), (1, 3), (2, 1), (3, 0)},
    )
    less = compare(first, second[1:])
    assert not less.is_same
    assert [(alone.what, alone.at) for alone in less.missing] == [("piece", pytest.approx((0.0, 0.0), abs=1e-6))]
    assert [alone.what for alone in compare(first[:2], second[:3]).extra] == ["piece"]


def test_nothing_at_all():
    assert compare([], []).largest is None
    assert compare([LOBED], []).is_same is False


@pytest.mark.slow
@given(st.floats(-180, 180), st.floats(-500, 500), st.floats(-500, 500), st.booleans(), st.integers(0, 1000))
@settings(max_examples=6, deadline=None)
def test_however_it_lies_the_placing_is_found(turn, x, y, mirrored, seed):
    holes = scattered(5, seed)
    plate = outline(rounded_plate(300, 180, 5), *holes)
    placing = Placing(mirrored, turn, (x, y))
    found, piece = one(plate, placed(plate, placing))
    assert found.is_same_but_mirrored
    assert found.mirrored == mirrored
    places = np.array([hole.center for hole in holes])
    assert np.hypot(*(piece.placing(places) - placing(places)).T).max() <= 1e-3


def test_a_placing_and_its_inverse():
    placing = Placing(True, 33.0, (5.0, -7.0))
    places = np.array([(1.0, 2.0), (-3.0, 5.0)])
    assert np.hypot(*(placing.inverse(placing(places)) - places).T).max() < 1e-12
    assert Placing(True, 90.0, (1.0, 0.0))(np.array([[2.0, 0.0]]))[0].tolist() == pytest.approx([1.0, -2.0])
    assert hypot(*placing.shift) > 0


def test_holes_of_the_wrong_width_are_the_wrong_holes():
    # All but symmetric: only where the one narrow hole comes to lie on itself do all widths agree.
    plate = outline(rounded_plate(60, 64, 9), *(Circle((x, y), r) for x, y, r in
                    ((6.5, 6.5, 2.75), (53.5, 6.5, 2.75), (53.5, 57.5, 2.75), (6.5, 57.5, 2.0))))  # fmt: skip
    over = compare([plate], [placed(plate, Placing(turn=180.0, shift=(60.0, 64.0)))])
    assert over.is_same
    assert over.largest.size < 0.001
