"""The worst overhang is a bound: never below what a search of our own finds, and hardly above it."""

from itertools import pairwise
from math import acos, cos, pi, sin

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import Point, box

from gasketcut.checks.motion.allowed import Allowed, allowed_motions
from gasketcut.checks.motion.overhang import worst_overhang
from gasketcut.shape.motion import Locator, free_motions
from gasketcut.shape.outlines import disc, grown, oval, placed, rectangle, slot

FLOAT = 1e-6  # mm
CLOSE, NEAR = 0.01, 0.005  # share and mm by which the bound may exceed the best motion found: half of what is promised


# --- a search of our own: what is feasible is asked of each hole, not built from the package's slices ---


def middle(locators):
    return np.mean([one[0] for one in locators], axis=0)


def turned_about(places, motions, about):
    """The places (n, 2) after each motion (x, y, turn about the middle): two arrays (motions, n)."""
    c, s = np.cos(motions[:, 2])[:, None], np.sin(motions[:, 2])[:, None]
    x, y = (places - about).T
    return c * x - s * y + about[0] + motions[:, :1], s * x + c * y + about[1] + motions[:, 1:2]


def slack(locators, motions):
    """How much play is left over at the tightest hole of each motion, shape (n,)."""
    left = np.full(len(motions), np.inf)
    for at, play, half, direction, beside in locators:
        x, y = turned_about(np.array([at]) + beside, motions, middle(locators))
        off = np.column_stack([at[0] - x[:, 0], at[1] - y[:, 0]])  # the stud seen from the moved hole
        if half:  # how far beyond the slot's middle line
            along = np.column_stack([np.cos(np.radians(direction) + motions[:, 2]),
                                     np.sin(np.radians(direction) + motions[:, 2])])  # fmt: skip
            off = off - np.clip(np.sum(off * along, axis=1), -half, half)[:, None] * along
        left = np.minimum(left, play - np.hypot(*off.T))
    return left


def ends(locators, directions):
    """Each direction (x, y, turn) followed from no motion until a hole touches its stud."""
    low, high = np.zeros(len(directions)), np.full(len(directions), 8.0)
    for _ in range(50):
        halfway = (low + high) / 2
        good = slack(locators, directions * halfway[:, None]) >= 0
        low, high = np.where(good, halfway, low), np.where(good, high, halfway)
    return directions * low[:, None]


class Depths:
    """How deep places are in a window, from its edges one by one: positive inside."""

    def __init__(self, window):
        ring = shapely.get_coordinates(window.exterior)
        self.window = window
        self.edges = shapely.STRtree(shapely.linestrings(np.stack([ring[:-1], ring[1:]], axis=1)))
        shapely.prepare(window)

    def deepest(self, x, y):
        """The greatest depth in each row, and which place of the row has it."""
        flat = shapely.points(x.ravel(), y.ravel())
        _, away = self.edges.query_nearest(flat, return_distance=True, all_matches=False)
        found = np.where(shapely.contains_xy(self.window, x.ravel(), y.ravel()), away, -away).reshape(x.shape)
        return found.max(axis=1), found.argmax(axis=1)


def spread_out(found, marks, count=7):
    """Numbers of the best, no two of them with the same place of the sheet close by unless nothing else is left."""
    kept = []
    for number in np.argsort(found)[::-1]:
        if all(np.hypot(*(marks[number] - marks[other])) > 1.0 for other in kept):
            kept.append(number)
        if len(kept) == count:
            break
    return np.array([*kept, *np.argsort(found)[::-1][:2]])


