"""The tight place decides: ends of the pin's axis, their uncertainty, the odds; what rocks is judged apart."""

from math import cos, radians, sin, sqrt

import numpy as np
import pytest
from scipy import stats
from scipy.integrate import quad

from gasketcut import evaluate, parse_job
from gasketcut.engine.solder.agreement import agreement_of
from gasketcut.engine.solder.readings import plane_of, squish_of
from gasketcut.engine.squish.verdict import SquishVerdict
from gasketcut.engine.stack.clearance import Clearance, End
from gasketcut.engine.stack.distribution import least_of, normal, sums_of
from gasketcut.engine.stack.odds import Outlook
from gasketcut.job.model import Reading
from gasketcut.length import Measured

CAN = '[[stock]]\nname = "can"\nfitted = [0.09, 0.10, 0.11]\nsheets = 5\n'
micron, chance = 1e-3, 1e-4


def readings(*rows: tuple[str, float], sigma: float = 0.02) -> str:
    found = ", ".join(f'{{ at = "{at}", value = "{value:.6f} mm +- {sigma}" }}' for at, value in rows)
    return f"readings = [{found}]\n"


def answer(squish: str, stock: str = CAN, **options):
    found = evaluate(parse_job(f'units = "mm"\n[squish]\n{squish}\n{stock}'), **options).squish
    assert found is not None
    return found


def weights(found, word: str) -> list[str]:
    return [one.weight for one in found.findings if word in one.text]


def test_a_tilt_whose_tight_side_lies_under_the_floor_stops():
    # Found: left 0.72 and right 1.12 over 0.50, target 0.508, floor 0.40 gave one sheet with "100 % in band"; the left
    # has 0.72 - 0.50 + 0.10 = 0.32 with it (arithmetic).
    found = answer(readings(("left", 0.72), ("right", 1.12)) + "gasket_present = 0.5\ntarget = 0.508\nleast = 0.40")
    one = next(choice for choice in found.choices if choice.words == "1 x can")

    assert found.best is None
    assert found.verdict is SquishVerdict.TRUE_UP
    assert found.needed is None
    assert (one.squish[1], one.tight[1]) == pytest.approx((0.52, 0.32), abs=1e-9)
    assert one.odds.under_floor == pytest.approx(1.0, abs=chance)
    assert "stop" in weights(found, "at the left, under your floor")


def test_what_is_asked_for_by_thickness_is_judged_by_its_tight_side():
    text = readings(("left", 0.72), ("right", 1.12)) + "gasket_present = 0.5\ntarget = 0.508\nleast = 0.40"

    assert weights(answer(text, gasket=0.10), "at the left, the tight place, is under your floor") == ["stop"]
    assert weights(answer(text, gasket=0.20), "is under your floor") == []


def test_a_tilt_that_leaves_the_tight_side_over_the_floor_does_not_stop():
    # Arithmetic: 0.36 and 0.40 bare; one sheet leaves 0.46 on the left, 3 standard deviations over 0.40.
    found = answer(readings(("left", 0.86), ("right", 0.90)) + "gasket_present = 0.5\ntarget = 0.48\nleast = 0.40")

    assert found.best is not None
    assert found.best.words == "1 x can"
    assert (found.best.squish[1], found.best.tight[1]) == pytest.approx((0.48, 0.46), abs=1e-9)
    assert [finding for finding in found.findings if finding.weight == "stop"] == []


def test_front_and_rear_alone_are_told_to_rock_and_name_no_side():
    found = answer(readings(("front", 0.90), ("rear", 0.92)) + "target = 0.9")
    (said,) = [one for one in found.findings if "only front and rear were read" in one.text]

    assert (said.weight, found.squish.along, found.squish.across) == ("warn", None, pytest.approx(0.02))
    assert "both sides at once, with the piston held down" in said.do
    assert found.squish.mean.value == pytest.approx(0.91)


def test_front_and_rear_that_differ_too_much_alone_are_read_again():
    found = answer(readings(("front", 0.72), ("rear", 1.12)) + "gasket_present = 0.5\ntarget = 0.508\nleast = 0.40")

    assert found.verdict is SquishVerdict.READ_AGAIN
    assert found.needed is None
    assert weights(found, "at the front, under your floor") == ["stop"]


