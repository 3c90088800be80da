"""What is not there yet holds back only what needs it, and says which; "ready" is what the command then does."""

from __future__ import annotations

import copy
import json
import random
import re
import tomllib
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut import GasketError, evaluate, parse_job
from gasketcut.cli import main
from gasketcut.described import GASKET, KEY, OUTLET, OUTPUTS, PRESSURE, RING, SQUISH, STENCIL, TIMING, WAYS, WHEEL
from gasketcut.errors import IncompleteError
from gasketcut.guide.missing import status_of
from gasketcut.output.data.squish import squish_data
from gasketcut.pages.bore.wheel_page import wheel_pages
from gasketcut.pages.build_sheet.data import record_data
from gasketcut.profile.own import shipped
from gasketcut.toml.editing import EditError, rewritten, without

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
DEMO = shipped("demo").read_text(encoding="utf-8")
WHOLE = (
    DEMO.replace("chamber_cc = 6.2 ", "gauge_psi = 150\nchamber_cc = 6.2 ")
    + """
[ring]
gap = 0.2
[ignition]
taper = [17.0, 13.0]
[[outlet.stage]]
round = 14.0
[[work]]
port = "exhaust"
remove = 0.3
"""
)
JOBS = (WHOLE, *re.findall(r"^```toml\n(.*?)^```", README, re.M | re.S))
HALF = 'units = "mm"\n[engine]\nstroke = 34\nrod = 58\nports.exhaust = { opens = "103 deg", width = 26 }\n'
ODD = ("1979-05-27", "07:32:00", "1979-05-27T07:32:00Z", "nan", "-inf", "1" + "0" * 400, "[]", "{}", "[[]]", "true",
       '""', "[1979-05-27]", "[{}, 1979-05-27]", "-1", '"\\u0000"', "[nan, nan]", "{ at = 1979-05-27 }")  # fmt: skip


def run(*words, text=None):
    return CliRunner().invoke(main, [str(word) for word in words], input=text, catch_exceptions=False)


def keys(data, path=()):
    for step, value in data.items() if isinstance(data, dict) else enumerate(data):
        yield (*path, step)
        if isinstance(value, dict) or (isinstance(value, list) and value and isinstance(value[0], dict)):
            yield from keys(value, (*path, step))


@lru_cache(maxsize=1)
def evaluated(text):
    """Once for all outputs; what raises when it is asked for raises each time."""
    return evaluate(parse_job(text))


def gives(text, output):
    """What the output's command does with the job, and whether it holds what was asked for."""
    evaluation = evaluated(text)
    if output in (SQUISH, TIMING):
        data = squish_data(evaluation.squish) if evaluation.squish else None
        ports = set(data["before"]["ports"]) if data and output == TIMING else set()
        return data is not None and (output == SQUISH or "exhaust" in ports)
    if output == WHEEL:
        return bool(wheel_pages(evaluation, (210, 297)))
    if output == STENCIL:
        return bool(evaluation.wall.windows)
    if output == GASKET:
        return any(one.spec.is_base for one in evaluation.parts.values()) and bool(evaluation.findings)
    if output == WAYS:
        return evaluation.ways is not None and bool(evaluation.ways.ways)
    data = record_data(evaluation, "2026-01-02")
    where = {PRESSURE: "pressure", RING: "ring", KEY: "key", OUTLET: "muffler"}[output]
    return getattr(evaluation.topend, where) is not None and "title" in data


def ready_is_what_the_command_then_does(text, seed, count):
    chance = random.Random(seed)
    for _ in range(count):
        if left := list(keys(tomllib.loads(text))):
            text = without(text, chance.choice(left))
    status = status_of(tomllib.loads(text), text, "job.toml")
    for output in status.outputs:
        try:
            given_ = gives(text, output.name)
        except GasketError:
            given_ = False
        assert output.ready == given_, (output, text)


HALVES = given(st.sampled_from(JOBS), st.integers(0, 10**6), st.integers(1, 6))


