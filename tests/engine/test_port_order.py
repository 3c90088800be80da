"""What is found of the ports as they will stand: blowdown, an early exhaust, floors, skirt; and what is never said."""

import json

import pytest

from gasketcut import JobError, evaluate, parse_job
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.squish.effects import state_of
from gasketcut.job.model import Engine, PortTiming
from gasketcut.output.text.squish import squish_text

CRANK = Crank(34, 58)
EXHAUST = 'exhaust = { opens = "103 deg", width = 26.0, height = 11.0 }'
TRANSFER = 'transfer = { opens = "121 deg", width = 14.0, height = 6.5 }'


def job(*ports: str, engine: str = "", squish: str = "measured = 0.92\ngasket_present = 0.5\ntarget = 0.92", work=""):
    lines = "\n".join(ports or (EXHAUST, TRANSFER))
    sizes = "bore = 44.0\nstroke = 34.0\nrod = 58.0\nrpm = 9500\nchamber_cc = 6.2\nsquish_band = 6.4"
    wanted = f"[squish]\n{squish}\n" if squish else ""
    return f'units = "mm"\n[engine]\n{sizes}\n{engine}\n[engine.ports]\n{lines}\n{wanted}{work}'


def squish_of(*ports, **more):
    return evaluate(parse_job(job(*ports, **more))).squish


def found(rule, *ports, **more):
    return [one for one in evaluate(parse_job(job(*ports, **more))).findings if one.rule == rule]


# -- blowdown ------------------------------------------------------------------------------------------------------


def test_work_that_opens_the_transfer_before_the_exhaust_is_a_stop():
    # Found 6: 132 degrees of transfer open at 114, of the law of the crank 154 of exhaust at 103; 160 at 100.
    (stop,) = found("blowdown", work='[[work]]\nport = "transfer"\nduration = "158 deg"\n')

    assert (stop.weight, stop.unit) == ("stop", "deg")
    assert (stop.found, stop.wanted) == (pytest.approx(101.0 - 103.0, abs=1e-9), 5.0)
    assert "would open at 101.0 deg and the exhaust at 103.0 deg: a blowdown of -2.0 deg" in stop.text


@pytest.mark.parametrize(("duration", "left"), [(148.0, 3.0), (144.2, 4.9), (154.0, 0.0)])
def test_less_than_five_degrees_of_blowdown_is_a_warning(duration, left):
    (warn,) = found("blowdown", work=f'[[work]]\nport = "transfer"\nduration = "{duration} deg"\n')

    assert (warn.weight, warn.unit, warn.found) == ("warn", "deg", pytest.approx(left, abs=1e-9))


def test_five_degrees_and_more_are_not_spoken_of():
    assert found("blowdown", work='[[work]]\nport = "transfer"\nduration = "143.8 deg"\n') == []
    assert found("blowdown") == []


def test_the_gasket_counts_as_well_as_the_work():
    # 5.2 deg as measured. Geometry: a millimetre more moves a transfer by more than the exhaust.
    near = 'transfer = { opens = "108.2 deg", width = 14.0, height = 9.0 }'
    more = "measured = 0.92\ngasket_present = 0.5\ntarget = 3.92\n"
    before, after = (found("blowdown", EXHAUST, near, **said) for said in ({}, {"squish": more}))
    state = evaluate(parse_job(job(EXHAUST, near, squish=more))).squish.after

    assert before == []
    assert [one.found for one in after] == [pytest.approx(state.blowdown)]
    assert state.blowdown < 5


def test_each_transfer_is_named_by_itself():
    boost = 'boost = { opens = "125 deg", width = 9.0, height = 6.0 }'
    work = '[[work]]\nport = "boost"\nduration = "158 deg"\n[[work]]\nport = "transfer"\nduration = "148 deg"\n'
    stop, warn = found("blowdown", EXHAUST, TRANSFER, boost, work=work)

    assert ("boost" in stop.text, stop.weight) == (True, "stop")
    assert ("transfer" in warn.text, warn.weight) == (True, "warn")


