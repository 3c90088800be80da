"""The shifts that all holes allow, against polygons of a geometry library and against a convex search."""

from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from shapely.geometry import LineString, Point

from gasketcut.shape.motion import OUTSIDE, Locator, free_motions, most_growth, seat
from gasketcut.shape.shifts import ROUNDING, Shifts

FINE = 512  # segments of a quarter circle: a disc's polygon is off by less than 5e-6 of its radius
AWAY = 1e-5  # mm from empty to not, within which the library's polygons decide nothing
NEAR = 1e-5
WAYS = np.exp(1j * np.linspace(-pi, pi, 73)[1:])

near = st.floats(-1.0, 1.0)
holes = st.tuples(
    near, near, st.floats(0.05, 1.2), st.one_of(st.just(0.0), st.floats(0.05, 1.5)), st.floats(0.0, 180.0)
)
patterns = st.lists(holes, min_size=1, max_size=5)


def shifts(pattern):
    """One placing; a hole is x, y, play, half the slot, its direction [deg]."""
    x, y, play, half, way = np.array(pattern, dtype=float).T
    return Shifts((x + 1j * y)[None], (half * np.exp(1j * np.radians(way)))[None], play[None])


def drawn(pattern, more=0.0):
    """The same by intersection of polygons, every play wider by `more`."""
    cells = []
    for x, y, play, half, way in pattern:
        along, at = half * np.array([cos(radians(way)), sin(radians(way))]), np.array([x, y])
        middle = LineString([at + along, at - along]) if half else Point(at)
        cells.append(middle.buffer(play + more, quad_segs=FINE))
    return shapely.intersection_all(cells)


def reach(pattern, ways=WAYS):
    one = shifts(pattern)
    return (one.touching(ways[None])[0] * ways.conj()).real


@settings(max_examples=150, deadline=None)
@given(patterns)
def test_there_is_a_shift_where_polygons_meet(pattern):
    widely, narrowly = drawn(pattern, AWAY), drawn(pattern, -AWAY)
    found = bool(shifts(pattern).any()[0])
    assert found or narrowly.is_empty
    assert not found or not widely.is_empty


@settings(max_examples=150, deadline=None)
@given(patterns)
def test_it_reaches_as_far_as_the_polygons(pattern):
    narrowly, widely = drawn(pattern, -AWAY), drawn(pattern, AWAY)
    assume(not narrowly.is_empty)
    x, y = shapely.get_coordinates(narrowly).T
    wide_x, wide_y = shapely.get_coordinates(widely).T
    for way, far in zip(WAYS, reach(pattern), strict=True):
        assert np.max(x * way.real + y * way.imag) <= far + ROUNDING
        assert far <= np.max(wide_x * way.real + wide_y * way.imag) + ROUNDING


@settings(max_examples=60, deadline=None)
@given(patterns, st.floats(-pi, pi))
def test_turned_or_mirrored_it_reaches_as_far(pattern, turn):
    assume(not drawn(pattern, -1e-3).is_empty)
    rotated, mirrored = [], []
    for x, y, play, half, way in pattern:
        c, s = cos(turn), sin(turn)
        rotated.append((c * x - s * y, s * x + c * y, play, half, way + np.degrees(turn)))
        mirrored.append((x, -y, play, half, -way))
    plain = reach(pattern)
    assert reach(rotated, WAYS * np.exp(1j * turn)) == pytest.approx(plain, abs=NEAR)
    assert reach(mirrored, WAYS.conj()) == pytest.approx(plain, abs=NEAR)


