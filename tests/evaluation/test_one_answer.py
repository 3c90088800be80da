"""One fact, one place: what was found to be said twice, with two answers, now comes from the evaluation alone."""

import json
import math
import re
import subprocess
import sys
from math import sqrt
from pathlib import Path

import pytest

import gasketcut as gc
from gasketcut.errors import OutputError
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.shape.loop import Loop
from gasketcut.verdict import Verdict

CARB = """
title = "Carburettor gasket"
units = "mm"

[[part]]
name = "carb"
kind = "intake"
studs = { at = [[-20, 0], [20, 0]], size = "M5", fit = "medium" }
outline = { lobes = 6.5, ring = 5.5, fillet = 8.0 }

[[part.port]]
name = "intake"
shape = { rectangle = [22.0, 13.0], corner = 4.0 }

[[part.passage]]
name = "impulse"
at = [0.0, -11.0]
shape = { round = 2.5 }
"""
SAID = 'absent = ["oil", "water", "drain", "dowel"]\n'
BASE = """
[[part]]
name = "base"
kind = "base"
opening = { round = 44.6 }
studs = { at = [[-27, -22], [27, -22], [27, 24], [-27, 24]], size = "M5" }
outline = { lobes = 6.5, ring = 4.5, fillet = 6.0 }
"""


def said(text: str) -> str:
    return text.replace('kind = "intake"\n', f'kind = "intake"\n{SAID}')


def evaluated(text: str) -> Evaluation:
    return gc.evaluate(gc.parse_job(text))


def the_json(command, *words: str, text: str):
    return json.loads(command(*words, text=text).stdout)


# -- one verdict ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "verdict", "exit_code"),
    [
        (CARB, "not proven", 1),
        (said(CARB), "fits", 0),
        (
            said(CARB).replace("set_back", "x").replace('kind = "intake"', 'kind = "intake"\nset_back = 0.1'),
            "fits as drawn",
            1,
        ),
        (said(CARB).replace('name = "intake"\n', 'name = "intake"\ncut = false\n'), "does not fit", 1),
        (f'units = "mm"\n{BASE}', "not proven", 1),
    ],
)
def test_make_fit_and_record_say_the_same(command, text, verdict, exit_code):
    fitted = command("fit", "job.toml", "--json", text=text)
    made = command("make", "job.toml", "--out", "out", "--json", text=text)
    recorded = command("record", "job.toml", "--json", text=text)

    assert [json.loads(one.stdout)["verdict"] for one in (fitted, made, recorded)] == [verdict] * 3
    assert fitted.returncode == exit_code
    assert made.returncode == (1 if verdict == "does not fit" else 0)
    assert recorded.returncode == 0
    assert json.loads(fitted.stdout)["parts"][0]["verdict"] == verdict


@pytest.mark.parametrize("words", [("fit", "job.toml"), ("make", "job.toml", "--out", "out")])
def test_what_is_not_proven_is_named_and_never_called_good(command, words):
    shown = command(*words, text=CARB).stdout

    assert "NOT PROVEN" in shown
    assert "oil, water, drain, dowel" in " ".join(shown.split())
    assert not re.search(r"^FITS", shown, re.MULTILINE)


def test_a_base_gasket_without_a_port_is_held_against_nothing():
    result = evaluated(
        f'units = "mm"\n{BASE}absent = ["transfer", "impulse", "oil", "water", "drain", "dowel"]\n'
    ).parts["base"]

    assert result.verdict is Verdict.NOT_PROVEN
    assert result.unsaid == ("port",)
    assert result.clear_mm is None


def test_one_clearance_for_one_gasket(command):
    text = said(CARB)
    made = the_json(command, "make", "job.toml", "--out", "out", "--json", text=text)["parts"][0]
    fitted = the_json(command, "fit", "job.toml", "--json", text=text)["parts"][0]

    assert made["clear_mm"] == fitted["clear_mm"] > 0.1
    assert made["passages"] == fitted["passages"]
    assert {one["name"] for one in made["passages"]} == {"intake", "impulse"}
    report = json.loads((Path(command.folder) / "out" / "report.json").read_text())
    assert report["parts"][0]["clear_mm"] == made["clear_mm"]


def test_a_stop_still_writes_nothing():
    text = said(CARB).replace('name = "intake"\n', 'name = "intake"\ncut = false\n')
    evaluation = evaluated(text)

    assert gc.render(evaluation) == {}
    assert "carb-DOES-NOT-FIT.dxf" in gc.render(evaluation, gc.Options(anyway=True))


# -- the base joint ------------------------------------------------------------------------------------------------

