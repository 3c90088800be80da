"""A cut part laid on its drawing: what is wrong everywhere, what is wrong at one place, and how sure that is."""

from dataclasses import replace
from math import hypot

import numpy as np
import pytest

from gasketcut.comparing.cut.causes import bars_of, is_constant, kerf_to_set, openings_offset, stretch_told
from gasketcut.comparing.cut.cut_comparison import CutVerdict, compare_cut
from gasketcut.comparing.placing import Placing
from gasketcut.errors import ShapeError
from gasketcut.shape.loop import Circle, Loop
from tests.comparing.cut_parts import GASKET, cut_as
from tests.comparing.parts import bolts, lobed, outline

LAID = Placing(turn=73.0, shift=(120.0, -40.0))
RING = outline(Circle((0.0, 0.0), 30.0), Circle((0.0, 0.0), 20.0))
DISC = outline(Circle((0.0, 0.0), 30.0))
LOBED = outline(lobed(), Circle((12.0, 12.0), 3.0), Circle((66.0, 12.0), 3.0), Circle((66.0, 36.0), 3.0))


def test_a_part_that_was_cut_right():
    found = compare_cut(GASKET, cut_as(GASKET, placing=LAID))
    assert found.verdict is CutVerdict.AS_DRAWN
    assert found.fit.offset == pytest.approx(0, abs=0.002)
    assert found.placing.turn == pytest.approx(-73.0, abs=0.01)
    assert max(abs(one.out) for one in found.worst) < 0.02
    assert all(one.moved < 0.005 for one in found.holes)
    assert not found.mirrored
    assert not is_constant(found)
    assert stretch_told(found) is None


def test_an_offset_a_moved_hole_and_a_notch_are_told_apart():
    wrong = {"offset": 0.15, "moved": {2: (0.18, 0.24)}, "notch": (29.2, 4.4, 31.0, 5.6)}
    found = compare_cut(GASKET, cut_as(GASKET, placing=LAID, **wrong))
    assert found.verdict is CutVerdict.NOT_AS_DRAWN
    assert found.fit.offset == pytest.approx(0.15, abs=0.003)
    shifts = [one.shift for one in found.holes]
    assert shifts[2] == pytest.approx((0.18, 0.24), abs=0.005)
    assert all(hypot(*one) < 0.005 for n, one in enumerate(shifts) if n != 2)
    assert [one.diameter for one in found.holes] == pytest.approx([45.7, 5.2, 5.2, 5.2, 3.7], abs=0.005)
    worst = found.worst[0]
    assert (worst.edge, worst.out) == (0, pytest.approx(-0.8, abs=0.02))
    assert worst.at == pytest.approx((30.0, 5.0), abs=0.7)
    assert found.worst[1].edge == 3
    assert found.worst[1].out == pytest.approx(0.45, abs=0.02)


@pytest.mark.parametrize("offset", [-0.3, 0.07])
@pytest.mark.parametrize("drawn", [GASKET, RING, DISC, LOBED], ids=["gasket", "ring", "disc", "lobed"])
def test_the_offset_has_its_sign_and_size(drawn, offset):
    found = compare_cut(drawn, cut_as(drawn, offset=offset, placing=LAID))
    assert found.fit.offset == pytest.approx(offset, abs=0.004)
    assert is_constant(found)


def test_a_kerf_that_was_not_taken_is_the_kerf_to_set():
    found = compare_cut(GASKET, cut_as(GASKET, offset=-0.09))
    assert kerf_to_set(found, None) == pytest.approx(0.18, abs=0.006)
    assert kerf_to_set(found, 0.1) == pytest.approx(0.28, abs=0.006)
    assert kerf_to_set(compare_cut(GASKET, cut_as(GASKET, offset=0.04)), 0.2) == pytest.approx(0.12, abs=0.006)
    assert kerf_to_set(compare_cut(GASKET, cut_as(GASKET, offset=0.09)), None) is None


def test_scissors_beside_the_line_and_punched_holes_are_no_kerf():
    right, wide = cut_as(GASKET), cut_as(GASKET, offset=-0.3)
    mixed = replace(right, outer=wide.outer)
    found = compare_cut(GASKET, mixed)
    assert not is_constant(found)
    assert kerf_to_set(found, None) is None
    assert openings_offset(found) == pytest.approx(0, abs=0.02)


def test_a_print_that_was_out_is_told_from_an_offset():
    found = compare_cut(GASKET, cut_as(GASKET, stretch=(-0.003, 0.004), offset=0.1, placing=LAID))
    assert found.fit.offset == pytest.approx(0.1, abs=0.004)
    assert stretch_told(found) == pytest.approx((-0.003, 0.004), abs=0.0002)
    assert bars_of(stretch_told(found)) == pytest.approx((99.7, 100.4), abs=0.02)
    assert kerf_to_set(found, 0.3) == pytest.approx(0.1, abs=0.01)
    assert found.holes[1].moved == pytest.approx(hypot(0.003 * 23.5, 0.004 * 25.5), abs=0.01)


def test_a_stretch_within_the_pictures_own_scale_is_not_told():
    found = compare_cut(GASKET, cut_as(GASKET, stretch=(-0.003, 0.003), scale=0.002))
    assert stretch_told(found) is None