def test_a_job_without_squish_is_judged_by_its_work_alone():
    (stop,) = found("blowdown", squish="", work='[[work]]\nport = "transfer"\nduration = "158 deg"\n')

    assert (stop.weight, stop.found) == ("stop", pytest.approx(-2.0, abs=1e-9))


# -- exhaust, floors -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("duration", "opens"), [(202.0, 79.0), (210.0, 75.0)])
def test_an_exhaust_that_opens_before_80_degrees_is_found(duration, opens):
    (warn,) = found("exhaust", work=f'[[work]]\nport = "exhaust"\nduration = "{duration} deg"\n')

    assert (warn.weight, warn.unit, warn.wanted) == ("warn", "deg", 80.0)
    assert warn.found == pytest.approx(opens, abs=1e-9)


def test_an_exhaust_that_opens_at_80_degrees_and_later_is_not():
    assert found("exhaust", work='[[work]]\nport = "exhaust"\nduration = "199.9 deg"\n') == []


@pytest.mark.parametrize(("raised", "weight"), [(0.0, None), (0.5, "note"), (1.5, "warn")])
def test_a_floor_that_a_spacer_lifts_above_the_crown_at_bdc_is_found(raised, weight):
    # The floor flush with the crown at BDC as measured: what the cylinder goes up, it stands above it.
    flush = f'exhaust = {{ opens = "103 deg", width = 26.0, floor = {CRANK.full_travel} }}'
    more = f"measured = 0.92\ngasket_present = 0.5\ntarget = {0.92 + raised}\n"
    said = found("floor", flush, squish=more)

    assert [one.weight for one in said] == ([weight] if weight else [])
    if weight:
        past = 360 - 2 * CRANK.after(CRANK.full_travel - raised)
        assert (said[0].found, said[0].unit) == (pytest.approx(past, abs=1e-6), "deg")
        assert f"{raised:.2f} mm" in said[0].text


def test_a_floor_that_follows_from_opening_and_height_is_judged_too():
    short = 'transfer = { opens = "121 deg", width = 14.0, height = 4.0 }'
    (warn,) = found("floor", EXHAUST, short)
    travel = float(CRANK.travel(121.0)) + 4.0

    assert "'transfer'" in warn.text
    assert warn.found == pytest.approx(360 - 2 * CRANK.after(travel), abs=1e-9)


# -- the skirt -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("said", [{"opens": 103.0}, {"travel": 23.2}, {"depth": 23.5}, {"duration": 154.0}])
def test_the_skirt_is_held_against_a_floor_that_follows_from_edge_and_height(said):
    # Found 8. Geometry: skirt + deck - (travel + deck + height).
    port = PortTiming(name="exhaust", kind="exhaust", height=11.0, **said)
    state = state_of(Engine(bore=44, stroke=34, rod=58, skirt=34.0, deck=0.3, ports=(port,)), 0.5, 0.9, -0.2)
    travel = (
        said.get("travel", said.get("depth", 0.0) - 0.3) if {"travel", "depth"} & set(said) else CRANK.travel(103.0)
    )

    assert state.skirt_cover == pytest.approx(34.0 - 0.2 - float(travel) - 11.0, abs=1e-9)


def test_a_skirt_too_short_for_a_derived_floor_is_told():
    told = found("port", engine="skirt = 33.0")

    assert [one.weight for one in told] == ["warn"]
    assert told[0].found == pytest.approx(33.0 - float(CRANK.travel(103.0)) - 11.0, abs=1e-9)
    assert "the skirt uncovers the exhaust floor by 1." in told[0].text


# -- the width rule ------------------------------------------------------------------------------------------------


def test_the_width_rule_of_the_exhaust_is_not_printed_for_a_transfer():
    # Found 14: the published shares of the bore are those of an exhaust.
    work = '[[work]]\nport = "transfer"\nwiden = 1.0\n[[work]]\nport = "exhaust"\nwiden = 1.0\n'
    text = squish_text(evaluate(parse_job(job(work=work))).squish, "t", ())
    of = {
        block.split("'")[1]: " ".join(block.split()) for block in text.split("\n\n") if block.startswith("Work on port")
    }

    assert "published: start 62%, limit 70%" in of["exhaust"]
    assert "published" not in of["transfer"]
    assert "chord" not in of["transfer"]