@settings(max_examples=6, deadline=None)
@HALVES
def test_ready_is_what_the_command_then_does(text, seed, count):
    ready_is_what_the_command_then_does(text, seed, count)


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@HALVES
def test_ready_is_what_the_command_then_does_for_many(text, seed, count):
    ready_is_what_the_command_then_does(text, seed, count)


@pytest.mark.parametrize("key", ["readings", "target"])
def test_make_draws_its_gaskets_whatever_is_missing_in_squish(tmp_path, key):
    job = tmp_path / "job.toml"
    job.write_text(without(WHOLE, ("squish", key)), encoding="utf-8")
    made = run("make", job, "--out", tmp_path / "out")
    said = " ".join(run("fit", job).output.split())
    squish = CliRunner().invoke(main, ["squish", str(job)])

    assert made.exit_code == 0
    assert (tmp_path / "out" / "base-gasket.dxf").exists()
    assert f"squish: {key} is not there yet, so the thickness was not checked" in said
    assert squish.exit_code == 2
    assert f"'{key}' is missing; write" in squish.output
    assert run("wheel", job, "--out", tmp_path / "w.pdf").exit_code == 0
    outputs = {one["name"]: one for one in json.loads(run("status", job, "--json").stdout)["outputs"]}
    assert not outputs[SQUISH]["ready"]
    assert f"squish.{key}" in outputs[SQUISH]["missing"] or "squish.left" in outputs[SQUISH]["missing"]
    assert outputs[GASKET]["ready"]
    assert outputs[WHEEL]["ready"]


def test_an_engine_without_a_bore_has_no_bore_of_ours(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text(HALF, encoding="utf-8")
    status = run("status", job)

    assert status.exit_code == 0
    assert "in a bore of" not in status.output
    assert run("wheel", job, "--out", tmp_path / "w.pdf").exit_code == 0
    with pytest.raises(IncompleteError, match="no bore"):
        _ = evaluate(parse_job(HALF)).wall


def test_a_part_that_lacks_something_is_said_and_the_others_are_drawn():
    text = without(DEMO, ("part", 0, "outline"))
    evaluation = evaluate(parse_job(text))

    assert "base-gasket" not in evaluation.parts
    assert len(evaluation.parts) == 3
    assert evaluation.verdict.value == "not proven"
    (found,) = [one for one in evaluation.findings if one.rule == "not yet"]
    assert (found.weight, "part.1: outline is not there yet, so it is not drawn" in found.text) == ("warn", True)


def test_what_waits_for_a_sheet_that_is_not_whole_says_so():
    job = parse_job(without(DEMO, ("stock", 1, "thickness")))

    assert [one.wants for one in job.incomplete] == ["stock.2.thickness", "part.2.stock"]
    assert len(job.parts) == 3


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(list(keys(tomllib.loads(WHOLE)))), st.sampled_from(ODD))
def test_an_odd_value_anywhere_is_no_traceback(path, value):
    data = copy.deepcopy(tomllib.loads(WHOLE))
    here = data
    for step in path[:-1]:
        here = here[step]
    try:
        here[path[-1]] = tomllib.loads(f"x = {value}")["x"]
    except tomllib.TOMLDecodeError:
        here[path[-1]] = None
    try:
        text = rewritten(DEMO, data) if here[path[-1]] is not None else DEMO
    except EditError:
        return
    status = status_of(tomllib.loads(text), text, "job.toml")
    assert [one.name for one in status.outputs] == [name for name in OUTPUTS if name != WAYS]


@pytest.mark.parametrize("value", ["1979-05-27", "[1979-05-27]", "nan", "9" * 5000])
def test_odd_readings_in_a_file_are_a_line_each(tmp_path, value):
    job = tmp_path / "job.toml"
    job.write_text(f'units = "mm"\n[squish]\nreadings = {value}\n', encoding="utf-8")

    for words in (("status", job), ("new", job)):
        said = CliRunner().invoke(main, [str(word) for word in words], input="stop\n")
        assert said.exit_code in (0, 1, 2)
        assert said.exception is None or isinstance(said.exception, SystemExit)
