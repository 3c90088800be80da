"""Volumes, both compression ratios and gauge pressure against published figures, and their published slips."""

import re

import pytest

from gasketcut import JobError, evaluate, parse_job
from gasketcut.engine.squish.compression import atmosphere_kpa, disc_cc, gauge_kpa, ratio, ratio_from_gauge
from gasketcut.engine.squish.effects import state_of
from gasketcut.job.model import Engine, PortTiming
from gasketcut.pressure import PSI

printed_cc = 0.05
ATMOSPHERE = 14.7 * PSI  # as the source of CP-1 takes it


# -- volumes and the full-stroke ratio -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bore", "stroke", "cc"),
    [
        (64, 54, 173.717),  # CR-1: woonkymobile.info, calculating the compression (173.7)
        (65, 54, 179.189),  # CR-2: same (179.2)
        (54, 54.5, 124.817),  # CR-4: bore and stroke from a kart homologation, docplayer.net/20832385; cc geometry
        (87, 69, 410.2),  # CR-5: qualitygermanautoparts.com, formulas (1640.7 for four)
    ],
)
def test_swept_volume(bore, stroke, cc):
    assert disc_cc(bore, stroke) == pytest.approx(cc, abs=printed_cc)


def test_a_rebore_by_a_millimetre_as_posted():
    # C05: posted 173.7 and 179.2 cc a cylinder.
    assert [round(disc_cc(bore, 54), 1) for bore in (64, 65)] == [173.7, 179.2]


@pytest.mark.parametrize(
    ("swept", "chamber", "expected", "tolerance"),
    [
        # CR-3: mototune14.blogspot.fr/2011/02/cylinder-head-part2.html (Bell): 54 x 54 at 15:1 leaves 8.8 cc.
        (disc_cc(54, 54), 8.834, 15.0, 0.005),
        # CR-4: chamber of 8.9 cc from the homologation; ratio geometry.
        (disc_cc(54, 54.5), 8.9, 15.024, 0.005),
        # CR-5: head 50 cc and 9.06 cc of deck; printed 7.95.
        (disc_cc(87, 69), 50 + 9.06, 7.946, 0.01),
    ],
)
def test_full_stroke_ratio(swept, chamber, expected, tolerance):
    assert ratio(swept, chamber) == pytest.approx(expected, abs=tolerance)


def test_the_published_slip_of_one_is_not_repeated():
    # CR-6: autoviceservice.com/blog/compression-ratio prints 9.48 for swept 527.47, deck 9.65, head 46: it forgot the
    # chamber on top. Geometry: 10.478.
    found = ratio(527.47, 9.65 + 46)

    assert found == pytest.approx(10.478, abs=0.001)


def test_half_a_millimetre_under_a_66_bore():
    # CR-7, geometry.
    assert disc_cc(66, 0.5) == pytest.approx(1.7106, abs=0.001)


# -- the trapped ratio ---------------------------------------------------------------------------------------------


def engine_66(chamber: float, **more) -> Engine:
    return Engine(
        bore=66,
        stroke=57,
        rod=110,
        chamber_cc=chamber,
        ports=(PortTiming(name="exhaust", kind="exhaust", travel=33.0),),
        **more,
    )


@pytest.mark.parametrize(
    ("chamber", "raised", "chamber_after", "full", "trapped"),
    [
        (18, 0.0, 18.0, 11.834, 7.272),  # TR-1, geometry
        (20, 0.0, 20.0, 10.750, 6.645),  # TR-2, geometry
        (22, 0.0, 22.0, 9.864, 6.132),  # TR-3, geometry
        (20, 0.5, 21.711, 9.982, 6.121),  # TR-4, geometry: TR-2 with the cylinder 0.5 mm up
        (20, -0.5, 18.289, 11.662, 7.266),  # TR-5, geometry: TR-2 without its 0.5 mm gasket
    ],
)
def test_both_ratios_from_full_stroke_and_from_the_closing_exhaust(chamber, raised, chamber_after, full, trapped):
    state = state_of(engine_66(chamber), 0.5 + raised, 1.0 + raised, raised)

    assert state.chamber_cc == pytest.approx(chamber_after, abs=0.001)
    assert state.full_stroke == pytest.approx(full, abs=0.002)
    assert state.trapped == pytest.approx(trapped, abs=0.002)
    assert state.ports["exhaust"].travel == pytest.approx(33.0 - raised, abs=1e-12)