def test_rock_moves_neither_the_mean_nor_the_tight_place():
    level = readings(("left", 0.50), ("right", 0.52))
    rocked = readings(("left", 0.50), ("right", 0.52), ("front", 0.41), ("rear", 0.61))
    one, other = (answer(f"{text}target = 0.5\nleast = 0.40") for text in (level, rocked))

    assert one.choices == other.choices
    assert other.squish.across == pytest.approx(0.20, abs=1e-9)
    # 0.51 - root(0.02^2 + 0.20^2)/2 = 0.4095 bare, over the floor: a note, not a warning.
    assert weights(other, "front and rear differ") == ["note"]


def test_rock_that_would_reach_under_the_floor_is_a_warning():
    text = readings(("left", 0.50), ("right", 0.52), ("front", 0.36), ("rear", 0.66))

    assert weights(answer(f"{text}target = 0.5\nleast = 0.40"), "if it did not rock") == ["warn"]


# -- the plane -----------------------------------------------------------------------------------------------------


def test_four_diagonal_readings_of_a_tilted_plane_are_not_read_again():
    # Found: 0.90 in the middle, 0.10 higher to the right and 0.04 in front lie 0.2 mm apart without an error in them.
    rows = [(f"{at} deg", 0.90 + 0.10 * cos(radians(at)) + 0.04 * sin(radians(at))) for at in (45, 135, 225, 315)]
    found = answer(readings(*rows) + "target = 0.9\nleast = 0.4")

    assert found.agreement.share == pytest.approx(1.0, abs=1e-6)
    assert weights(found, "scatter") + weights(found, "contradict") + weights(found, "apart") == []
    assert found.clearance.tight.value == pytest.approx(0.80, abs=1e-6)
    assert found.squish.mean.value == pytest.approx(0.90, abs=1e-6)


@pytest.mark.parametrize("places", [(45, 135, 225, 315), (0, 120, 240), (10, 80, 200), (5, 95, 150, 260, 300)])
def test_the_ends_and_how_sure_they_are_follow_from_the_readings(places):
    # Monte Carlo over the readings' own errors, seed given: what the plane's ends scatter, and how they go together.
    rng, sigmas = np.random.default_rng(18), np.array([0.02, 0.03, 0.01, 0.02, 0.025])[: len(places)]
    columns = np.array([[1, cos(radians(at)), sin(radians(at))] for at in places])
    true = columns @ (0.9, 0.05, 0.02)
    weight = columns / sigmas[:, None]
    drawn = (true + rng.standard_normal((200_000, len(places))) * sigmas) / sigmas
    fits = np.linalg.solve(weight.T @ weight, weight.T @ drawn.T)
    left, right = fits[0] - fits[1], fits[0] + fits[1]

    rows = ", ".join(
        f'{{ at = "{at} deg", value = "{value:.9f} mm +- {sigma}" }}'
        for at, value, sigma in zip(places, true, sigmas, strict=True)
    )
    spec = parse_job(f'units = "mm"\n[squish]\ntarget = 0.9\nreadings = [{rows}]').squish
    found = squish_of(spec).clearance
    ends = [end.clearance for end in found.ends]

    assert [end.value for end in ends] == pytest.approx([0.85, 0.95], abs=1e-6)
    assert [end.sigma for end in ends] == pytest.approx([left.std(), right.std()], rel=0.01)
    assert found.mean.sigma == pytest.approx(fits[0].std(), rel=0.01)
    assert found.covariance == pytest.approx(np.cov(left, right)[0, 1], abs=0.02 * left.std() * right.std())


def test_the_gasket_in_place_counts_for_both_ends_alike():
    clearance = Clearance(
        Measured(0.9, 0.0141), (End("left", Measured(0.8, 0.02)), End("right", Measured(1.0, 0.02)))
    ).without(Measured(0.5, 0.015))

    assert [end.clearance.value for end in clearance.ends] == pytest.approx([0.3, 0.5])
    assert [end.clearance.sigma for end in clearance.ends] == pytest.approx([0.025, 0.025])
    assert clearance.covariance == pytest.approx(0.015**2)


