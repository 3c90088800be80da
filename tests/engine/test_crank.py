"""Crank angle and piston travel against published rows, geometry, and two other ways to solve the same triangle."""

from math import acos, cos, degrees, pi, radians, sin, sqrt

import mpmath
import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from gasketcut.engine.ports.crank import Crank

IN = 25.4
printed_degree = 0.01  # deg, last digit of the tables
printed_travel = 0.002  # mm
same_angle = 1e-9  # deg


def height(crank: Crank, turn_deg: float) -> float:
    """Pin above crank centre by the law of Pythagoras, straight from the definition; turn from the bore axis."""
    turn = radians(turn_deg)
    side = crank.throw * sin(turn) - crank.offset
    return crank.throw * cos(turn) + sqrt(crank.rod**2 - side**2)


def random_cranks(count: int, seed: int) -> list[Crank]:
    """Strokes of 20 to 100 mm, rods of 1.3 to 2.6 strokes, pins up to a tenth of the stroke off to either side."""
    random = np.random.default_rng(seed)
    strokes = random.uniform(20, 100, count)
    rods, offsets = strokes * random.uniform(1.3, 2.6, count), strokes * random.uniform(-0.1, 0.1, count)
    return [Crank(*map(float, one)) for one in zip(strokes, rods, offsets, strict=True)]


# -- published rows: pin on the bore axis --------------------------------------------------------------------------


def test_two_millimetres_of_a_60_stroke_on_a_120_rod():
    # SC-1: Bell ch. 6, worked in bansheehq.com/forums/topic/102686-refresh-my-calculus; cos = 8404/8880.
    crank = Crank(60, 120)

    assert crank.after(2.0) == pytest.approx(18.84, abs=printed_degree)
    assert crank.after(2.0) == pytest.approx(degrees(acos(8404 / 8880)), abs=same_angle)


def test_an_exhaust_at_91_and_a_half_degrees_lies_33_mm_down():
    # SC-2: blasterforum.com/threads/stroker-questions.46926 (rod from memory); geometry, not authority.
    assert Crank(57, 110).travel(91.5) == pytest.approx(33.00, abs=0.02)


def test_the_same_cylinder_raised_opens_at_88_and_a_half():
    # SC-3: same page (its "1183" is a misprint for 183).
    opens = Crank(57, 110).after(31.5)

    assert opens == pytest.approx(88.48, abs=0.02)
    assert 360 - 2 * opens == pytest.approx(183.03, abs=0.02)


def test_pin_height_of_an_inch_engine():
    # SC-4: quartermile.ws/forum/index.php?topic=7907: 6.218 in above the crank axis, 7.6775 in at TDC.
    crank = Crank(3.307 * IN, 6.024 * IN)

    assert (crank.rod + crank.throw) / IN == pytest.approx(7.6775, abs=0.0001)
    assert (crank.rod + crank.throw - crank.travel(75.6)) / IN == pytest.approx(6.218, abs=0.002)


def test_greatest_piston_speed_of_the_inch_engine_at_6000_rpm():
    # SC-5: same page: 1078 in/s at 75.6 deg, 2.10065 ms after TDC.
    crank, omega = Crank(3.307 * IN, 6.024 * IN), 6000 * 2 * pi / 60
    peak = minimize_scalar(
        lambda turn: -float(crank.speed(turn)), bounds=(40, 110), method="bounded", options={"xatol": 1e-9}
    )

    assert -peak.fun * omega / IN == pytest.approx(1077.5, abs=0.5)
    assert peak.x == pytest.approx(75.62, abs=0.05)
    assert peak.x / (6 * 6000) * 1000 == pytest.approx(2.1007, abs=0.001)


