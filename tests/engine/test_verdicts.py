"""What the engine room answers with: one word from a list, and each fact once."""

from math import pi

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.squish.compression import swept_cc
from gasketcut.engine.squish.cranking import GaugeVerdict, cranking_pressure
from gasketcut.engine.squish.verdict import SquishVerdict
from gasketcut.engine.stack.clamped import Origin
from gasketcut.job.model import Engine
from gasketcut.output.text.choice import squish_sentence
from gasketcut.pressure import PSI, kpa_and_psi

SHELF = """units = "mm"
[squish]
measured = "0.40 mm +- 0.005"
target = {target}
[[stock]]
name = "NBR sheet"
fitted = [0.10]
"""


@pytest.mark.parametrize(
    ("target", "verdict", "words"),
    # 0.40 bare and sheets of 0.10.
    [
        (0.40, SquishVerdict.NO_GASKET, "no gasket gives a squish of 0.40 mm"),
        (0.50, SquishVerdict.ONE_SHEET, "1 x NBR sheet gives a squish of 0.50 mm"),
        (0.60, SquishVerdict.STACK, "2 x NBR sheet gives a squish of 0.60 mm"),
        (0.20, SquishVerdict.MACHINE, "take off 0.20 mm"),
        (2.40, SquishVerdict.SPACER, "needs a spacer of 2.00 mm"),
    ],
)
def test_each_answer_has_its_word_and_its_sentence(target, verdict, words):
    found = evaluate(parse_job(SHELF.format(target=target))).squish

    assert found.verdict is verdict
    assert words in squish_sentence(found)


@pytest.mark.parametrize(
    ("trapped", "verdict"),
    # 187.1 psi stand for 7.5 with an exponent of 1.3 (an encyclopaedia's example) and for 8.9 with 1.2.
    [(6.5, GaugeVerdict.MORE), (8.0, GaugeVerdict.AGREES), (10.0, GaugeVerdict.LESS), (None, None)],
)
def test_a_gauge_against_the_volumes(trapped, verdict):
    found = cranking_pressure(Engine(bore=44, gauge_kpa=187.1 * PSI), trapped)

    assert found.ratios == pytest.approx((7.5, 8.9), abs=0.05)
    assert (found.trapped, found.verdict) == (trapped, verdict)


def test_no_gauge_no_word_on_it():
    assert cranking_pressure(Engine(bore=44), 8.0) is None


def test_pressures_are_shown_in_both_systems():
    # 1 psi is 6.894757 kPa.
    assert (kpa_and_psi(1290.0), kpa_and_psi(800.0, 900.0)) == ("1290 kPa (187 psi)", "800-900 kPa (116-131 psi)")


def test_the_swept_volume_goes_by_the_piston_s_travel():
    # Geometry: with the pin off the axis the piston travels farther than the stroke.
    crank = Crank(34.0, 58.0, 2.0)

    assert crank.full_travel > 34.0
    assert swept_cc(Engine(bore=44, stroke=34, rod=58, pin_offset=2.0)) == pytest.approx(
        pi / 4 * 44**2 * crank.full_travel / 1000
    )
    assert swept_cc(Engine(bore=44, stroke=34)) == pytest.approx(pi / 4 * 44**2 * 34 / 1000)
    assert swept_cc(Engine(bore=44)) is None


JOINTS = """units = "mm"
[clamp]
bolts = 4
size = "M5"
torque_nm = 1.0
area_mm2 = 1307
[[stock]]
name = "paper"
thickness = 0.50
material = "cellulose-nbr"
[[part]]
name = "base"
kind = "base"
stock = "paper"
outline = { round = 60.0 }
opening = { round = 44.0 }
[[part]]
name = "plate"
kind = "spacer"
of = "base"
stock = "paper"
[[part]]
name = "intake"
kind = "intake"
stock = "paper"
outline = { round = 40.0 }
opening = { round = 20.0 }
"""


def test_the_bolts_of_the_base_press_what_lies_under_the_cylinder():
    # M5 at 1 N m, K 0.2: 1000 N each, 4000 N on pi/4 (60^2 - 44^2) mm2 are 3.06 MPa, below the 6.9 MPa of the test: the
    # sheet lies between its nominal and the least compression of 16 %.
    job = parse_job(JOINTS)
    fitted = evaluate(job).fitted
    base, plate, intake = (fitted.of_part(part, job) for part in job.parts)

    assert fitted.load.stress == pytest.approx(3.061, abs=0.001)
    assert base == plate
    assert (base.range, base.origin) == ((0.42, 0.46, 0.5), Origin.PRESSED_LESS)
    assert (intake.range, intake.origin) == ((0.37, 0.395, 0.42), Origin.TESTED)


def test_the_squish_and_the_parts_have_one_thickness():
    found = evaluate(parse_job(JOINTS + "[squish]\nmeasured = 0.45\ntarget = 0.9\n"))

    assert found.squish.fitted is found.fitted
    assert found.squish.choices[0].fitted[1] == found.fitted.base["paper"].range[1]


def test_a_top_end_of_which_nothing_is_said():
    found = evaluate(parse_job('units = "mm"\n')).topend

    assert {name: getattr(found, name) for name in found.__slots__ if getattr(found, name) is not None} == {}
