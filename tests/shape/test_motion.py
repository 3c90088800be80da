"""How far a sheet can move on its studs, against closed forms and against a search of our own."""

from math import asin, cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.optimize import minimize

from gasketcut import parse_job
from gasketcut.checks.motion.allowed import Motions, allowed_motions
from gasketcut.shape.motion import OUTSIDE, Locator, free_motions, seat, widest_turn
from tests.making import fit

SLACK = 1e-6
"""mm: what rounding and the halving of turns may cost; far below anything a caliper shows."""


def ring(count, radius, play, start=0.3):
    turns = [start + 2 * pi * number / count for number in range(count)]
    return [Locator((radius * cos(turn) + 4.0, radius * sin(turn) - 7.0), play) for turn in turns]


def unmoved(free):
    return min(free.slices, key=lambda one: abs(one.turn))


def reach(one, degrees):
    """How far the slice reaches in a direction."""
    return float(one.farthest(np.array([[cos(radians(degrees)), sin(radians(degrees))]]))[0][0])


def test_the_polygon_round_the_disc_is_wider_by_what_is_said():
    assert pytest.approx(1 / cos(pi / 64) - 1) == OUTSIDE
    assert OUTSIDE < 0.00121


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 8])
@pytest.mark.parametrize(("radius", "play"), [(30.0, 0.25), (18.0, 0.30), (75.0, 0.9), (30.0, 0.01)])
def test_equal_holes_on_a_circle(count, radius, play):
    free = free_motions(ring(count, radius, play))
    # A pure shift: every hole is off by as much, so the play itself.
    for degrees in range(0, 360, 7):
        assert play - SLACK <= reach(unmoved(free), degrees) <= play * (1 + OUTSIDE) + SLACK
    # A pure turn t carries every hole along a chord 2 R sin(t/2), which is the play at the most.
    widest = 2 * asin(play / (2 * radius))
    assert widest_turn(radius, play) == pytest.approx(widest, abs=1e-12)
    assert widest == pytest.approx(asin(play / radius), abs=(play / radius) ** 3)
    assert widest - SLACK / radius <= free.turns[-1] <= widest * (1 + 2 * OUTSIDE) + SLACK / radius
    assert free.turns[0] == pytest.approx(-free.turns[-1], rel=2 * OUTSIDE, abs=1e-7)
    assert play - SLACK <= free.sway <= play * (1 + OUTSIDE) + SLACK


def test_turned_by_half_the_most_equal_holes_leave_the_rest_of_the_play():
    # The four discs then stand off by the chord h, each square to its own arm; together they reach along an arm, where
    # the two holes on it stand square to the way: sqrt(c^2 - h^2), and the other two along it: c - h, which is less.
    radius, play = 30.0, 0.25
    free = free_motions(ring(4, radius, play, start=0.0))
    turn = float(free.turns[np.argmin(abs(free.turns - free.turns[-1] / 2))])
    one = next(one for one in free.slices if one.turn == turn)
    chord = 2 * radius * sin(turn / 2)
    assert reach(one, 0.0) == pytest.approx(play - chord, abs=play * OUTSIDE * 2 + radius * turn**2)


def test_one_hole_leaves_the_turn_free():
    free = free_motions([Locator((12.0, 3.0), 0.25)])
    assert (free.turns[0], free.turns[-1]) == (pytest.approx(-pi), pytest.approx(pi))
    assert np.max(np.diff(free.turns)) < radians(2.01)
    for one in free.slices[::60]:
        assert reach(one, 33.0) == pytest.approx(0.25, rel=1.01 * OUTSIDE)
    # It turns about that hole: the hole itself goes nowhere.
    motion = Motions(np.zeros(1), np.full(1, 2.0), np.zeros((1, 2)))
    hole = np.array([[12.0, 3.0]])
    assert allowed_motions([Locator((12.0, 3.0), 0.25)]).moved(hole, motion) == pytest.approx(hole)


def test_a_hole_and_a_slot_shift_as_far_as_the_hole_lets_them():
    # The slot lies along the line to the hole: across it both have the play, along it the hole alone decides.
    play, apart = 0.2, 60.0
    free = free_motions([Locator((0.0, 0.0), play), Locator((apart, 0.0), play, slot=1.5, turn=0.0)])
    for degrees in range(0, 360, 15):
        assert play - SLACK <= reach(unmoved(free), degrees) <= play * (1 + OUTSIDE) + SLACK
    # Both ends stand off by the play to opposite sides: sin t = 2 c / L.
    assert free.turns[-1] == pytest.approx(asin(2 * play / apart), rel=3 * OUTSIDE)
    # With two round holes the turn is the same to third order: the chord 2 (L/2) sin(t/2) is the play.
    two = free_motions([Locator((0.0, 0.0), play), Locator((apart, 0.0), play)])
    assert two.turns[-1] == pytest.approx(2 * asin(play / apart), rel=3 * OUTSIDE)