def test_discs_that_only_touch_leave_one_shift():
    pair = [(0.0, 0.0, 0.3, 0.0, 0.0), (0.5, 0.0, 0.2, 0.0, 0.0)]
    assert shifts(pair).any()[0]
    # Each a rounding wider, they leave a lens that is as high as two roots of it.
    assert shifts(pair).touching(WAYS[None])[0] == pytest.approx(np.full(len(WAYS), 0.3 + 0j), abs=2 * ROUNDING**0.5)
    apart = [pair[0], (0.5 + 1e-5, 0.0, 0.2, 0.0, 0.0)]
    assert not shifts(apart).any()[0]
    assert np.all(np.isnan(shifts(apart).touching(WAYS[None])))


def test_no_play_at_all_leaves_the_unmoved_sheet():
    pattern = [Locator((-20.0, 3.0), 0.0), Locator((31.0, -4.0), 0.0), Locator((5.0, 22.0), 0.0, 0.4, 20.0)]
    free = free_motions(pattern)
    assert free.sway <= 2 * ROUNDING
    assert np.max(np.abs(free.turns)) <= 1e-8
    assert free_motions(pattern[:2], 1e-6) is None


def test_a_negative_play_allows_nothing():
    assert not shifts([(0.0, 0.0, -0.01, 0.0, 0.0), (0.0, 0.0, 0.3, 0.5, 0.0)]).any()[0]


def test_one_stud_allows_its_disc_or_slot():
    assert reach([(0.2, -0.1, 0.3, 0.0, 0.0)]) == pytest.approx((WAYS.conj() * (0.2 - 0.1j)).real + 0.3, abs=NEAR)
    along = np.abs((WAYS.conj() * np.exp(1j * pi / 6)).real)
    assert reach([(0.0, 0.0, 0.3, 1.5, 30.0)]) == pytest.approx(0.3 + 1.5 * along, abs=NEAR)


# --- slices: polygons drawn round what is allowed ---

boards = st.lists(
    st.builds(
        Locator,
        st.tuples(st.floats(-50, 50), st.floats(-50, 50)),
        st.floats(0.02, 0.6),
        st.one_of(st.just(0.0), st.floats(0.1, 2.0)),
        st.floats(0.0, 180.0),
        st.just((0.0, 0.0)),
    ),
    min_size=2,
    max_size=5,
)


@settings(max_examples=40, deadline=None)
@given(boards, st.floats(-0.003, 0.003))
def test_a_slice_holds_all_that_is_allowed_and_hardly_more(board, growth):
    places = np.array([one.at for one in board])
    assume(min(np.hypot(*(a - b)) for k, a in enumerate(places) for b in places[:k]) > 5.0)
    free = free_motions(board, growth)
    assume(free is not None)
    most = OUTSIDE * max(one.play for one in board)
    angles = np.linspace(-pi, pi, 100)
    for number in (1, len(free.turns) // 2, -2):
        one = free.slices[number]
        c, s = np.cos(one.turn), np.sin(one.turn)
        turned = free.arms @ np.array([[c, s], [-s, c]])
        pattern = [
            (*(stud - arm), hole.play, hole.slot, hole.turn + np.degrees(one.turn))
            for stud, arm, hole in zip(free.studs, turned, board, strict=True)
        ]
        x, y = shapely.get_coordinates(drawn(pattern, AWAY)).T
        directions = np.column_stack([np.cos(angles), np.sin(angles)])
        far = np.max(np.outer(np.cos(angles), x) + np.outer(np.sin(angles), y), axis=1)
        exact = reach(pattern, np.exp(1j * angles))
        got, corner = one.farthest(directions)
        assert np.all(exact <= got + 1e-9)
        assert got == pytest.approx(np.sum(one.corners[corner] * directions, axis=1))
        assert np.all(got <= far + most + ROUNDING)
        assert np.all(np.diff(one.normals) >= 0)


# --- how much it may have grown ---


def grows_to(board, side):
    """The greatest share for which some shift leaves every hole within its play: a convex search of our own."""
    places = np.array([one.at for one in board])
    arms = places - places.mean(axis=0)

    def left(unknown):  # play left over at each hole; unknown: share in thousandths, shift
        off = -side * unknown[0] / 1000 * arms - unknown[1:]
        lefts = []
        for (x, y), one in zip(off, board, strict=True):
            way = np.array([cos(radians(one.turn)), sin(radians(one.turn))])
            along = np.clip(x * way[0] + y * way[1], -one.slot, one.slot)
            lefts.append(one.play**2 - (x - along * way[0]) ** 2 - (y - along * way[1]) ** 2)
        return np.array(lefts)

    found = minimize(
        lambda unknown: -unknown[0],
        np.zeros(3),
        constraints={"type": "ineq", "fun": left},
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 500},
    )
    assert found.success
    return float(found.x[0]) / 1000