def sampled(solid, window, locators, seed=1):
    """The deepest that any tried motion brings the edge of the sheet into the window."""
    chance, depths, about = np.random.default_rng(seed), Depths(window), middle(locators)
    arm = max(float(np.max(np.hypot(*(np.array([one[0] for one in locators]) - about).T))), locators[0].play / pi)
    scale = np.array([1.0, 1.0, 1.0 / arm])
    near = solid.boundary if len(locators) == 1 else solid.boundary.intersection(window.buffer(5.0))
    fine = shapely.get_coordinates(shapely.segmentize(near, 0.02))
    places = fine[:: max(1, len(fine) // 90)]
    directions = chance.normal(size=(300, 3)) * scale
    directions[:150] *= (1, 1, 0.2)
    tried, spread, deepest = ends(locators, directions), 0.5, -np.inf
    for _ in range(15):
        found, at = depths.deepest(*turned_about(places, tried, about))
        deepest = max(deepest, float(found.max()))
        order = spread_out(found, places[at])
        best, marks = tried[order], places[at[order]]
        places = fine[np.min(np.hypot(*(fine[:, None] - marks).transpose(2, 0, 1)), axis=1) < 1.2 * spread + 0.05]
        places = np.vstack([places[:: max(1, len(places) // 70)], marks])
        size = np.linalg.norm(best / scale, axis=1, keepdims=True) + 1e-9
        around = np.repeat(best, 10, axis=0)
        fresh = around + chance.normal(size=around.shape) * scale * np.repeat(size * spread, 10, axis=0)
        tried, spread = np.vstack([ends(locators, fresh), best]), spread * 0.68
    assert np.all(slack(locators, best) >= 0)
    return deepest


def square(play, half=26.0):
    return [Locator(place, play) for place in ((-half, -half), (half, -half), (half, half), (-half, half))]


def uneven(*plays):
    places = ((-31.0, -20.0), (27.0, -24.0), (22.0, 29.0), (-26.0, 21.0), (2.0, 36.0))
    return [Locator(place, play) for place, play in zip(places, plays, strict=False)]


PATTERNS = {
    "a square of four": square(0.25),
    "three, irregular": uneven(0.3, 0.3, 0.3),
    "five, unequal plays": uneven(0.25, 0.4, 0.6, 0.15, 0.5),
    "one hole": [Locator((-24.0, 3.0), 0.25)],
    "two holes": [Locator((-25.0, 2.0), 0.3), Locator((25.0, -2.0), 0.3)],
    "a hole and a slot": [Locator((-25.0, 0.0), 0.2), Locator((25.0, 4.0), 0.2, 1.0, 9.0)],
    "slots all round": [Locator((26.0 * cos(t), 26.0 * sin(t)), 0.15, 0.8, 180 / pi * t) for t in (0.4, 1.9, 3.3, 5.2)],
    "dowels beside studs": [*square(0.4), Locator((-24.0, 4.0), 0.01), Locator((23.0, -6.0), 0.01)],
}
WINDOWS = {
    "round": disc((2.0, 1.0), 20.0),
    "oval": placed(oval(26.0, 15.0), (1.0, -2.0), 25.0),
    "rectangle": placed(rectangle(22.0, 13.0, 3.0), (0.0, 3.0), -12.0),
    "sharp rectangle": placed(rectangle(20.0, 11.0), (4.0, 0.0), 5.0),
    "slot": placed(slot(24.0, 9.0), (-3.0, 2.0), 70.0),
}
SHEET = box(-45, -45, 45, 45)


def sheet_round(window, set_back):
    """A sheet opened by as much more than the window."""
    return SHEET.difference(grown(window, set_back))


def judged(solid, window, locators, seed=1):
    worst = worst_overhang(solid, window, allowed_motions(locators))
    best = sampled(solid, window, locators, seed)
    assert worst.bound >= best - FLOAT
    assert worst.bound <= best + CLOSE * abs(best) + NEAR
    assert worst.reached <= worst.bound
    return worst


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("shape", ["rectangle"])
def test_a_bound_for_every_pattern(pattern, shape):
    judged(sheet_round(WINDOWS[shape], 0.05), WINDOWS[shape], PATTERNS[pattern])


@pytest.mark.parametrize("shape", WINDOWS)
@pytest.mark.parametrize("set_back", [0.0, 0.4])
def test_a_bound_for_every_window(shape, set_back):
    judged(sheet_round(WINDOWS[shape], set_back), WINDOWS[shape], PATTERNS["five, unequal plays"])


@pytest.mark.parametrize("shape", ["round", "slot"])
def test_a_bound_where_the_opening_is_another_shape(shape):
    judged(SHEET.difference(disc((1.0, 0.5), 19.0)), WINDOWS[shape], PATTERNS["three, irregular"])


def test_a_bound_far_from_the_studs():
    # Studs 20 mm apart and a window 60 mm off: the turn does it all.
    window = placed(rectangle(14.0, 10.0, 2.0), (60.0, 5.0), 0.0)
    solid = box(-20, -20, 90, 30).difference(grown(window, 0.5))
    judged(solid, window, [Locator((-10.0, 0.0), 0.2), Locator((10.0, 0.0), 0.2)])


def test_beside_a_sharp_corner_bound_and_reached_meet():
    # There a point stands behind two edges, and comes less deep than it could behind either alone.
    window = WINDOWS["sharp rectangle"]
    studs = [Locator((-26.0, -20.0), 0.3), Locator((26.0, -26.0), 0.2), Locator((20.0, 26.0), 0.4)]
    worst = worst_overhang(sheet_round(window, 0.0), window, allowed_motions(studs))
    assert worst.reached <= worst.bound <= worst.reached + 0.003


# --- closed forms ---


def lens(first, second, apart):
    """Area that two circles share."""
    a = acos((apart**2 + first**2 - second**2) / (2 * apart * first))
    b = acos((apart**2 + second**2 - first**2) / (2 * apart * second))
    return first**2 * (a - sin(2 * a) / 2) + second**2 * (b - sin(2 * b) / 2)


@pytest.mark.parametrize("play", [0.25, 0.5, 0.9])
@pytest.mark.parametrize("more", [0.0, 0.1, 0.4])
def test_a_circle_over_a_circle(play, more):
    radius = 15.0
    window, solid = disc((0, 0), 2 * radius), SHEET.difference(disc((0, 0), 2 * (radius + more)))
    worst = worst_overhang(solid, window, allowed_motions(square(play)))
    assert play - more - FLOAT <= worst.bound <= (play - more) + CLOSE * abs(play - more) + NEAR
    assert np.hypot(*worst.motion[:2]) == pytest.approx(play, rel=0.002)
    if play > more:
        covered = pi * radius**2 - lens(radius + more, radius, play)
        assert worst.area == pytest.approx(covered, rel=0.01, abs=0.01)
        assert Point(worst.at).distance(window.exterior) == pytest.approx(play - more, abs=NEAR)
    else:
        assert worst.area == 0.0


# --- windows with bays ---

BAYS = {
    "an L": shapely.Polygon([(0, 0), (20, 0), (20, 8), (8, 8), (8, 16), (0, 16)]),
    "a kidney": disc((0, 0), 24.0).difference(disc((10, 0), 14.0)),
    "a star": shapely.Polygon(
        [((6 + 4 * (k % 2)) * cos(k * pi / 5), (6 + 4 * (k % 2)) * sin(k * pi / 5)) for k in range(10)]
    ),
}


@pytest.mark.parametrize("shape", BAYS)
def test_a_bound_where_the_window_has_bays(shape):
    window = BAYS[shape]
    solid, locators = sheet_round(window, 0.05), PATTERNS["three, irregular"]
    worst = worst_overhang(solid, window, allowed_motions(locators))
    best = sampled(solid, window, locators)
    assert best - FLOAT <= worst.bound <= best * (1 + CLOSE) + NEAR


# --- a sheet that has grown ---


def grown_by_sampling(radius, more, growth, locators, at):
    """How deep a round opening about `at` comes over a round window there, by trying motions and shares at random.

    The sheet scales about any point: the motions make up for it. Of two circles one reaches out of the other by how far
    the middles are apart less the difference of the radii.
    """
    chance, about = np.random.default_rng(3), middle(locators)
    shares = growth * chance.random(400_000) ** np.where(chance.random(400_000) < 0.3, 0.01, 1.0)
    span = max(one.play + one.slot + abs(growth) * 40 for one in locators)
    motions = chance.uniform(-1, 1, (len(shares), 3)) * (span, span, 0.02)
    motions[::2, 2] *= 0.1
    fits = np.ones(len(shares), dtype=bool)
    c, s = np.cos(motions[:, 2]), np.sin(motions[:, 2])

    def moved(place):
        x, y = ((1 + shares)[:, None] * (np.array(place) - about)).T
        return about[0] + c * x - s * y + motions[:, 0], about[1] + s * x + c * y + motions[:, 1]

    for one in locators:
        x, y = moved(one.at)
        off_x, off_y = one.at[0] - x, one.at[1] - y
        turn = np.radians(one.turn) + motions[:, 2]
        along = np.clip(off_x * np.cos(turn) + off_y * np.sin(turn), -one.slot, one.slot)
        fits &= np.hypot(off_x - along * np.cos(turn), off_y - along * np.sin(turn)) <= one.play
    x, y = moved(at)
    deep = np.hypot(x - at[0], y - at[1]) - ((radius + more) * (1 + shares) - radius)
    assert np.sum(fits) > 200
    return float(np.max(deep[fits]))


@pytest.mark.parametrize(
    ("locators", "growth"),
    [
        ([Locator((0.0, 0.0), 0.1), Locator((60.0, 0.0), 0.1, 1.5, 0.0)], 0.01),
        ([Locator((0.0, 0.0), 0.1), Locator((60.0, 0.0), 0.1, 1.5, 0.0)], -0.01),
    ],
)
def test_a_grown_sheet(locators, growth):
    at = (40.0, 8.0)
    window = disc(at, 10.0)
    solid = shapely.Polygon(box(-20, -30, 140, 70).exterior, [disc(at, 10.2).exterior])
    worst = worst_overhang(solid, window, allowed_motions(locators, growth))
    best = grown_by_sampling(5.0, 0.1, growth, locators, at)
    assert best - FLOAT <= worst.bound <= best * 1.06 + NEAR  # a coarse sample: 400,000 tries in four dimensions
    assert worst.reached <= worst.bound <= worst.reached * 1.01 + NEAR


def test_growth_between_the_ends_can_be_the_worst():
    locators = [Locator((0.0, 0.0), 0.1), Locator((60.0, 0.0), 0.1, 0.2, 0.0)]
    window = disc((32.0, 0.0), 10.0)
    solid = shapely.Polygon(box(-20, -30, 140, 70).exterior, [disc((32.0, 0.0), 10.0).exterior])
    # With no growth every hole shifts by 0.1. Grown by s, the hole on the left still shifts 0.1 to the right until the
    # slot's end stops it, at s = 0.2 / 60; the opening's middle has then moved 0.1 + 32 s and its radius grown by 5 s.
    between = 0.1 + (32 - 5) * 0.2 / 60
    worst = worst_overhang(solid, window, allowed_motions(locators, 0.0066))
    assert between - NEAR <= worst.reached <= worst.bound <= between * (1 + CLOSE) + NEAR
    ends = [worst_overhang(solid, window, allowed_motions(locators))]
    grown_most = affinity.scale(solid, 1.0066, 1.0066, origin=(30.0, 0.0))
    fully = free_motions(locators, 0.0066)
    ends.append(worst_overhang(grown_most, window, Allowed(np.zeros(1), (fully,), (0.0, 0.0))))
    assert all(one.bound < between - 0.05 for one in ends)


def test_a_window_that_the_sheet_covers_is_as_deep_as_its_middle():
    # The sheet's edge passes the window and covers its middle, whatever the motion: the deepest point is not on the
    # edge but in the middle, a radius deep.
    window = disc((0.0, 0.0), 6.0)
    worst = worst_overhang(box(-45, -45, 1.5, 45), window, allowed_motions(square(0.25)))
    assert worst.bound == pytest.approx(3.0, abs=0.03 + NEAR)


def test_a_sheet_that_cannot_reach_the_window_says_how_clear_it_stays():
    window = disc((0.0, 0.0), 10.0)
    worst = worst_overhang(SHEET.difference(disc((0, 0), 14.0)), window, allowed_motions(square(0.25)))
    assert worst.bound == pytest.approx(-1.75, abs=NEAR)
    far = worst_overhang(box(20, -10, 40, 10), window, allowed_motions(square(0.25)))
    assert -14.8 < far.bound < -14.6


# --- what must not matter, and what must ---


def turned(shape, angle, *, mirrored):
    flipped = affinity.scale(shape, -1, 1, origin=(0, 0)) if mirrored else shape
    return affinity.rotate(flipped, angle, origin=(0, 0))


@pytest.mark.parametrize("pattern", ["five, unequal plays", "a hole and a slot"])
@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("angle", [0.0, 13.7, 90.0, 211.3])
def test_turning_or_mirroring_it_all_changes_nothing(pattern, mirrored, angle):
    window = WINDOWS["oval"]
    solid = sheet_round(window, 0.1)
    plain = worst_overhang(solid, window, allowed_motions(PATTERNS[pattern]))
    moved = []
    for at, play, half, direction, _ in PATTERNS[pattern]:
        way = turned(Point(at), angle, mirrored=mirrored)
        flipped = 180 - direction if mirrored else direction
        moved.append(Locator((way.x, way.y), play, half, flipped + angle))
    other = worst_overhang(
        turned(solid, angle, mirrored=mirrored), turned(window, angle, mirrored=mirrored), allowed_motions(moved)
    )
    assert other.bound == pytest.approx(plain.bound, abs=NEAR)


@pytest.mark.slow
@pytest.mark.parametrize("pattern", PATTERNS)
def test_larger_play_never_gives_less(pattern):
    window = WINDOWS["rectangle"]
    solid = sheet_round(window, 0.1)
    bounds = []
    for share in (1.0, 1.02, 1.1, 1.3, 1.7):
        looser = [one._replace(play=one.play * share) for one in PATTERNS[pattern]]
        bounds.append(worst_overhang(solid, window, allowed_motions(looser)).bound)
    assert all(after >= before for before, after in pairwise(bounds)), bounds
    assert bounds[-1] > bounds[0] or pattern == "one hole"  # there the window is swept altogether


@pytest.mark.slow
@pytest.mark.parametrize("shape", WINDOWS)
def test_opened_by_the_bound_it_stays_clear(shape):
    window, free = WINDOWS[shape], allowed_motions(PATTERNS["five, unequal plays"])
    before = worst_overhang(sheet_round(window, 0.1), window, free)
    assert before.bound > 0.1
    after = worst_overhang(sheet_round(window, 0.1 + before.bound), window, free)
    assert after.bound <= 0.005  # what the findings call no overhang
    less = worst_overhang(sheet_round(window, 0.1 + before.bound * 0.7), window, free)
    assert less.bound > 0.005