STACKED = """
units = "mm"
[squish]
target = 0.9
gasket_present = 0.5
readings = [{ at = "left", value = 0.95 }, { at = "right", value = 0.95 }]
[clamp]
bolts = 4
size = "M5"
torque_nm = 5.0
area_mm2 = 12000
[[stock]]
name = "paper"
thickness = 0.5
material = "cellulose-nbr"
"""


def test_the_parts_cut_are_as_thick_as_the_choice_says(command):
    sheet = the_json(command, "record", "job.toml", "--json", text=STACKED + BASE + 'stock = "paper"\n')
    choice = next(one for one in sheet["squish"]["choices"] if one["layers"] == [{"stock": "paper", "count": 1}])

    # The part says what may be at most, the choice what holds 95 %: closed form of the triangle's 0.025 quantiles.
    low, likely, high = sheet["parts"][0]["fitted_mm"]
    least, most = (
        low + sqrt(0.025 * (high - low) * (likely - low)),
        high - sqrt(0.025 * (high - low) * (high - likely)),
    )
    assert choice["fitted_mm"] == pytest.approx([least, likely, most], abs=1e-4)
    sections = {one["heading"]: one for one in sheet["sections"]}
    cut = sections["Parts cut"]["table"][1][4]
    assert cut == f"{low:.2f} / {likely:.2f} / {high:.2f}"
    rows = {row[0]: row for row in sections["Base gasket: choice and why"]["table"]}
    assert rows["1 x paper"][1] == cut.split(" / ")[1]


def test_two_clamps_of_one_joint_are_held_against_each_other():
    text = STACKED + BASE.replace('size = "M5" }', 'size = "M5", torque_nm = 9.0 }') + 'stock = "paper"\n'
    evaluation = evaluated(text)
    drawn = evaluation.parts["base"].polygon.area
    found = [one for one in evaluation.findings if one.rule == "clamp" and one.weight == "warn"]

    # By hand: T = K F d with K 0.2, d 5 mm, four studs.
    by_studs, by_clamp = (4 * torque / (0.2 * 0.005) / drawn for torque in (9.0, 5.0))
    assert evaluation.clamp is not None
    assert evaluation.clamp.stress == pytest.approx(by_studs)
    assert any(one.found == pytest.approx(by_clamp) and one.wanted == pytest.approx(by_studs) for one in found)
    assert any(one.found == 12000 and one.wanted == pytest.approx(drawn) for one in found)


def test_a_clamp_that_agrees_says_nothing():
    drawn = evaluated(STACKED + BASE).parts["base"].polygon.area
    text = STACKED.replace("12000", f"{drawn:.0f}") + BASE.replace('size = "M5" }', 'size = "M5", torque_nm = 5.0 }')

    assert [one for one in evaluated(text).findings if one.rule == "clamp" and one.weight == "warn"] == []


# -- what a person reads -------------------------------------------------------------------------------------------


def test_an_uncertainty_that_was_said_stands_on_the_build_sheet(command):
    text = 'units = "mm"\n[squish]\ntarget = 0.9\nmeasured = "0.95 mm +- 0.03"\n'
    sheet = the_json(command, "record", "job.toml", "--json", text=text)
    readings = next(one for one in sheet["sections"] if one["heading"] == "Readings")

    assert any("0.03" in row[2] for row in readings["table"][1:])


def test_the_squishs_own_verdict_stands_under_squish(command):
    sheet = the_json(command, "record", "job.toml", "--json", text=STACKED + BASE)

    assert sheet["verdict"] == "not proven"
    assert sheet["squish"]["verdict"] in ("one sheet", "stack", "no gasket", "machine", "spacer")


# -- dowels --------------------------------------------------------------------------------------------------------


def test_a_hull_round_a_dowel_has_its_radius_to_the_digit():
    text = """
units = "mm"
[[part]]
name = "plate"
kind = "flat"
dowels = { at = [[0, 0], [40, 0]], diameter = 6.37, stud_diameter = 6.0 }
outline = { hull = 4.13 }
"""
    outer = evaluated(text).parts["plate"].outline.outer
    assert isinstance(outer, Loop)
    radii = {one.radius for one in outer.segments() if one.bulge}

    assert all(math.isclose(radius, 6.37 / 2 + 4.13, abs_tol=1e-12) for radius in radii)


# -- values made in Python -----------------------------------------------------------------------------------------


def flat(**changes):
    shape = gc.parts.Placed(gc.parts.Rectangle(30.0, 20.0))
    return gc.parts.Flat(**{"name": "plate", "outline": shape, **changes})


@pytest.mark.parametrize("name", ["../evil", "a/b", "C:evil", "", "nul", "report", "x" * 61, "dot."])
def test_a_name_that_is_no_file_name_is_refused_however_the_part_is_made(name):
    with pytest.raises(gc.JobError, match="name"):
        flat(name=name)


