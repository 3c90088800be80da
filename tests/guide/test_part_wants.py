"""`status` and `new` go on with a part that is drawn already, as a traced one is."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from gasketcut import evaluate, parse_job, read_job
from gasketcut.cli import main
from gasketcut.guide.draft import Draft
from gasketcut.guide.part_wants import part_wants, with_part_answer
from gasketcut.guide.typed import AnswerError
from gasketcut.verdict import Verdict

TRACED = """# Seen from the side that lay on the glass.
title = "old"
units = "mm"

[[part]]
name = "carb-gasket"
kind = "intake"
absent = ["oil"]   # looked
outline = { rectangle = [70.0, 40.0], corner = 8.0 }
opening = { rectangle = [24.0, 20.0], corner = 5.0, at = [0.5, 0.2], turn = "3 deg" }
studs = { at = [[-28.0, -1.0], [28.0, 1.0]], size = "M5" }

[[part.passage]]
name = "impulse"  # B
at = [9.0, 15.3]
cut = { round = 3.0 }
"""


def run(folder, *words, text=TRACED, **how):
    job = folder / "job.toml"
    if not job.exists():
        job.write_text(text, encoding="utf-8")
    return CliRunner().invoke(main, [words[0], str(job), *words[1:]], catch_exceptions=False, **how)


def test_status_sees_the_part_and_what_it_wants(tmp_path):
    said = " ".join(run(tmp_path, "status").output.split())

    assert "ready carb-gasket: gasketcut make" in said
    assert "not proven: water, drain, dowel, metal passage 'impulse' not measured, port" in said
    assert "Measure next: carb-gasket: which of water, drain, dowel does this engine not have?" in said
    data = json.loads(run(tmp_path, "status", "--json").stdout)
    assert data["parts"] == [{
        "name": "carb-gasket", "verdict": "not proven",
        "unsaid": ["water", "drain", "dowel", "metal passage 'impulse' not measured", "port"],
    }]  # fmt: skip
    assert len(data["asked_of_parts"]) == 3


def test_new_asks_for_it_until_it_is_proven(tmp_path):
    typed = "water\ndrain, gas\ndrain,dowel\n2.0\n21 x 17 corner 4\nstop\n"
    said = run(tmp_path, "new", input=typed)

    assert "'gas' is none of them; write one or more of drain, dowel, or all" in " ".join(said.output.split())
    job = read_job(str(tmp_path / "job.toml"))
    (spec,) = job.parts
    assert spec.absent == ("oil", "water", "drain", "dowel")
    assert [(one.name, one.placed.at, one.placed.turn) for one in spec.windows] == [
        ("intake", (0.5, 0.2), 3.0), ("impulse", (9.0, 15.3), 0.0),
    ]  # fmt: skip
    assert evaluate(job).verdict is Verdict.FITS
    text = (tmp_path / "job.toml").read_text(encoding="utf-8")
    assert "# looked" in text
    assert "# B" in text
    assert not part_wants(evaluate(job))


def test_enter_leaves_a_question_of_a_part_open(tmp_path):
    said = run(tmp_path, "new", input="\n\n\nstop\n")

    assert "Exhaust port, width?" in said.output
    assert (tmp_path / "job.toml").read_text(encoding="utf-8") == TRACED


@pytest.mark.parametrize("text", ["wide", "0", "21 x", "3 furlongs", "900", "21 x 17 corner 12"])
def test_a_size_that_is_none_is_refused(text):
    draft = Draft(Path("job.toml"), TRACED)
    want = part_wants(evaluate(parse_job(TRACED)))[1]
    with pytest.raises(AnswerError):
        with_part_answer(draft, want, text)


def test_a_size_that_the_job_cannot_hold_is_asked_for_again(tmp_path):
    """Kept, it made the job unreadable, and its question was gone."""
    said = run(tmp_path, "new", input="all\n2.0\n21 x 17 corner 12\n21 x 17 corner 4\nstop\n")

    assert said.output.count("the intake port under its opening: how large") == 2
    assert "corner" in said.output.split("under its opening")[1]
    assert evaluate(read_job(str(tmp_path / "job.toml"))).verdict is Verdict.FITS


def test_how_a_free_opening_is_turned_nobody_knows():
    free = "opening = { points = [[-12, -10], [12, -10], [12, 10], [-12, 10]] }\n"
    text = "".join(free if row.startswith("opening") else row for row in TRACED.splitlines(keepends=True))
    draft, want = Draft(Path("job.toml"), text), part_wants(evaluate(parse_job(text)))[2]

    with pytest.raises(AnswerError, match="--into JOB --joint"):
        with_part_answer(draft, want, "21 x 17")
    (spec,) = parse_job(with_part_answer(draft, want, "17").plain).parts
    assert spec.windows[0].placed.circle().center == pytest.approx((0.0, 0.0))


def test_a_base_gasket_keeps_its_own_questions():
    base = TRACED.replace('"intake"', '"base"').replace('"carb-gasket"', '"base"')

    assert [want.role for want in part_wants(evaluate(parse_job(base)))] == ["passage"]