# -- the distributions ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("one", "other", "correlation"),
    [
        ((0.50, 0.02), (0.50, 0.02), 0.0),
        ((0.50, 0.02), (0.53, 0.03), 0.5),
        ((0.50, 0.01), (0.52, 0.03), -0.6),
        ((0.50, 0.02), (0.90, 0.02), 0.0),
        ((0.50, 0.001), (0.501, 0.02), 0.3),
    ],
)
def test_the_smaller_of_two_by_quadrature(one, other, correlation):
    # P(min < x) = P(X < x) + the integral, over X above x, of P(Y < x | X).
    (m1, s1), (m2, s2) = one, other
    found = least_of(Measured(m1, s1), Measured(m2, s2), correlation * s1 * s2)
    rest = s2 * sqrt(1 - correlation**2)

    for place in (m1 - 2 * s1, m1 - s1, m1, m1 + 1.5 * s1):

        def share(z: float, x: float = place) -> float:
            return stats.norm.pdf(z) * stats.norm.cdf((x - m2 - correlation * s2 * z) / rest)

        low = (place - m1) / s1
        wanted = stats.norm.cdf(low) + quad(share, low, max(low, 8.0) + 1, epsabs=1e-9, limit=200)[0]
        assert found.under(place) == pytest.approx(wanted, abs=2e-5)


def test_ends_that_vary_as_one_are_one_length():
    found = least_of(Measured(0.5, 0.02), Measured(0.5, 0.02), 0.02**2)

    assert found.range_with(0.5) == pytest.approx((0.5 - 0.0392, 0.5, 0.5 + 0.0392), abs=1e-4)


@pytest.mark.parametrize("sigma", [1e-5, 0.001, 0.02, 0.3])
def test_a_normal_range_holds_95_per_cent(sigma):
    # 1.959963985 standard deviations, SciPy's 0.975 quantile (table of quantiles).
    low, _, high = normal(Measured(0.5, sigma)).range_with(0.5)

    assert (high - 0.5, 0.5 - low) == pytest.approx((1.959963985 * sigma, 1.959963985 * sigma), rel=1e-5)


def test_a_sum_keeps_mean_and_variance():
    # A triangle's are (a + b + c)/3 and (a2 + b2 + c2 - ab - bc - ca)/18; those of a sum add.
    terms = [(0.09, 0.10, 0.12), (0.37, 0.40, 0.48), (0.2, 0.2, 0.2)]
    _, (total,) = sums_of(terms, [normal(Measured(0.4, 0.02))])
    shares, places = np.diff(total.below), (total.at[1:] + total.at[:-1]) / 2
    mean = float(shares @ places)
    variance = 0.02**2 + sum((a * a + b * b + c * c - a * b - b * c - c * a) / 18 for a, b, c in terms)

    assert mean == pytest.approx(0.4 + sum(sum(term) / 3 for term in terms), abs=1e-5)
    assert float(shares @ (places - mean) ** 2) == pytest.approx(variance, rel=1e-3)


def test_ranges_agree_with_draws():
    # Two tilted ends that share the gasket's error, a sheet three times and sealant, drawn at random, seed given.
    rng, count = np.random.default_rng(7), 1_000_000
    shared, left, right = 0.01 * rng.standard_normal(count), *(0.02 * rng.standard_normal((2, count)))
    sheet = 3 * rng.triangular(0.09, 0.10, 0.12, count) + rng.triangular(0.0, 0.02, 0.05, count)
    mean, tight = 0.42 + (left + right) / 2 - shared + sheet, np.minimum(0.41 + left, 0.43 + right) - shared + sheet

    bare = Clearance(
        Measured(0.42, sqrt(0.02**2 / 2 + 0.01**2)),
        (End("left", Measured(0.41, hypotenuse := sqrt(5e-4))), End("right", Measured(0.43, hypotenuse))),
        0.01**2,
    )
    found = Outlook(bare, (0.70, 0.80)).of([(0.27, 0.30, 0.36), (0.0, 0.02, 0.05)])

    for range_, drawn in ((found.squish, mean), (found.tight, tight), (found.fitted, sheet)):
        assert range_[::2] == pytest.approx(np.quantile(drawn, (0.025, 0.975)), abs=2e-4)
    assert found.odds.under_floor == pytest.approx((tight < 0.70).mean(), abs=2e-3)
    assert found.odds.in_band == pytest.approx(((tight >= 0.70) & (tight <= 0.80)).mean(), abs=2e-3)