def test_beside_a_bar_each_opening_is_held_against_the_width_rule():
    # 34 mm of a 44 bore are 77 %, over the limit of 70 %; with a bar of 4 mm there are 15 mm on either side, 34 %.
    wide = 'exhaust = {{ opens = "103 deg", width = 34.0, height = 11.0{more} }}'
    work = '[[work]]\nport = "exhaust"\nremove = 0.2\n'
    one, other = (found("port", wide.format(more=more), work=work) for more in ("", ", bridge = 4.0"))

    assert [(said.weight, said.found) for said in one] == [("warn", pytest.approx(34 / 44))]
    assert other == []


# -- a rotary valve ------------------------------------------------------------------------------------------------

ROTARY = 'intake = { kind = "rotary", opens = "130 deg", duration = "190 deg" }'
SHEET = '\n[[stock]]\nname = "can"\nthickness = 0.1\n[[part]]\nname = "plate"\nkind = "flat"\nstock = "can"\n'


@pytest.mark.parametrize(
    "words",
    [
        ("squish",),
        ("squish", "--json"),
        ("squish", "--out", "p"),
        ("wheel", "--out", "p.pdf"),
        ("stencil", "--out", "p.pdf"),
        ("record", "--out", "p"),
        ("record", "--json"),
        ("status",),
        ("fit",),
        ("make", "--out", "p"),
    ],
)
def test_every_command_takes_a_rotary_valve(command, words):
    # Found 7. The valve has no window in the bore: no command asks for the place of one.
    said = ROTARY.replace(" }", ", width = 20.0, height = 12.0 }")
    place = 'centre = "90 deg"'
    ports = (EXHAUST.replace(" }", f", {place} }}"), TRANSFER.replace(" }", ', centre = "0 deg" }'), said)
    text = job(*ports) + SHEET + "outline = { rectangle = [60.0, 40.0] }\n"
    name, *more = words
    done = command(name, "job.toml", *more, text=text)

    assert (done.returncode, done.stderr) == (0, "")
    assert "add floor" not in done.stdout


@pytest.mark.parametrize("said", ['opens = "130 deg"', 'duration = "190 deg"', "travel = 28.0", ""])
def test_whatever_is_said_of_a_rotary_valve_the_rest_is_worked_out(said):
    place = 'centre = "90 deg"'
    valve = f'intake = {{ kind = "rotary"{", " if said else ""}{said} }}'
    evaluation = evaluate(parse_job(job(EXHAUST.replace(" }", f", {place} }}"), valve)))

    assert set(evaluation.squish.after.ports) == {"exhaust"}
    assert [window.old.name for window in evaluation.wall.windows] == ["exhaust"]
    assert evaluation.wall.left_out == ()
    assert {one.port for one in evaluation.events} == {"exhaust"} | ({"intake"} if "opens" in said else set())
    assert [one for one in evaluation.findings if "intake" in one.text] == []


def test_an_engine_whose_only_port_is_a_rotary_valve_is_worked_out(command):
    done = command("squish", "job.toml", "--json", "--out", "p", text=job(ROTARY))

    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["after"]["ports"] == {}


def test_the_wheel_draws_a_rotary_valve_as_it_was_said():
    events = [(one.what, one.old, one.new) for one in evaluate(parse_job(job(EXHAUST, ROTARY))).events
              if one.port == "intake"]  # fmt: skip

    assert events == [("opens", -130.0, None), ("closes", 60.0, None)]


def test_work_in_the_bore_on_a_rotary_valve_is_refused():
    # It was taken for a piston-ported intake, whose floor one files.
    with pytest.raises(JobError, match="no edge of the piston times port 'intake'"):
        squish_of(EXHAUST, ROTARY, work='[[work]]\nport = "intake"\nremove = 0.5\n')