def test_travel_at_the_post_s_zero_of_acceleration_is_twice_the_posted():
    # SC-6: audifans.com/archives/1998/01/msg02701.html: 68.5 deg by the two-term formula is confirmed; its travel of
    # 0.042 m is a published error, geometry gives 0.0864 m.
    zero = degrees(acos((sqrt(3) - 1) / 2))
    found = Crank(200, 200).travel(zero)

    assert zero == pytest.approx(68.5, abs=0.1)
    assert found == pytest.approx(86.4, abs=0.1)
    assert abs(found - 42) > 40


def test_an_endless_rod_shows_why_the_rod_matters():
    # SC-7, geometry: 21.04 deg in place of 18.84.
    assert Crank(60, 1e9).after(2.0) == pytest.approx(21.04, abs=printed_degree)


@pytest.mark.parametrize("crank", random_cranks(50, seed=8), ids=str)
def test_ends_middle_and_inverse_without_offset(crank):
    # SC-8, geometry: x(0) = 0, x(180) = S, x(90) > S/2, angle(x(a)) = a.
    plain = Crank(crank.stroke, crank.rod)

    assert plain.travel(0.0) == 0
    assert plain.travel(180.0) == pytest.approx(plain.stroke, abs=1e-12)
    assert plain.travel(90.0) > plain.stroke / 2
    for turn in (0.5, 20.0, 90.0, 121.0, 175.0):
        assert plain.after(float(plain.travel(turn))) == pytest.approx(turn, abs=same_angle)
        assert plain.before(float(plain.travel(-turn))) == pytest.approx(turn, abs=same_angle)


@pytest.mark.parametrize("rod", [17.0, 16.9, 5.0])
def test_a_rod_that_cannot_turn_is_refused(rod):
    # SC-9, geometry: L <= S/2.
    with pytest.raises(ValueError, match="cannot turn"):
        Crank(34, rod)


@pytest.mark.parametrize("offset", [3.0, -3.0])
def test_a_rod_that_only_the_offset_stops_is_refused(offset):
    # Geometry: at the sides the rod has to span the throw and the offset.
    with pytest.raises(ValueError, match="cannot turn"):
        Crank(34, 20, offset)
    assert Crank(34, 20.1, offset).full_travel > 34


# -- offset pin ----------------------------------------------------------------------------------------------------

# OF-1 to OF-3, geometry; throw, rod, offset, TDC and BDC from the bore axis, stroke, drop at 90 and 270 deg.
OFFSETS = [
    (27, 110, 1.0, 0.41822, 180.69033, 54.00237, 30.1132, 30.6197),
    (17, 58, 0.5, 0.38197, 180.69875, 34.00138, 19.3948, 19.7014),
    (20, 80, 2.0, 1.14599, 181.91021, 40.01334, 22.0313, 23.0645),
]


@pytest.mark.parametrize(("throw", "rod", "offset", "tdc", "bdc", "stroke", "at_90", "at_270"), OFFSETS)
def test_dead_centres_stroke_and_drops_with_an_offset(throw, rod, offset, tdc, bdc, stroke, at_90, at_270):
    crank = Crank(2 * throw, rod, offset)
    first = degrees(crank.tdc)

    assert first == pytest.approx(tdc, abs=1e-4)
    assert first + crank.bdc == pytest.approx(bdc, abs=1e-4)
    assert crank.full_travel == pytest.approx(stroke, abs=1e-4)
    assert crank.travel(90 - first) == pytest.approx(at_90, abs=1e-4)
    assert crank.travel(270 - first) == pytest.approx(at_270, abs=1e-4)


@pytest.mark.parametrize(
    ("throw", "rod", "offset", "turn", "distance", "tolerance"),
    [
        (40, 120, -20, 60, 126.838, 0.01),  # OF-4, geometry (a textbook's slider-crank example, from memory)
        (1.4, 4, 1, 45, 4.990, 0.001),  # OF-5, geometry (a textbook's problem table, from memory)
    ],
)
def test_slider_distance_of_a_textbook_linkage(throw, rod, offset, turn, distance, tolerance):
    crank = Crank(2 * throw, rod, offset)
    top = sqrt((rod + throw) ** 2 - offset**2)

    assert top - crank.travel(turn - degrees(crank.tdc)) == pytest.approx(distance, abs=tolerance)