def test_swept_and_trapped_volumes_of_that_engine():
    # Heading of the TR rows, geometry: 195.008 and 112.899 cc.
    assert disc_cc(66, 57) == pytest.approx(195.008, abs=0.001)
    assert disc_cc(66, 33.0) == pytest.approx(112.899, abs=0.001)


def test_an_offset_pin_sweeps_more_than_its_stroke_says():
    # Geometry: OF-3, a throw of 20 with its pin 2 mm off sweeps 40.01334 mm.
    engine = Engine(bore=48, stroke=40, rod=80, pin_offset=2.0, chamber_cc=8.0)

    assert state_of(engine, 0, 1, 0).full_stroke == pytest.approx(disc_cc(48, 40.01334) / 8 + 1, abs=1e-5)


def test_a_chamber_that_the_lowering_takes_away_is_refused():
    with pytest.raises(ValueError, match="leaves no chamber"):
        state_of(engine_66(1.5), 0.0, 0.5, -0.5)


# -- a ratio that somebody stated ----------------------------------------------------------------------------------


def remark_on(stated: float, chamber: float) -> str:
    """What is said of a stated ratio of the posted 223 cc kit: 65 x 67.2 mm is 222.99 cc (bore and stroke are ours)."""
    job = parse_job(
        f'units = "mm"\n[squish]\nmeasured = 1.2\ntarget = 1.2\n'
        f"[engine]\nbore = 65\nstroke = 67.2\nchamber_cc = {chamber}\nratio = {stated}"
    )
    found = evaluate(job).squish
    assert found is not None
    return " ".join(finding.text for finding in found.findings if finding.rule == "ratio")


@pytest.mark.parametrize(
    ("chamber", "posted", "short", "full"),
    [
        (18, 12.4, 12.39, 13.39),  # C04: posted without the chamber on top
        (22, 10.0, 10.14, 11.14),
    ],
)
def test_a_posted_ratio_without_its_own_chamber_is_named_and_put_right(chamber, posted, short, full):
    # C04: a 223 cc scooter kit with two heads; both conventions beside each other.
    said = remark_on(posted, chamber)

    assert ratio(223, chamber) == pytest.approx(full, abs=0.005)
    assert ratio(223, chamber) - 1 == pytest.approx(short, abs=0.005)
    assert "swept over chamber" in said
    assert "full-stroke ratio" in said
    assert f"{posted:g}" in said
    assert f"{full:.2f}" in re.findall(r"\d+\.\d+", said)
    assert remark_on(full, chamber) == ""


def test_a_stated_ratio_that_is_neither_is_doubted():
    assert "neither" in remark_on(16.0, 18)


# -- cranking pressure ---------------------------------------------------------------------------------------------

CRANKING = [
    # CP-1: an encyclopaedia's "Compression ratio", altsci.com/3/p/Compression%20ratio/37.
    (7.5, 1.3, 187.1),
    # CP-2 and CP-3, arithmetic.
    *zip((6, 6.5, 7, 8), [1.3] * 4, (136.3, 152.8, 169.8, 204.7), strict=True),
    *zip((6, 6.5, 7, 8), [1.2] * 4, (111.5, 124.2, 137.2, 163.5), strict=True),
]