# -- readings that contradict each other ---------------------------------------------------------------------------


def read(*rows: tuple[str, float], sigma: float = 0.02) -> tuple[Reading, ...]:
    return tuple(Reading(at, Measured(value, sigma)) for at, value in rows)


@pytest.mark.parametrize(
    ("rows", "freedom"),
    [
        ((("left", 0.50), ("left", 0.55), ("right", 0.52)), 1),
        ((("left", 0.50), ("left", 0.55), ("left", 0.48), ("right", 0.52), ("right", 0.56)), 3),
        ((("left", 0.50), ("right", 0.52), ("front", 0.55), ("rear", 0.53)), 1),
        ((("10 deg", 0.50), ("80 deg", 0.52), ("170 deg", 0.55), ("200 deg", 0.53), ("300 deg", 0.5)), 2),
    ],
)
def test_the_share_of_good_sets_is_scipys(rows, freedom):
    # Least squares by numpy, the tail of chi-square by SciPy.
    found = read(*rows)
    turns = {"left": 180, "right": 0, "front": 90, "rear": 270}
    angles = [radians(turns.get(at) if at in turns else float(at[:-4])) for at, _ in rows]
    columns = np.array([[1, cos(turn), sin(turn)] for turn in angles])
    values = np.array([value for _, value in rows])
    missed = values - columns @ np.linalg.lstsq(columns, values, rcond=1e-9)[0]

    assert plane_of(found).spare == freedom
    assert agreement_of(found).share == pytest.approx(stats.chi2.sf((missed @ missed) / 0.02**2, freedom), rel=1e-9)


@pytest.mark.parametrize(
    ("rows", "named"),
    [
        ((("left", 0.30), ("left", 0.60), ("right", 0.40)), ["left", "left"]),
        ((("left", 0.50), ("left", 0.51), ("left", 0.80), ("right", 0.52)), ["left"]),
        ((("right", 0.41), ("right", 0.70), ("right", 0.40), ("left", 0.45)), ["right"]),
        ((("0 deg", 0.5), ("72 deg", 0.5), ("144 deg", 0.5), ("216 deg", 0.5), ("216 deg", 0.75)), ["216 deg"]),
        ((("left", 0.50), ("right", 0.50), ("front", 0.70), ("rear", 0.72)), ["left", "right", "front", "rear"]),
    ],
)
def test_readings_that_contradict_each_other_name_no_thickness(rows, named):
    found = answer(readings(*rows) + "target = 0.5")

    assert found.verdict is SquishVerdict.READ_AGAIN
    assert (found.best, found.choices, found.needed) == (None, (), None)
    assert [one.at for one in found.agreement.suspects] == named
    assert weights(found, "contradict each other") == ["stop"]
    assert found.after.squish == found.before.squish


def test_readings_are_judged_by_how_sure_they_are_said_to_be():
    rows = ("left", 0.50), ("left", 0.60), ("right", 0.55)

    assert answer(readings(*rows, sigma=0.02) + "target = 0.5").verdict is SquishVerdict.READ_AGAIN
    assert answer(readings(*rows, sigma=0.05) + "target = 0.5").verdict is not SquishVerdict.READ_AGAIN


@pytest.mark.parametrize(("apart", "weight"), [(0.054, []), (0.057, ["warn"]), (0.072, ["warn"]), (0.0735, ["stop"])])
def test_two_repeats_scatter_and_contradict_by_the_table(apart, weight):
    # Chi-square of one degree: 3.841459 at 0.95 and 6.634897 at 0.99; two repeats differ by root(2 x that) x 0.02,
    # which is 0.0554 and 0.0729 mm.
    found = answer(readings(("left", 0.50), ("left", 0.50 + apart), ("right", 0.52)) + "target = 0.5")

    assert weights(found, "scatter more than is usual") + weights(found, "contradict each other") == weight