@pytest.mark.parametrize("crank", random_cranks(20, seed=6), ids=str)
def test_no_offset_is_the_plain_formula(crank):
    # OF-6, geometry: x = r (1 - cos a) + L - sqrt(L^2 - r^2 sin^2 a).
    plain, r, rod = Crank(crank.stroke, crank.rod, 0.0), crank.throw, crank.rod
    turns = np.linspace(0, 180, 181)
    expected = r * (1 - np.cos(np.radians(turns))) + rod - np.sqrt(rod**2 - (r * np.sin(np.radians(turns))) ** 2)

    assert plain.travel(turns) == pytest.approx(expected, abs=1e-12)
    assert plain.travel(-turns) == pytest.approx(expected, abs=1e-12)
    assert (plain.tdc, plain.bdc) == (0.0, 180.0)
    assert plain.full_travel == pytest.approx(plain.stroke, abs=1e-12)


def test_an_offset_to_the_other_side_swaps_down_and_up():
    # Geometry: the mirror image.
    for crank in random_cranks(20, seed=7):
        mirrored = Crank(crank.stroke, crank.rod, -crank.offset)
        travel = 0.37 * crank.full_travel

        assert mirrored.after(travel) == pytest.approx(crank.before(travel), abs=same_angle)
        assert mirrored.bdc == pytest.approx(360 - crank.bdc, abs=same_angle)


# -- ignition: mm before TDC and degrees ---------------------------------------------------------------------------

# Geometry, anchored by SC-1: stroke, rod; mm at 15, 17, 19, 20, 24, 28 deg;
# degrees at 1.0, 1.5, 2.0, 2.5, 3.0 mm.
ANGLES, HEIGHTS = (15, 17, 19, 20, 24, 28), (1.0, 1.5, 2.0, 2.5, 3.0)
IGNITION = [
    (34, 58, (0.746, 0.956, 1.191, 1.317, 1.883, 2.542), (17.39, 21.37, 24.75, 27.76, 30.51)),
    (40, 80, (0.849, 1.088, 1.355, 1.499, 2.144, 2.894), (16.29, 20.01, 23.16, 25.97, 28.53)),
    (43, 87, (0.911, 1.167, 1.453, 1.608, 2.299, 3.104), (15.72, 19.31, 22.35, 25.05, 27.51)),
    (51, 97, (1.094, 1.401, 1.745, 1.931, 2.761, 3.726), (14.34, 17.60, 20.36, 22.81, 25.04)),
    (54, 110, (1.142, 1.463, 1.823, 2.017, 2.884, 3.893), (14.03, 17.21, 19.92, 22.31, 24.49)),
    (57, 110, (1.219, 1.561, 1.945, 2.151, 3.076, 4.153), (13.58, 16.66, 19.27, 21.59, 23.69)),
    (60, 120, (1.274, 1.632, 2.033, 2.249, 3.216, 4.341), (13.28, 16.29, 18.84, 21.11, 23.16)),
]


@pytest.mark.parametrize(("stroke", "rod", "travels", "angles"), IGNITION)
def test_millimetres_before_tdc_and_degrees(stroke, rod, travels, angles):
    crank = Crank(stroke, rod)

    assert [float(crank.travel(-turn)) for turn in ANGLES] == pytest.approx(travels, abs=printed_travel)
    assert [crank.before(travel) for travel in HEIGHTS] == pytest.approx(angles, abs=printed_degree)


# -- second opinions -----------------------------------------------------------------------------------------------


