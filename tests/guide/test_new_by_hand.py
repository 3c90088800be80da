"""`new` goes on with any job, however it was begun, and every byte that it does not answer stays."""

from __future__ import annotations

import json

from click.testing import CliRunner

from gasketcut.cli import main
from gasketcut.profile.own import shipped

HAND = """\ufeff# My engine.   Do not lend.\r
units = "mm"\r
\r
[[part]]\r
name = "lid"            # nothing to do with the base\r
kind = "flat"\r
outline = { round = 40 }\r
\r
[engine]\r
bore = 44.0   # worn\r
ports.exhaust.width = 26\r
\r
[squish]   # twice\r
readings = [\r
  { at = "left", value = 0.91 },   # good light\r
  { at = "right", value = 0.93 },\r
]"""


def answered(tmp_path, text, answers):
    job, file = tmp_path / "job.toml", tmp_path / "answers.toml"
    job.write_bytes(text.encode())
    file.write_text("\n".join(f"{json.dumps(key)} = {json.dumps(value)}" for key, value in answers.items()))
    said = CliRunner().invoke(main, ["new", str(job), "--answers", str(file)], catch_exceptions=False)
    return said, job.read_bytes().decode()


def test_a_key_that_is_there_is_changed_and_that_is_said(tmp_path):
    said, text = answered(tmp_path, HAND, {"engine.bore": "43.97", "squish.right": "0.94", "units": "mm"})

    assert said.exit_code == 0
    assert "engine.bore: 44.0 mm -> 43.97 mm" in said.output
    assert "squish.right: 0.93 mm -> 0.94 mm" in said.output
    assert text == HAND.replace("44.0", "43.97").replace("0.93", "0.94")


def test_the_same_answer_changes_nothing_and_says_nothing(tmp_path):
    said, text = answered(tmp_path, HAND, {"engine.bore": "44", "engine.ports.exhaust.width": "26.0"})

    assert "->" not in said.output
    assert text == HAND


def test_what_is_new_goes_where_its_like_stands(tmp_path):
    said, text = answered(tmp_path, HAND, {
        "engine.stroke": "34", "engine.ports.exhaust.height": "11.0", "squish.target": "0.020 in",
        "part.studs.size": "M5", "stock.name": "can sheet",
    })  # fmt: skip

    assert said.exit_code == 0
    base = '[[part]]\r\nname = "base-gasket"\r\nkind = "base"\r\nstuds = { size = "M5" }\r\nstock = "can sheet"\r\n\r\n'
    wanted = HAND.replace("[engine]", f"{base}[engine]").replace(
        "width = 26\r\n", "width = 26\r\nports.exhaust.height = 11.0\r\nstroke = 34\r\n"
    )
    assert text == f'{wanted}\r\ntarget = "0.020 in"\r\n\r\n[[stock]]\r\nname = "can sheet"'


def test_the_demo_is_gone_on_with(tmp_path):
    demo = shipped("demo").read_bytes().decode()
    said, text = answered(tmp_path, demo, {"part.outline.lobes": "7", "stock.thickness": "0.12"})

    assert said.exit_code == 0
    assert text == demo.replace("lobes = 6.5, ring = 4.5", "lobes = 7, ring = 4.5").replace(
        "thickness = 0.10\n", "thickness = 0.12\n"
    )


def test_a_thing_said_in_another_way_is_not_said_twice(tmp_path):
    text = 'units = "mm"\n[engine]\ngauge_bar = 10\n[squish]\nmeasured = 0.9\n'
    said, after = answered(tmp_path, text, {"engine.gauge_psi": "150", "squish.left": "0.9", "units": "in"})

    assert said.exit_code == 2
    assert after == text
    assert "given as gauge_bar already" in said.output
    assert "given as measured already" in said.output
    assert "would mean something else" in said.output


def test_a_person_goes_on_with_a_job_by_hand_and_is_asked_only_what_it_does_not_say(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text('title = "mine"  # my words\nunits = "mm"\n', encoding="utf-8")
    said = CliRunner().invoke(main, ["new", str(job)], input="26\nstop\n", catch_exceptions=False)

    assert said.exit_code == 0
    assert "What is it?" not in said.output
    assert job.read_text(encoding="utf-8").startswith('title = "mine"  # my words\nunits = "mm"\n\n[engine]')