@pytest.mark.parametrize(("trapped", "exponent", "psi"), CRANKING)
def test_gauge_pressure_of_a_ratio(trapped, exponent, psi):
    found = gauge_kpa(trapped, exponent, ATMOSPHERE)

    assert found / PSI == pytest.approx(psi, abs=0.1)
    assert ratio_from_gauge(found, exponent, ATMOSPHERE) == pytest.approx(trapped, abs=1e-9)


def test_cranking_in_atmospheres_and_absolute():
    # CP-1 again: 13.727 atmospheres, 201.8 psi absolute.
    absolute = gauge_kpa(7.5, 1.3, ATMOSPHERE) + ATMOSPHERE

    assert absolute / ATMOSPHERE == pytest.approx(13.727, abs=0.001)
    assert absolute / PSI == pytest.approx(201.8, abs=0.1)


@pytest.mark.parametrize(("psi", "trapped"), [(120, 5.50), (135, 5.96), (165, 6.86), (200, 7.87)])
def test_ratio_that_a_gauge_stands_for(psi, trapped):
    # CP-4, arithmetic on Jennings' band as quoted at blasterforum.com/threads/50038/post-632722.
    assert ratio_from_gauge(psi * PSI, 1.3, ATMOSPHERE) == pytest.approx(trapped, abs=0.01)


def test_the_state_shows_gauge_pressure_as_a_range_of_real_exponents():
    # The encyclopaedia's article gives 1.2 to 1.3; arithmetic p (CR^n - 1) at sea level, 101.325 kPa.
    state = state_of(engine_66(20), 0.5, 1.0, 0.0)

    assert state.trapped is not None
    assert state.gauge_kpa == pytest.approx([101.325 * (state.trapped**n - 1) for n in (1.2, 1.3)], rel=1e-9)


@pytest.mark.parametrize(
    ("metres", "geopotential", "geometric"),
    [
        # ISO 2533 (ICAO Doc 7488), hPa by either height.
        (0, 1013.250, 1013.250),
        (500, 954.608, 954.613),
        (1000, 898.746, 898.763),
        (1500, 845.560, 845.597),
        (2000, 794.952, 795.014),
        (2500, 746.825, 746.917),
        (3000, 701.085, 701.211),
    ],
)
def test_air_pressure_of_the_standard_atmosphere(metres, geopotential, geometric):
    assert 10 * atmosphere_kpa(metres) == pytest.approx(geopotential, abs=0.001)
    assert 10 * atmosphere_kpa(metres) == pytest.approx(geometric, abs=0.2)


@pytest.mark.parametrize(
    ("feet", "hpa"), [(1000, 977.166), (3000, 908.117), (5000, 843.073), (8000, 752.624), (10_000, 696.816)]
)
def test_air_pressure_at_feet(feet, hpa):
    # ISO 2533, by geopotential height; the job's key, all the way to the engine.
    engine = parse_job(f"[engine]\nbore = '44 mm'\naltitude_ft = {feet}\n").engine

    assert engine.altitude_m == pytest.approx(0.3048 * feet, rel=1e-12)
    assert 10 * atmosphere_kpa(engine.altitude_m) == pytest.approx(hpa, abs=0.001)


@pytest.mark.parametrize(("metres", "psi"), [(0, 169.73), (1000, 150.55), (2000, 133.16), (3000, 117.44)])
def test_cranking_pressure_at_an_altitude(metres, psi):
    # Trapped ratio 7 at exponent 1.3 under the pressures of ISO 2533; arithmetic.
    assert gauge_kpa(7.0, 1.3, atmosphere_kpa(metres)) / PSI == pytest.approx(psi, abs=0.005)


def test_an_altitude_said_in_metres_and_in_feet_is_one_too_many():
    with pytest.raises(JobError) as caught:
        parse_job("[engine]\nbore = '44 mm'\naltitude_m = 450\naltitude_ft = 1480\n")

    (fault,) = caught.value.faults
    assert (fault.line, fault.key) == (4, "engine.altitude_ft")
    assert "is given as altitude_m already; keep one" in fault.message