def test_a_disc_does_not_tell_its_stretch_from_an_offset():
    assert compare_cut(DISC, cut_as(DISC, offset=0.1)).fit.stretch is None
    assert compare_cut(RING, cut_as(RING, offset=0.1)).fit.stretch is not None


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0])
def test_the_one_narrow_hole_says_which_way_it_lies(turn):
    found = compare_cut(GASKET, cut_as(GASKET, placing=Placing(turn=turn, shift=(50.0, 60.0)), offset=0.1))
    assert [one.diameter for one in found.holes] == pytest.approx([45.8, 5.3, 5.3, 5.3, 3.8], abs=0.005)
    assert not found.mirrored


@pytest.mark.parametrize("drawn", [GASKET, LOBED], ids=["gasket", "lobed"])
def test_a_part_seen_from_its_other_side_is_told_as_that(drawn):
    over = Placing(mirrored=True, turn=20.0, shift=(70.0, 60.0))
    found = compare_cut(drawn, cut_as(drawn, placing=over, offset=0.12))
    assert found.mirrored
    assert found.fit.offset == pytest.approx(0.12, abs=0.004)
    assert max(one.moved for one in found.holes) < 0.006


def test_what_was_not_cut_and_what_nobody_drew():
    found = compare_cut(GASKET, cut_as(GASKET, left_out=(4,), more=(Circle((0.0, -28.0), 1.2),), placing=LAID))
    assert found.verdict is CutVerdict.NOT_AS_DRAWN
    assert [(one.at, one.diameter) for one in found.missing] == [((-23.5, 25.5), 4.0)]
    (extra,) = found.extra
    assert extra.at == pytest.approx((0.0, -28.0), abs=0.01)
    assert extra.diameter == pytest.approx(2.4, abs=0.01)


def test_what_was_left_standing_is_found():
    found = compare_cut(GASKET, cut_as(GASKET, tab=(-1.0, 31.0, 1.0, 33.0), placing=LAID))
    assert found.worst[0].out == pytest.approx(1.0, abs=0.02)
    assert found.worst[0].at == pytest.approx((0.0, 32.0), abs=1.1)


def test_a_tab_of_the_drawing_that_was_cut_off_is_found_from_the_drawing():
    with_tab = outline(lobed((84.0, 20.0), (84.0, 22.0)), *LOBED.inner)
    found = compare_cut(with_tab, cut_as(LOBED))
    assert found.worst[0].out == pytest.approx(-4.0, abs=0.1)
    assert found.worst[0].at == pytest.approx((84.0, 21.0), abs=1.1)


def test_the_verdict_goes_by_the_worse_end_of_the_range():
    just = cut_as(GASKET, offset=0.15)
    assert compare_cut(GASKET, just, 0.2).verdict is CutVerdict.AS_DRAWN
    assert compare_cut(GASKET, just, 0.1).verdict is CutVerdict.NOT_AS_DRAWN
    unsure = cut_as(GASKET, offset=0.15, scale=0.002)
    assert compare_cut(GASKET, unsure, 0.2).verdict is CutVerdict.NOT_PROVEN
    assert compare_cut(GASKET, unsure, 0.35).verdict is CutVerdict.AS_DRAWN


def test_a_regular_part_is_laid_as_it_turns_least():
    flange = outline(Circle((0.0, 0.0), 40.0), Circle((0.0, 0.0), 20.0), *bolts(6, 32.0, 2.6))
    found = compare_cut(flange, cut_as(flange, moved={3: (0.0, 0.4)}, placing=Placing(turn=3.0)))
    assert found.placing.turn == pytest.approx(-3.0, abs=0.02)
    assert found.holes[3].shift == pytest.approx((0.0, 0.4), abs=0.01)


def test_one_wrong_hole_in_three_moves_nothing_else():
    chance = np.random.default_rng(3)
    for seed in range(4):
        shift = tuple(chance.uniform(-0.6, 0.6, 2).tolist())
        offset = float(chance.uniform(-0.2, 0.2))
        found = compare_cut(LOBED, cut_as(LOBED, moved={1: shift}, offset=offset, placing=LAID, seed=seed))
        assert found.fit.offset == pytest.approx(offset, abs=0.006)
        assert found.holes[1].shift == pytest.approx(shift, abs=0.01)
        assert max(found.holes[0].moved, found.holes[2].moved) < 0.01


def test_a_mirrored_part_is_known_by_where_its_small_hole_is():
    """Upright its outline lies as well; only the one small hole then is missing here and extra there."""
    plate = outline(
        Loop(((-30.0, -20.0), (30.0, -20.0), (30.0, 20.0), (-30.0, 20.0)), (0.0,) * 4),
        Circle((0.0, 0.0), 12.0),
        Circle((9.0, -16.0), 1.6),
    )
    found = compare_cut(plate, cut_as(plate, placing=Placing(mirrored=True, turn=20.0, shift=(5.0, 80.0))))
    assert found.mirrored
    assert (found.missing, found.extra) == ((), ())


def test_another_part_is_refused():
    with pytest.raises(ShapeError, match=r"this is another part: the one in the picture is 60\.0 x 60\.0 mm"):
        compare_cut(outline(Circle((0.0, 0.0), 35.0)), cut_as(DISC))
