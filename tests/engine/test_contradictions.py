"""What is said twice must agree; what does not is shown with both readings and decides nothing, and the rest works."""

import pytest

from gasketcut import JobError, evaluate, parse_job, render
from gasketcut.engine.squish.consistency import contradictions

ENGINE = """units = "mm"
[engine]
bore = 44.0
stroke = 34.0
rod = 58.0
chamber_cc = 6.2
[engine.ports]
exhaust = { opens = "103 deg", width = 26.0, height = 10.5 }
transfer = { opens = "121 deg", width = 14.0, height = 5.0 }
[squish]
target = 0.5
gasket_present = 0.5
readings = [{ at = "left", value = 0.95 }, { at = "right", value = 0.95 }]
"""
PLATE = """[[part]]
name = "plate"
kind = "flat"
opening = { round = 20.0 }
outline = { round = 40.0 }
"""
EXHAUST = 'opens = "103 deg"'
# Stroke 34, rod 58: at 103 deg the piston stands 23.33 mm down, at 165 deg duration it opens at 97.5 deg.
SAID_TWICE = [
    (EXHAUST, f'{EXHAUST}, duration = "165 deg"', "exhaust.opens", ("103.0 deg", "97.5 deg")),
    (EXHAUST, f"{EXHAUST}, travel = 25.0", "exhaust.opens", ("opens = 103 deg", "travel = 25 mm says")),
    (EXHAUST, f"{EXHAUST}, depth = 25.0", "exhaust.opens", ("opens = 103 deg", "depth = 25 mm says")),
    ("rod = 58.0", 'rod = 58.0\nblowdown = "24 deg"', "blowdown", ("blowdown = 24 deg", "give 18.0 deg")),
    ("height = 10.5", "height = 13.0", "exhaust.height", ("height of 13 mm", "34.00 mm below the deck at BDC")),
    ("height = 10.5", "height = 10.5, floor = 36.0", "exhaust.floor", ("floor = 36 mm", "2.00 mm too low")),
    ("height = 10.5", "height = 10.5, area_mm2 = 400", "exhaust.area_mm2", ("area_mm2 = 400", "214 to ")),
    ("height = 10.5", "height = 10.5, corner = 3, area_mm2 = 240", "exhaust.area_mm2", ("240", "265 to ")),
    ("rod = 58.0", "rod = 58.0\nratio = 12.0", "engine.ratio", ("ratio = 12", "gives 9.34")),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "says"), SAID_TWICE)
def test_both_readings_are_shown(old, new, key, says):
    job = parse_job(ENGINE.replace(old, new, 1))
    (found,) = contradictions(job)

    assert found.names[0].endswith(key)
    assert all(one in found.text for one in says), found.text
    assert len(found.values) >= 2


@pytest.mark.parametrize(("old", "new"), [
    (EXHAUST, f'{EXHAUST}, duration = "155 deg"'),  # 102.5 deg
    (EXHAUST, f"{EXHAUST}, travel = 23.3"),
    (EXHAUST, f"{EXHAUST}, depth = 23.2"),
    ("height = 10.5", "height = 11.4"),
    ("height = 10.5", "height = 10.5, area_mm2 = 214.5"),  # an ellipse
    ("height = 10.5", "height = 10.5, area_mm2 = 290"),  # square, measured round the wall
    ("height = 10.5", "height = 10.5, corner = 3, area_mm2 = 270"),
    ("rod = 58.0", "rod = 58.0\nratio = 9.3"),
    ("rod = 58.0", "rod = 58.0\nratio = 8.3"),  # swept over chamber
    ("rod = 58.0", "rod = 58.0\ndeck = 0.5"),
])  # fmt: skip
def test_what_agrees_within_what_was_measured_with_is_left_alone(old, new):
    assert contradictions(parse_job(ENGINE.replace(old, new, 1))) == ()


def test_a_depth_is_from_the_deck():
    deep = ENGINE.replace(EXHAUST, f"{EXHAUST}, depth = 25.3")
    assert [found.names for found in contradictions(parse_job(deep))] == [
        ("engine.ports.exhaust.opens", "engine.ports.exhaust.depth")
    ]
    assert contradictions(parse_job(deep.replace("rod = 58.0", "rod = 58.0\ndeck = 2.0"))) == ()


def test_what_depends_on_it_is_refused_at_the_spot_and_the_rest_is_made():
    text = ENGINE.replace(EXHAUST, f"{EXHAUST}, travel = 25.0") + PLATE
    evaluation = evaluate(parse_job(text))

    assert evaluation.known_squish is None
    with pytest.raises(JobError, match="does not agree with itself"):
        _ = evaluation.squish
    for result in ("squish", "wheel", "stencil"):
        with pytest.raises(JobError) as caught:
            evaluation.require(result)
        (fault,) = caught.value.faults
        assert (fault.line, fault.column) == (8, 21)
        assert "opens = 103 deg says it opens at 103.0 deg; travel = 25 mm says" in fault.message
    with pytest.raises(JobError):
        _ = evaluation.events
    assert [one.rule for one in evaluation.findings if one.weight == "warn"] == ["contradiction"]
    assert {"plate.dxf", "plate.pdf", "report.json"} <= set(render(evaluation))


def test_an_outlet_sized_by_a_port_that_contradicts_itself_is_not_drawn():
    outlet = '[[part]]\nname = "o"\nkind = "outlet"\noutlet = { percent = 80 }\noutline = { round = 60.0 }\n'
    text = ENGINE.replace("height = 10.5", "height = 10.5, area_mm2 = 400")

    assert evaluate(parse_job(text)).squish is not None
    with pytest.raises(JobError, match=r"area_mm2 = 400 mm2, but width 26 x height 10.5 mm"):
        _ = evaluate(parse_job(text + outlet)).parts


def test_the_command_shows_both_and_make_goes_on(command):
    text = ENGINE.replace(EXHAUST, f"{EXHAUST}, travel = 25.0") + PLATE
    done = command("squish", "job.toml", text=text)
    made = command("make", "job.toml", "--out", "out", text=text)

    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("job.toml:8:21: engine.ports.exhaust.opens: does not agree with itself")
    assert made.returncode == 0
    assert "does not agree with itself" in made.stdout


BASE = """[[part]]
name = "base"
kind = "base"
opening = { round = 44.6 }
studs = { at = [[-27, -22], [27, -22], [27, 24], [-27, 24]], size = "M5" }
outline = { lobes = 6.5, ring = 4.5, fillet = 6.0 }
[clamp]
size = "M5"
torque_nm = 6.0
"""


def test_the_area_of_a_drawn_base_gasket_need_not_be_said():
    drawn = evaluate(parse_job(ENGINE + BASE))
    area = drawn.parts["base"].polygon.area

    assert drawn.clamp.stress == pytest.approx(4 * 6.0 / (0.20 * 0.005) / area)
    undrawn = evaluate(parse_job(ENGINE + BASE[BASE.index("[clamp]") :]))
    (lack,) = undrawn.job.lacking("clamp")
    assert lack.message == "'area_mm2' is missing; write e.g. area_mm2 = 1200, or draw the base gasket"
    assert undrawn.clamp is None
    assert any(one.rule == "not yet" and one.text.startswith("clamp: ") for one in undrawn.findings)
