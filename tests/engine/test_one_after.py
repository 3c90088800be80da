"""One "after": gasket and work together, from one engine, wherever it is read."""

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.worked import TakenOff, with_work
from gasketcut.engine.squish.compression import disc_cc
from gasketcut.errors import JobError
from gasketcut.job.model import Engine
from gasketcut.job.ports import PortTiming

degree = 1e-6

ENGINE = """
title = "Hay rake"
units = "mm"
[engine]
bore = 44
stroke = 34
rod = 58
chamber_cc = 6.2
rpm = 9500
squish_band = 6.4
[engine.ports]
exhaust = { opens = "104.5 deg", width = 26, height = 11, corner = 3, centre = "90 deg" }
transfer = { opens = "122.9 deg", width = 12, height = 6, centre = "0 deg" }
intake = { kind = "piston-port", opens = "75 deg", width = 20, height = 9, centre = "270 deg", floor = 48 }
[squish]
target = 0.508
least = 0.40
gasket_present = 0.50
readings = [{ at = "left", value = 0.92 }, { at = "right", value = 0.92 }]
[[stock]]
name = "can sheet"
thickness = 0.10
fitted = [0.095, 0.10, 0.105]
"""
WORK = '[[work]]\nport = "exhaust"\nduration = "165 deg"\n'


def answer(text: str):
    found = evaluate(parse_job(text)).squish
    assert found is not None
    return found


# -- the engine as the work leaves it ------------------------------------------------------------------------------


def test_after_is_with_the_work():
    # Found by a builder: the work wants 165 deg, and table, ratio, pressure and blowdown went on with 151.
    found = answer(ENGINE + WORK)
    x = Crank(34, 58).travel(97.5)
    chamber = 6.2 - disc_cc(44, 0.4)

    assert found.after.ports["exhaust"].duration == pytest.approx(165, abs=degree)
    assert found.after.trapped == pytest.approx(disc_cc(44, x) / chamber + 1, rel=1e-9)
    assert found.after.gauge_kpa == pytest.approx(
        [101.325 * (found.after.trapped**exponent - 1) for exponent in (1.2, 1.3)], rel=1e-9
    )
    assert found.after.blowdown == pytest.approx(found.after.ports["transfer"].opens - 97.5, abs=degree)


def test_the_gasket_alone_is_what_the_job_without_the_work_comes_to():
    plain, found = answer(ENGINE), answer(ENGINE + WORK)

    assert plain.gasket_only is None
    assert found.gasket_only == plain.after
    assert found.before == plain.before


def test_a_wheel_without_a_squish_shows_the_work():
    text = ENGINE.split("[squish]", maxsplit=1)[0] + WORK
    turns = {(one.port, one.what): one.new for one in evaluate(parse_job(text)).events}

    assert turns["exhaust", "opens"] == pytest.approx(97.5, abs=degree)
    assert turns["transfer", "opens"] is None


@pytest.mark.parametrize("said", [{"opens": 103.0}, {"duration": 154.0}, {"travel": 23.5}, {"depth": 23.8}])
def test_a_worked_roof_port_says_its_edge_once(said):
    engine = Engine(
        bore=44, stroke=34, rod=58, deck=0.3,
        ports=(PortTiming(name="exhaust", kind="exhaust", width=26, height=11, floor=35.0, corner=3, **said),),
    )  # fmt: skip
    before = engine.ports[0]
    (port,) = with_work(engine, [TakenOff(port="exhaust", removed=0.5, widened=1.0)]).ports
    crank = Crank(34, 58)
    edge = crank.travel(103.0) if {"opens", "duration"} & set(said) else 23.5

    assert (port.opens, port.duration, port.depth) == (None, None, None)
    assert port.travel == pytest.approx(edge - 0.5, abs=1e-9)
    assert (port.width, port.height, port.floor) == (27, 11.5, 35.0)
    assert port.area == pytest.approx(before.area + 27 * 11.5 - 26 * 11, abs=1e-9)


def test_a_worked_intake_has_its_floor_lower():
    port = PortTiming(name="intake", kind="piston-port", travel=14.0, depth=47.0, height=9, width=20, area_mm2=170)
    engine = Engine(bore=44, stroke=34, rod=58, ports=(port,))
    (worked,) = with_work(engine, [TakenOff(port="intake", removed=0.5)]).ports

    assert (worked.travel, worked.floor, worked.depth, worked.height) == (14.5, 47.5, None, 9.5)
    assert worked.area == pytest.approx(170 + 0.5 * 20, abs=1e-9)


def test_no_work_leaves_the_engine_as_it_is():
    engine = Engine(bore=44, stroke=34, rod=58, ports=(PortTiming(name="exhaust", kind="exhaust", opens=103.0),))

    assert with_work(engine, [TakenOff(port="exhaust")]) == engine


# -- a goal that is exceeded already -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("port", "wanted", "do"), [("exhaust", 140, "less under the cylinder"), ("intake", 120, "more under the cylinder")]
)
def test_a_duration_already_exceeded_is_a_finding_and_costs_no_answer(port, wanted, do):
    plain = answer(ENGINE)
    found = answer(ENGINE + f'[[work]]\nport = "{port}"\nduration = "{wanted} deg"\n')
    (said,) = [one for one in found.findings if one.wanted == wanted]

    assert (said.rule, said.weight, said.unit) == ("port", "warn", "deg")
    assert said.found == pytest.approx(plain.after.ports[port].duration, abs=degree)
    assert do in said.do
    assert found.work[0].removed == 0
    assert found.after == plain.after
    assert found.choices == plain.choices


def test_the_window_is_widened_all_the_same():
    (one,) = answer(ENGINE + '[[work]]\nport = "exhaust"\nduration = "140 deg"\nwiden = 1.0\n').work

    assert (one.removed, one.widened) == (0, 1.0)


def test_a_duration_that_stands_already_is_no_finding():
    now = answer(ENGINE).after.ports["exhaust"].duration
    found = answer(ENGINE + f'[[work]]\nport = "exhaust"\nduration = "{now - 0.04:.4f} deg"\n')

    assert [one for one in found.findings if one.rule == "port"] == []


def test_work_on_a_port_that_no_piston_edge_times_is_refused():
    text = ENGINE.replace('kind = "piston-port", opens', 'kind = "rotary", opens')
    with pytest.raises(JobError, match="no edge of the piston times port 'intake'"):
        answer(f'{text}[[work]]\nport = "intake"\nremove = 0.5\n')


@pytest.mark.parametrize("sheet", ["wheel", "stencil"])
def test_wheel_and_stencil_say_it_too_without_a_squish(command, sheet):
    work = '[[work]]\nport = "exhaust"\nduration = "140 deg"\n'
    done = command(sheet, "job.toml", text=ENGINE.split("[squish]", maxsplit=1)[0] + work)

    assert (done.returncode, done.stderr) == (0, "")
    assert "warn  job: port 'exhaust' is open for 151.0 deg already" in done.stdout
