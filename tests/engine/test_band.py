"""The two bands of the squish: the flat one of the head (share, charge, velocity), and that of clearances wanted."""

from math import asin, cos, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from gasketcut import evaluate, parse_job
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.squish.band import share_of, squish_velocity
from gasketcut.engine.squish.compression import disc_cc
from gasketcut.engine.squish.effects import state_of
from gasketcut.engine.squish.verdict import SquishVerdict
from gasketcut.job.model import Engine
from gasketcut.output.text.choice import squish_sentence

metres_per_second = 0.01
degree = 0.01


def velocity_at(before, stroke, rod, offset, bore, share, clearance, chamber_cc, rpm, *, volume_factor=True):
    """The same law from the definition, on its own crank: heights by Pythagoras, speed by a difference of heights."""
    throw = stroke / 2
    top = asin(offset / (rod + throw))

    def height(turn):
        return throw * cos(turn) + sqrt(rod**2 - (throw * sin(turn) - offset) ** 2)

    here, step = top - radians(before), 1e-6
    z = clearance + height(top) - height(here)
    speed = (height(here + step) - height(here - step)) / (2 * step) * rpm * 2 * pi / 60 / 1000
    area, bowl = pi / 4 * bore**2, bore * sqrt(1 - share)
    found = speed * bowl / (4 * z) * ((bore / bowl) ** 2 - 1)
    rest = chamber_cc * 1000 - area * clearance
    return found * rest / (area * z + rest) if volume_factor else found


def peak_of(*engine, volume_factor=True):
    """Greatest value and where, by scipy."""
    found = minimize_scalar(
        lambda before: -velocity_at(before, *engine, volume_factor=volume_factor),
        bounds=(0.1, 80),
        method="bounded",
        options={"xatol": 1e-9},
    )
    return -found.fun, found.x


# -- share ---------------------------------------------------------------------------------------------------------


def width_of(bore, share):
    """The other way round: width of the band that covers that share of the bore."""
    return bore / 2 * (1 - sqrt(1 - share))


def test_half_the_piston_s_area_on_a_40_bore():
    # SQ-17 and C06: solex-competition.net quoting Jennings' "half the piston area"; the source prints 5.9.
    assert share_of(40, 5.858) == pytest.approx(0.50, abs=1e-4)
    assert share_of(40, 5.9) == pytest.approx(0.50, abs=0.005)


def test_share_of_a_six_millimetre_band():
    # SQ-18, geometry.
    assert share_of(47, 6) == pytest.approx(0.4455, abs=0.0005)


@pytest.mark.parametrize(("share", "width"), [(0.3, 4.410), (0.4, 6.086), (0.5, 7.908), (0.6, 9.924)])
def test_shares_of_bands_on_a_54_bore(share, width):
    # SQ-19, geometry.
    assert share_of(54, width) == pytest.approx(share, abs=1e-4)


# -- velocity ------------------------------------------------------------------------------------------------------

# SV-1 to SV-6, derived: bore, stroke, rod, clearance, share, chamber, rpm; m/s; degrees before TDC.
VELOCITIES = [
    (54, 54, 110, 0.8, 0.5, 8.8, 12_000, 37.275, 9.819),
    (54, 54, 110, 0.8, 0.5, 8.8, 9_000, 27.956, 9.819),
    (54, 54, 110, 1.7, 0.5, 8.8, 12_000, 16.092, 12.507),
    (47, 34, 58, 0.5, 0.5, 7.0, 9_500, 30.552, 10.276),
    (47, 34, 58, 1.0, 0.5, 7.0, 9_500, 17.186, 13.140),
    (66, 57, 110, 1.0, 0.5, 20, 7_000, 26.221, 10.911),
]


@pytest.mark.parametrize(("bore", "stroke", "rod", "clearance", "share", "chamber", "rpm", "speed", "at"), VELOCITIES)
def test_greatest_squish_velocity_and_where(bore, stroke, rod, clearance, share, chamber, rpm, speed, at):
    found = squish_velocity(Crank(stroke, rod), bore, share, clearance, chamber, rpm)

    assert found.peak == pytest.approx(speed, abs=metres_per_second)
    assert found.at == pytest.approx(at, abs=degree)


@pytest.mark.parametrize(("bore", "stroke", "rod", "clearance", "share", "chamber", "rpm", "speed", "at"), VELOCITIES)
def test_its_mean_over_the_ten_degrees_round_the_peak(bore, stroke, rod, clearance, share, chamber, rpm, speed, at):
    # By scipy's quadrature of the law from the definition, over the ten degrees that the value itself names.
    engine = (stroke, rod, 0.0, bore, share, clearance, chamber, rpm)
    found = squish_velocity(Crank(stroke, rod), bore, share, clearance, chamber, rpm)
    exact = quad(lambda before: velocity_at(before, *engine), found.until, found.since)[0] / 10

    assert (found.since, found.until) == pytest.approx((at + 5, at - 5), abs=degree)
    assert found.mean == pytest.approx(exact, rel=1e-8)
    assert 0.85 * speed < found.mean < speed