def test_thin_air_lowers_the_gauge_and_not_the_ratio():
    low, high = (state_of(engine_66(20, altitude_m=metres), 0.5, 1.0, 0.0) for metres in (0.0, 2000.0))

    assert low.gauge_kpa is not None
    assert high.gauge_kpa is not None
    assert high.trapped == low.trapped
    assert high.gauge_kpa[1] / low.gauge_kpa[1] == pytest.approx(794.952 / 1013.25, rel=1e-5)


@pytest.mark.parametrize(("psi", "word"), [(100, "leaks"), (145, "the volumes give 6.6"), (260, "again")])
def test_a_gauge_reading_is_held_against_the_volumes(psi, word):
    # TR-2 has a trapped ratio of 6.645, which is 132 to 158 psi; 100 leaks, 260 doubts the chamber.
    job = parse_job(
        'units = "mm"\n[squish]\nmeasured = 1.0\ntarget = 1.0\n[engine]\nbore = 66\nstroke = 57\nrod = 110\n'
        f"chamber_cc = 20\ngauge_psi = {psi}\n[engine.ports]\nexhaust = {{ travel = 33.0 }}"
    )
    found = evaluate(job).squish
    assert found is not None
    said = [finding for finding in found.findings if finding.rule == "compression"]

    assert len(said) == 1
    assert word in said[0].text + said[0].do
    assert said[0].weight == ("note" if psi == 145 else "warn")


# -- the crankcase -------------------------------------------------------------------------------------------------


def crankcase(said: str, bore_and_stroke: str = "bore = 47.0\nstroke = 32.6\nrod = 59.2"):
    job = f'units = "mm"\n[engine]\n{bore_and_stroke}\n{said}\n[squish]\nmeasured = 0.9\ntarget = 0.9\n'
    found = evaluate(parse_job(job)).squish
    assert found is not None
    return found


def test_the_crankcase_ratio_goes_by_where_the_piston_stood():
    # Arithmetic: 56.5591921 cc swept, 100 cc at BDC or at TDC.
    at_bdc, at_tdc = (crankcase(f'crankcase_cc = 100\ncrankcase_at = "{at}"').crankcase for at in ("BDC", "TDC"))

    assert disc_cc(47, 32.6) == pytest.approx(56.5591921, abs=1e-7)
    assert (at_bdc.ratio, at_tdc.ratio) == pytest.approx((1.565592, 2.301983), abs=1e-6)
    assert (at_bdc.at_tdc, at_tdc.at_bdc) == pytest.approx((2.301983, 1.565592), abs=1e-6)


def test_a_ratio_of_one_and_a_half_is_its_volume():
    assert crankcase('crankcase_cc = 113.118384\ncrankcase_at = "BDC"').crankcase.ratio == pytest.approx(1.5, abs=1e-7)


def test_where_the_piston_stood_is_asked_for():
    answer = crankcase("crankcase_cc = 100")
    (asked,) = [one for one in answer.findings if one.rule == "crankcase"]

    assert answer.crankcase.ratio is None
    assert asked.weight == "warn"
    assert "1.57 : 1 if the piston stood at BDC, 2.30 : 1 at TDC" in asked.text
    assert 'crankcase_at = "BDC"' in asked.do


def test_less_at_tdc_than_is_swept_cannot_be():
    (asked,) = [one for one in crankcase('crankcase_cc = 50\ncrankcase_at = "TDC"').findings if one.rule == "crankcase"]

    assert "50 cc at TDC is no more than the 56.6 cc that the piston sweeps" in asked.text
    assert (asked.found, asked.unit) == (50.0, "cc")


def test_an_odd_crankcase_ratio_is_asked_about_once():
    found = [one.text for one in crankcase('crankcase_cc = 100\ncrankcase_at = "TDC"').findings]

    assert sum("is a crankcase ratio of 2.30; usual is 1.2 to 1.8" in text for text in found) == 1