GROWN = {
    "two": [Locator((0.0, 0.0), 0.25), Locator((60.0, 10.0), 0.2)],
    "three": [Locator((-30.0, -11.0), 0.3), Locator((28.0, -20.0), 0.25), Locator((5.0, 37.0), 0.1)],
    "four, one tight": [
        Locator((-30.0, -20.0), 0.02), Locator((30.0, -20.0), 0.3),
        Locator((30.0, 20.0), 0.4), Locator((-30.0, 20.0), 0.3),
    ],
    "a hole and a slot across": [Locator((0.0, 0.0), 0.1), Locator((60.0, 0.0), 0.2, 0.7, 90.0)],
    "a hole and a slot askew": [
        Locator((0.0, 0.0), 0.1), Locator((60.0, 0.0), 0.2, 0.7, 25.0), Locator((20.0, 40.0), 0.6)
    ],
    "six": [Locator((40 * cos(t), 33 * sin(t)), 0.2 + 0.1 * sin(3 * t)) for t in np.arange(6) + 0.2],
}  # fmt: skip


@pytest.mark.parametrize("name", GROWN)
def test_growth_that_the_holes_take_up_is_what_a_convex_search_finds(name):
    board = GROWN[name]
    expected = min(grows_to(board, 1), grows_to(board, -1))
    assert most_growth(board, 0.05) == pytest.approx(expected, abs=2e-6)
    assert free_motions(board, 0.999 * expected) is not None


def test_two_holes_take_up_both_plays_over_their_distance():
    assert most_growth([Locator((0.0, 0.0), 0.25), Locator((60.0, 0.0), 0.15)], 0.05) == pytest.approx(
        0.4 / 60, abs=1e-6
    )


def test_a_share_beyond_the_most_is_not_looked_for():
    assert most_growth([Locator((0.0, 0.0), 2.0), Locator((10.0, 0.0), 2.0)], 0.05) == 0.05


# --- putting it on ---


def test_holes_smaller_than_their_studs_lack_that_too():
    pair = [Locator((0.0, 0.0), -0.2), Locator((60.0, 0.0), -0.1)]
    assert seat(pair, [(0.0, 0.0), (60.0, 0.0)]) == pytest.approx(0.2, abs=1e-5)
    # Both get as much more: 0.5 = (e - 0.2) + (e - 0.1).
    assert seat(pair, [(0.0, 0.0), (60.5, 0.0)]) == pytest.approx(0.4, abs=1e-5)


@pytest.mark.parametrize("way", [1, -1])
def test_mirrored_it_lacks_as_much(way):
    rows = [((-40.0, -31.0), (0.3, -0.2)), ((43.0, -28.0), (-0.4, 0.1)), ((37.0, 34.0), (0.2, 0.5))]
    holes = [Locator((x, way * y), 0.05, 0.1, way * 15.0) for (x, y), _ in rows]
    studs = [(x + dx, way * (y + dy)) for (x, y), (dx, dy) in rows]
    plain = [Locator(at, 0.05, 0.1, 15.0) for at, _ in rows]
    assert seat(holes, studs) == pytest.approx(seat(plain, [(x + dx, y + dy) for (x, y), (dx, dy) in rows]), abs=1e-5)
    assert seat(holes, studs) > 0.05