def test_a_root_finder_on_the_plain_definition_finds_the_same_angles():
    random = np.random.default_rng(9)
    for crank in random_cranks(1000, seed=10):
        travel = float(random.uniform(0.001, 0.999)) * crank.full_travel
        first, wanted = degrees(crank.tdc), sqrt((crank.rod + crank.throw) ** 2 - crank.offset**2) - travel

        def over(turn, crank=crank, first=first, wanted=wanted):
            return height(crank, first + turn) - wanted

        assert crank.after(travel) == pytest.approx(brentq(over, 0, crank.bdc, xtol=1e-12), abs=1e-6)
        assert -crank.before(travel) == pytest.approx(brentq(over, crank.bdc - 360, 0, xtol=1e-12), abs=1e-6)


@pytest.mark.parametrize("turn", [1e-6, 1e-4, 0.01, 1.0, 60.0, 150.0, 179.0, -1e-6, -0.01, -60.0])
def test_fifty_digits_give_the_same_travel_to_the_last(turn):
    # Also where the piston has hardly moved: relative, not absolute.
    with mpmath.workdps(50):
        for crank in random_cranks(20, seed=11):
            r, rod, e = map(mpmath.mpf, (crank.throw, crank.rod, crank.offset))
            last = mpmath.asin(e / (rod + r)) + mpmath.radians(mpmath.mpf(turn))
            drop = mpmath.sqrt((rod + r) ** 2 - e**2) - r * mpmath.cos(last)
            exact = float(drop - mpmath.sqrt(rod**2 - (r * mpmath.sin(last) - e) ** 2))

            # The angle of TDC is itself a rounded number: 1e-16 rad of some 1e-8 is as good as it gets.
            assert float(crank.travel(turn)) == pytest.approx(exact, rel=2e-14 + 2e-14 / abs(turn))


def test_speed_is_the_slope_of_travel():
    for crank in random_cranks(50, seed=12):
        turns, step = np.array([-170.0, -90.0, -3.0, 3.0, 76.0, 160.0]), 1e-4
        slope = (crank.travel(turns + step) - crank.travel(turns - step)) / np.radians(2 * step)

        assert crank.speed(turns) == pytest.approx(slope, abs=1e-6 * crank.stroke)


@pytest.mark.parametrize("away", [1e-6, 3e-6, 1e-5, 1e-4, 1e-3, 0.01, 0.1, 1.0, 10.0, 90.0, 150.0])
def test_the_inverse_is_exact_from_tdc_down(away):
    # Travel is a small number of full precision near TDC, so nothing is lost there: 1e-9 deg everywhere.
    for crank in random_cranks(200, seed=13):
        assert crank.after(float(crank.travel(away))) == pytest.approx(away, abs=same_angle)
        assert crank.before(float(crank.travel(-away))) == pytest.approx(away, abs=same_angle)


@pytest.mark.parametrize("left", [20.0, 5.0, 1.0, 0.1, 0.01, 1e-3, 1e-5, 0.0])
def test_near_bdc_the_inverse_is_as_exact_as_the_travel_lets_it_be(left):
    # Near BDC travel is nearly the whole stroke and carries half an ulp: an angle cannot be better than what that ulp
    # is worth in degrees, ulp / slope, and at BDC itself sqrt(2 ulp / curvature), some 1e-6 deg. 1e-9 holds to 0.1 deg.
    for crank in random_cranks(200, seed=14):
        ulp = float(np.spacing(crank.full_travel))
        for end, angle, sign in ((crank.bdc, crank.after, 1), (360 - crank.bdc, crank.before, -1)):
            turn = end - left
            slope = max(abs(float(crank.speed(sign * turn))) * pi / 180, 1e-300)
            at_the_end = degrees(sqrt(2 * ulp / (crank.throw * (1 - crank.throw / crank.rod))))
            limit = max(16 * min(ulp / slope, at_the_end), 1e-12)

            assert angle(float(crank.travel(sign * turn))) == pytest.approx(turn, abs=limit)
            if left >= 0.1:
                assert limit < same_angle


@pytest.mark.parametrize("travel", [-0.01, 34.01])
def test_a_travel_outside_the_stroke_is_refused(travel):
    with pytest.raises(ValueError, match="outside the stroke"):
        Crank(34, 58).after(travel)