def test_the_ten_degrees_never_reach_past_tdc():
    # A clearance of 0.02 mm has its peak within five degrees of TDC: the ten nearest it on this side count.
    found = squish_velocity(Crank(54, 110), 54, 0.5, 0.02, 8.8, 9_000)

    assert found.at < 5
    assert (found.since, found.until) == (10.0, 0.0)


def test_velocity_goes_with_the_speed():
    # SV-7: scootering.com, squish velocity, piece 3: 22 m/s at 9000 prints as 29 at 12 000.
    slow, fast = (squish_velocity(Crank(54, 110), 54, 0.5, 0.8, 8.8, rpm).peak for rpm in (9_000, 12_000))

    assert 22 * fast / slow == pytest.approx(29, abs=0.5)
    assert fast / slow == pytest.approx(4 / 3, rel=1e-12)


@pytest.mark.parametrize(
    ("bore", "stroke", "rod", "clearance", "chamber", "rpm", "over", "at", "per_cent"),
    [
        (54, 54, 110, 0.8, 8.8, 12_000, 54.493, 12.310, 46),
        (47, 34, 58, 0.5, 7.0, 9_500, 38.402, 12.037, 26),
    ],
)
def test_leaving_the_volume_factor_out_would_over_read(bore, stroke, rod, clearance, chamber, rpm, over, at, per_cent):
    # SV-8, derived: without V/(A z + V) the sum reads 46 and 26 per cent too much; ours does not.
    value, where = peak_of(stroke, rod, 0.0, bore, 0.5, clearance, chamber, rpm, volume_factor=False)
    found = squish_velocity(Crank(stroke, rod), bore, 0.5, clearance, chamber, rpm).peak

    assert value == pytest.approx(over, abs=metres_per_second)
    assert where == pytest.approx(at, abs=degree)
    assert 100 * (value / found - 1) == pytest.approx(per_cent, abs=0.7)


def test_a_search_of_its_own_finds_the_same_peak_on_random_engines():
    random = np.random.default_rng(21)
    for _ in range(200):
        bore = float(random.uniform(30, 80))
        stroke = bore * float(random.uniform(0.7, 1.2))
        rod, offset = stroke * float(random.uniform(1.6, 2.3)), stroke * float(random.uniform(-0.04, 0.04))
        share, clearance = float(random.uniform(0.2, 0.7)), float(random.uniform(0.25, 2.5))
        chamber = disc_cc(bore, stroke) / float(random.uniform(6, 14)) + disc_cc(bore, clearance)
        engine = (stroke, rod, offset, bore, share, clearance, chamber, float(random.uniform(4_000, 15_000)))
        value, where = peak_of(*engine)
        found = squish_velocity(Crank(stroke, rod, offset), bore, share, clearance, chamber, engine[-1])

        assert found.peak == pytest.approx(value, rel=1e-6)
        assert found.at == pytest.approx(where, abs=degree)


def test_a_clearance_that_fills_the_whole_chamber_is_refused():
    # Geometry: 2.0 mm over a 54 bore are 4.58 cc.
    with pytest.raises(ValueError, match="fills more than the chamber"):
        squish_velocity(Crank(54, 110), 54, 0.5, 2.0, 4.5, 9_000)


# -- in the state of an engine -------------------------------------------------------------------------------------


def test_the_state_takes_the_share_from_the_band_and_the_squish_and_chamber_as_they_become():
    # SV-1 and SV-3 through the band's width: a gasket 0.9 mm thicker turns 0.8 into 1.7 mm, its volume added.
    width = width_of(54, 0.5)
    thick = state_of(Engine(bore=54, stroke=54, rod=110, chamber_cc=8.8, squish_band=width, rpm=12_000), 0.5, 0.8, 0.0)
    added = Engine(bore=54, stroke=54, rod=110, chamber_cc=8.8 - disc_cc(54, 0.9), squish_band=width, rpm=12_000)

    assert thick.velocity.peak == pytest.approx(37.275, abs=metres_per_second)
    assert thick.squish_share == pytest.approx(0.5, abs=1e-12)
    assert state_of(added, 1.4, 1.7, 0.9).velocity.peak == pytest.approx(16.092, abs=metres_per_second)


@pytest.mark.parametrize("missing", ["rod", "rpm", "chamber_cc", "squish_band"])
def test_without_all_it_needs_no_velocity_is_shown(missing):
    given = {"bore": 54, "stroke": 54, "rod": 110, "chamber_cc": 8.8, "squish_band": 7.9, "rpm": 12_000}

    assert state_of(Engine(**given), 0.5, 0.8, 0.0).velocity is not None
    assert state_of(Engine(**{**given, missing: None}), 0.5, 0.8, 0.0).velocity is None


# -- the band of clearances that a job wants, and what is recommended ----------------------------------------------