def test_a_nan_is_a_fault_with_words():
    with pytest.raises(gc.JobError, match="nan is not a length; write a number that was measured"):
        gc.parts.Round(math.nan)
    with pytest.raises(gc.JobError, match="below zero"):
        gc.parts.Holes(at=((0.0, 0.0),), diameter=-5.5)


@pytest.mark.parametrize(
    ("text", "build"),
    [
        ("outline = { rectangle = [30.0, 20.0], corner = 11 }", lambda: gc.parts.Rectangle(30.0, 20.0, 11.0)),
        ("outline = { slot = [8.0, 9.0] }", lambda: gc.parts.Slot(8.0, 9.0)),
        ("outline = { round = 30.0 }\ncount = 0", lambda: flat(count=0)),
        ("outline = { round = 30.0 }\ngrowth_percent = 9", lambda: flat(growth_percent=9.0)),
        ('outline = { round = 30.0 }\nname = "a/b"', lambda: flat(name="a/b")),
    ],
)
def test_a_value_made_in_python_is_refused_in_the_words_of_the_file(text, build):
    name = "" if "name =" in text else 'name = "plate"\n'
    with pytest.raises(gc.JobError) as read:
        gc.parse_job(f'units = "mm"\n[[part]]\nkind = "flat"\n{name}{text}\n')
    with pytest.raises(gc.JobError) as made:
        build()

    words = {fault.message.split("; write")[0] for fault in read.value.faults}
    assert {fault.message.split("; write")[0] for fault in made.value.faults} & words


def test_a_job_made_in_python_is_checked_as_a_whole():
    with pytest.raises(gc.JobError, match="also the name of part 1"):
        gc.Job(title="t", parts=(flat(), flat(name="PLATE")))
    with pytest.raises(gc.JobError, match="there is no stock 'felt'"):
        gc.Job(title="t", parts=(flat(stock="felt"),))


@pytest.mark.parametrize("name", ["../evil.txt", "/etc/evil", "a/b.txt", "..", "", "a\\b.txt", "nul\0.txt"])
def test_nothing_is_saved_outside_the_folder(tmp_path, name):
    with pytest.raises(OutputError, match="no plain file name"):
        gc.save({"good.txt": b"1", name: b"2"}, tmp_path / "out")

    assert list(tmp_path.rglob("*")) == []


# -- the three steps -----------------------------------------------------------------------------------------------


def test_the_steps_give_byte_for_byte_what_make_writes(command, tmp_path):
    command("make", "demo", "--out", "out")
    rendered = gc.render(gc.evaluate(gc.read_job("demo")))
    written = {file.name: file.read_bytes() for file in (tmp_path / "out").iterdir()}

    assert rendered == written


def test_evaluating_writes_nothing(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    gc.render(gc.evaluate(gc.read_job("demo")))

    assert list(tmp_path.iterdir()) == []


def test_after_a_change_the_other_parts_keep_their_results():
    job = gc.read_job("demo")
    first = gc.evaluate(job)
    first.findings  # noqa: B018  worked out
    text = job.source.read_text(encoding="utf-8").replace("ring = 4.5", "ring = 5.5")
    second = gc.evaluate(gc.parse_job(text, job.source), previous=first)

    kept = {name for name, result in second.parts.items() if result.part is first.parts[name].part}
    assert kept == {"intake-gasket", "exhaust-gasket", "outlet-plate"}
    assert second.findings == gc.evaluate(gc.parse_job(text, job.source)).findings


def test_a_part_says_in_one_line_what_it_is_and_shows_itself():
    result = gc.evaluate(gc.read_job("demo")).parts["intake-gasket"]

    assert repr(result) == "<intake 'intake-gasket', 53.0 x 30.7 mm: fits>"
    assert result._repr_svg_().startswith("<?xml")


def test_squish_and_port_timing_show_themselves():
    squish = gc.evaluate(gc.read_job("demo")).squish

    assert "can sheet" in squish._repr_svg_()
    timing = squish.after.ports["exhaust"]
    assert f"opens {timing.opens:.1f} deg after TDC" in timing._repr_svg_()
    assert "before TDC" in squish.after.ports["intake"]._repr_svg_()


def test_the_screen_of_names_is_what_dir_shows():
    assert set(gc.__all__) <= set(dir(gc))
    assert all(getattr(gc, name) is not None for name in gc.__all__)


def test_no_room_takes_the_name_of_a_public_function():
    script = "import gasketcut as gc; gc.render(gc.evaluate(gc.read_job('demo'))); assert all(callable(getattr(gc, n)) "
    script += "for n in ('evaluate', 'inspect', 'mend', 'parse_job', 'read_job', 'render', 'save', 'trace'))"
    subprocess.run([sys.executable, "-c", script], check=True)