def test_two_holes_turned_leave_a_lens():
    # Each disc stands off by h = (L/2) sin t across the line; their lens reaches sqrt(c^2 - h^2) along it and c - h
    # across.
    play, apart = 0.3, 50.0
    free = free_motions([Locator((-apart / 2, 0.0), play), Locator((apart / 2, 0.0), play)])
    for one in free.slices[1:-1]:
        off = apart / 2 * abs(sin(one.turn))
        inward = apart / 2 * (1 - cos(one.turn))
        assert reach(one, 90.0) == pytest.approx(play - off, abs=2 * OUTSIDE * play + inward)
        assert reach(one, 0.0) == pytest.approx(sqrt(play**2 - off**2), rel=0.02)


@pytest.mark.parametrize("turn", [0.0, 1.0, 2.8125, 4.2, 5.0, 17.0, 45.0, 88.0, 90.0, 133.3])
@pytest.mark.parametrize("play", [0.2, 1.0])
def test_a_slot_allows_all_of_a_disc_drawn_out_along_it(turn, play):
    # Two slots the same way: the shifts of no turn are a stadium; in a direction d it reaches c + a |cos(d - turn)|.
    half = 1.2
    free = free_motions([Locator((-20.0, 5.0), play, half, turn), Locator((20.0, -5.0), play, half, turn)])
    for degrees in np.arange(0.0, 360.0, 1.25):
        exact = play + half * abs(cos(radians(degrees - turn)))
        assert exact - SLACK <= reach(unmoved(free), degrees) <= exact + play * 0.004, degrees


def test_a_slot_square_to_the_line_lets_the_sheet_turn_until_its_ends_stop_it():
    # One hole without play, one slot across: the slot's end touches when L sin t = a + c.
    play, half, apart = 0.01, 2.0, 40.0
    free = free_motions([Locator((0.0, 0.0), 1e-4), Locator((apart, 0.0), play, half, 90.0)])
    shortens = apart * (1 - cos(free.turns[-1]))  # and before that the slot's width, as the hole comes nearer
    assert shortens <= play * 1.2
    assert free.turns[-1] == pytest.approx(sqrt(2 * (play + 1e-4) / apart), rel=0.02)


def test_dowels_hold_whatever_the_studs_allow():
    studs = ring(4, 30.0, 0.25)
    dowels = [Locator((-25.0, 1.0), 0.01), Locator((33.0, -14.0), 0.01)]
    free = free_motions([*studs, *dowels])
    apart = hypot(58.0, 15.0)
    assert free.sway < 0.0102
    # The middle is that of all six; seen from any middle the dowels turn by twice their play over their distance.
    assert free.turns[-1] == pytest.approx(2 * 0.01 / apart, rel=0.01)


@pytest.mark.parametrize(("size", "play"), [("M5", 0.25), ("M6", 0.30)])
def test_the_play_of_a_medium_hole(size, play):
    # ISO 273 medium: 5.5 mm for M5, 6.6 mm for M6; half of what the hole has over the stud.
    text = f"""title = "Quay winch"
units = "mm"
[[part]]
name = "cover"
kind = "flat"
outline = {{ round = 100.0 }}
opening = {{ round = 40.0 }}
studs = {{ circle = 76.0, count = 4, size = "{size}", fit = "medium" }}
"""
    (part,), _ = fit(parse_job(text))
    assert [stud.play for stud in part.studs] == pytest.approx([play] * 4, abs=1e-9)


def test_a_grown_sheet_uses_up_its_play():
    # Two holes L apart: each stands off by g L / 2 along the line. Along it c - g L / 2 is left.
    play, apart = 0.25, 80.0
    pair = [Locator((-apart / 2, 0.0), play), Locator((apart / 2, 0.0), play)]
    for growth in (0.002, -0.002, 0.005, -0.005):
        free = free_motions(pair, growth)
        off = abs(growth) * apart / 2
        assert play - off - SLACK <= reach(unmoved(free), 0.0) <= play - off + 2 * OUTSIDE * play
        assert reach(unmoved(free), 90.0) == pytest.approx(sqrt(play**2 - off**2), rel=0.02)
    assert free_motions(pair, 0.00624) is not None  # 0.2496 mm of 0.25
    assert free_motions(pair, 0.00628) is None  # 0.2512 mm, with more than the polygon's share
    assert free_motions(pair, -0.00628) is None


# --- does a face go over the other's studs? ---