def answer(text: str, *stock: str, **options):
    found = evaluate(parse_job("\n[[stock]]\n".join([f'units = "mm"\n[squish]\n{text}', *stock])), **options).squish
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("one", "other", "first", "second"),
    [
        ("[0.42, 0.5, 0.7]", "[0.245]", "1 x a", "2 x b"),  # the nearer, though its odds of the band are less
        ("[0.53]", "[0.25]", "2 x b", "1 x a"),  # the nearer, though of more sheets
        ("[0.50]", "[0.25]", "1 x a", "2 x b"),  # as near: fewer sheets
        ("[0.53]", "[0.51]", "1 x b", "1 x a"),
        ("[0.49]", "[0.52]", "1 x a", "1 x b"),
    ],
)
def test_nearest_to_the_target_first_then_fewest_sheets(one, other, first, second):
    # 0.40 bare and a target of 0.90, so 0.50 is wanted.
    found = answer(
        'measured = "0.4 mm +- 0.01"\ntarget = 0.9',
        *(f'name = "{n}"\nfitted = {f}' for n, f in (("a", one), ("b", other))),
    )

    assert [choice.words for choice in found.choices[:2]] == [first, second]
    assert found.best == found.choices[0]


@pytest.mark.parametrize(
    ("given", "band"),
    [
        ("target = 0.5", (0.4, 0.6)),  # our choice: a tenth either side
        ("target = 0.5\nleast = 0.45", (0.45, 0.55)),  # a floor mirrors
        ("target = 0.5\nmost = 0.8", (0.4, 0.8)),
        ("target = 0.5\nleast = 0.42\nmost = 0.8", (0.42, 0.8)),
        ("target = 0.06", (0.0, 0.12)),  # never below contact
    ],
)
def test_the_band_is_the_user_s_as_far_as_he_says(given, band):
    assert answer(f"measured = 0.9\n{given}").band == pytest.approx(band, abs=1e-12)


@pytest.mark.parametrize(
    ("sigma", "least", "target", "most", "sheet", "best"),
    [
        (0.005, 0.40, 0.42, 0.60, "[0.10]", "no gasket"),  # 0.42 bare is the target itself
        (0.020, 0.40, 0.42, 0.60, "[0.10]", "1 x can"),  # 16 % of such bare engines lie under 0.40
        (0.020, 0.40, 0.42, 0.60, "[0.50]", None),  # the same, more than a fortieth, and no other choice
        (0.0101, 0.40, 0.42, 0.60, "[0.10]", "no gasket"),  # 2.4 % under the floor
        (0.0103, 0.40, 0.42, 0.60, "[0.10]", "1 x can"),  # 2.6 %
        (0.005, 0.43, 0.43, 0.60, "[0.10]", "1 x can"),  # 0.42 is under the floor
        (0.005, 0.53, 0.53, 0.60, "[0.10]", None),  # 0.52 as well
        (0.005, 0.50, 0.70, 0.80, "[0.1, 0.4, 0.4]", None),  # seven in eight lie in the band, the likeliest does not
        (0.005, 0.50, 0.80, 0.85, "[0.39, 0.40, 0.80]", "1 x can"),  # the likeliest lies in the band, though few do
    ],
)
def test_only_what_is_likely_and_safe_is_recommended(sigma, least, target, most, sheet, best):
    wanted = f'measured = "0.42 mm +- {sigma}"\ntarget = {target}\nleast = {least}\nmost = {most}'
    found = answer(wanted, f'name = "can"\nfitted = {sheet}\nsheets = 1')

    assert (found.best.words if found.best else None) == best


def test_a_thickness_that_is_asked_for_is_refused_under_the_floor():
    job = "measured = 0.90\ngasket_present = 0.50\ntarget = 0.60\nleast = 0.55"
    (stop,) = [finding for finding in answer(job, gasket=0.10).findings if finding.weight == "stop"]

    assert (stop.rule, stop.found, stop.wanted) == ("squish", pytest.approx(0.50), 0.55)
    assert answer(job, gasket=0.16).findings == ()


@pytest.mark.parametrize(("squish", "sigma"), [(0.58, 0.2), (0.42, 0.2), (0.45, 0.2), (0.70, 0.01)])
def test_without_a_sheet_the_answer_never_asks_for_less_than_nothing(squish, sigma):
    # Band 0.40 to 0.60 round 0.50: too much is metal off, too little a spacer, however unsure the clearance is.
    found = answer(f'measured = "{squish} mm +- {sigma}"\ntarget = 0.50')

    assert found.verdict is (SquishVerdict.MACHINE if squish > 0.5 else SquishVerdict.SPACER)
    assert f"{abs(squish - 0.5):.2f} mm" in squish_sentence(found)
    assert "-0." not in squish_sentence(found)


def test_with_sealant_and_no_sheet_the_target_is_still_what_comes_out():
    # Arithmetic: 0.40 bare, 0.03 of film and 0.07 of spacer are the target of 0.50.
    found = answer("measured = 0.40\ntarget = 0.50\nleast = 0.48\nsealant = [0.02, 0.03, 0.05]")

    assert found.needed == pytest.approx(0.07, abs=1e-9)
    assert found.after.squish == pytest.approx(0.50, abs=1e-9)
    assert [finding for finding in found.findings if finding.weight == "stop"] == []