@pytest.mark.parametrize("turn", [0.0, 0.4, -1.1, 3.0])
@pytest.mark.parametrize("shift", [(0.0, 0.0), (31.0, -12.5)])
def test_a_pattern_that_is_only_moved_goes_on_with_hardly_any_play(turn, shift):
    holes = [(0.0, 0.0), (47.0, 3.0), (40.0, 38.0), (-6.0, 29.0)]
    studs = [(x * cos(turn) - y * sin(turn) + shift[0], x * sin(turn) + y * cos(turn) + shift[1]) for x, y in holes]
    assert seat([Locator(hole, 0.005) for hole in holes], studs) == 0.0


@pytest.mark.parametrize(("off", "play"), [(0.8, 0.25), (0.6, 0.25), (3.0, 0.25), (-0.8, 0.3), (0.2, 0.01)])
def test_two_holes_whose_spacing_is_off_lack_half_of_it_less_the_play(off, play):
    left = seat([Locator((0.0, 0.0), play), Locator((60.0 + off, 0.0), play)], [(5.0, 2.0), (5.0, 62.0)])
    assert left == pytest.approx(abs(off) / 2 - play, abs=OUTSIDE * play + 2e-4)


def test_two_holes_whose_spacing_is_off_by_less_than_both_plays_go_on():
    assert seat([Locator((0.0, 0.0), 0.25), Locator((60.49, 0.0), 0.25)], [(0.0, 0.0), (60.0, 0.0)]) == 0.0
    assert seat([Locator((0.0, 0.0), 0.25), Locator((60.52, 0.0), 0.25)], [(0.0, 0.0), (60.0, 0.0)]) > 0.0


def test_a_slot_takes_up_a_spacing_that_is_off():
    holes = [Locator((0.0, 0.0), 0.2), Locator((61.5, 0.0), 0.2, 1.4, 0.0)]
    assert seat(holes, [(0.0, 0.0), (60.0, 0.0)]) == 0.0  # 1.4 + 2 x 0.2 is 1.8 mm of room
    assert seat(holes, [(0.0, 0.0), (59.0, 0.0)]) == pytest.approx((2.5 - 1.8) / 2, abs=1e-3)


def lack(holes, studs, play):
    """Least of the greatest distance from hole to stud over all shifts and turns, less the play: our own search."""
    holes, studs = np.array(holes), np.array(studs)

    def worst(motion):
        c, s = np.cos(motion[2]), np.sin(motion[2])
        moved = holes @ np.array([[c, s], [-s, c]]) + motion[:2]
        return float(np.max(np.hypot(*(moved - studs).T)))

    start = np.zeros(3)
    for _ in range(6):
        start = minimize(worst, start, method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-10}).x
    return worst(start) - play


@pytest.mark.parametrize("seed", range(9))
def test_an_irregular_pattern_lacks_what_a_search_says(seed):
    chance = np.random.default_rng(seed)
    holes = np.array([[-40.0, -31.0], [43.0, -28.0], [37.0, 34.0], [-45.0, 27.0], [2.0, 52.0]])[: 3 + seed % 3]
    holes = holes + chance.uniform(-6, 6, holes.shape)
    studs = holes + chance.normal(0, 0.35, holes.shape)
    exact = lack(holes, studs, 0.05)
    assert exact > 0.05
    assert seat([Locator(tuple(hole), 0.05) for hole in holes], [tuple(stud) for stud in studs]) == pytest.approx(
        exact, abs=1e-3
    )


def test_holes_that_just_go_on_with_a_little_turn_are_not_refused():
    chance = np.random.default_rng(5)
    holes = np.array([[-40.0, -31.0], [43.0, -28.0], [37.0, 34.0]])
    for _ in range(6):
        studs = holes + chance.normal(0, 0.3, holes.shape)
        play = lack(holes, studs, 0.0) + 0.002
        assert seat([Locator(tuple(hole), play) for hole in holes], [tuple(stud) for stud in studs]) == 0.0


def test_a_hole_beside_its_place_leaves_the_shifts_that_both_studs_allow():
    play, off = 0.25, 0.1
    free = free_motions([Locator((-20.0, 0.0), play), Locator((20.0, 0.0), play, off=(off, 0.0))])
    unturned = min(free.slices, key=lambda one: abs(one.turn))
    assert unturned.turn == pytest.approx(0.0, abs=1e-9)
    ways = np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0]])
    reach, _ = unturned.farthest(ways)
    assert reach == pytest.approx([play - off, play, sqrt(play**2 - (off / 2) ** 2)], abs=2 * OUTSIDE + 1e-3)
    just = np.array([[play - off, 0.0], [play - off + 0.05, 0.0]])
    assert free.lack(np.zeros(2), just) == pytest.approx([0.0, 0.05], abs=1e-6)
    assert free_motions([Locator((-20.0, 0.0), play), Locator((20.0, 0.0), play, off=(0.6, 0.0))]) is None
