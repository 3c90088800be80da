"""Guided entry and status: whole TOML after each answer, nothing lost, nothing assumed, no wall of errors."""

import json
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from gasketcut import JobError, parse_job, read_job
from gasketcut.cli import main
from gasketcut.described import OUTPUTS, WAYS
from gasketcut.errors import GasketError
from gasketcut.guide.answers import answers_from, is_answered, with_answer
from gasketcut.guide.draft import Draft, read_draft
from gasketcut.guide.missing import COMMANDS, status_of
from gasketcut.guide.questions import QUESTIONS
from gasketcut.guide.typed import AnswerError
from gasketcut.guide.unusual import unusual

ANSWERS = {
    "title": "Nursery auger",
    "units": "mm",
    "engine.ports.exhaust.width": "26",
    "engine.ports.exhaust.height": "11.0",
    "outlet.stage.round": "15 mm",
    "ignition.taper": "12.0, 10.5",
    "ignition.key_width": "2.5",
    "engine.gauge_psi": "150",
    "squish.gasket_present": "0.5",
    "squish.solder": "1.5",
    "squish.left": "0.91",
    "squish.right": "0.037 in",
    "squish.target": "0.020 in",
    "squish.least": "16 thou",
    "engine.chamber_cc": "6.2",
    "engine.squish_band": "6.4",
    "engine.bore": "44.0",
    "engine.stroke": "34",
    "engine.rod": "2 9/32 in",
    "engine.rpm": "9500",
    "engine.ports.exhaust.opens": "103",
    "engine.ports.exhaust.centre": "90 deg",
    "engine.ports.transfer.opens": "121 deg",
    "ring.gap": "0.2",
    "stock.name": "can sheet",
    "stock.thickness": "0.1",
    "part.opening.round": "44.6",
    "part.studs.at": "-27, -22; 27, -22; 27, 24; -27, 24",
    "part.studs.size": "M5",
    "part.outline.lobes": "6.5",
    "part.outline.ring": "4.5",
    "part.outline.fillet": "6",
}
EMPTY = read_draft(Path("not there.toml"))
BY_NAME = {question.name: question for question in QUESTIONS}


def run(*words, text=None):
    return CliRunner().invoke(main, [str(word) for word in words], input=text, catch_exceptions=False)


def answers_file(tmp_path: Path, answers=ANSWERS):
    path = tmp_path / "answers.toml"
    path.write_text("\n".join(f"{json.dumps(name)} = {json.dumps(text)}" for name, text in answers.items()))
    return path


def test_every_question_is_answered_in_these_tests_and_its_name_is_its_own():
    assert list(BY_NAME) == [question.name for question in QUESTIONS]
    assert set(ANSWERS) == set(BY_NAME)
    assert {name for question in QUESTIONS for name in (*question.needed, *question.helps)} == set(OUTPUTS) - {WAYS}
    assert set(COMMANDS) == set(OUTPUTS)


def test_all_answers_make_a_job_that_gives_every_output(tmp_path):
    job = tmp_path / "job.toml"
    said = run("new", job, "--answers", answers_file(tmp_path))
    state = json.loads(run("status", job, "--json").stdout)

    assert said.exit_code == 0
    assert all(output["ready"] for output in state["outputs"])
    assert state["next"] is None
    assert run("squish", job).exit_code == 0
    assert run("make", job, "--out", tmp_path / "out").exit_code == 0
    assert run("wheel", job, "--out", tmp_path / "w.pdf").exit_code == 0
    assert run("stencil", job, "--out", tmp_path / "s.pdf").exit_code == 0
    assert run("record", job, "--out", tmp_path / "r").exit_code == 0
    read = read_job(str(job))
    assert read.engine.rod == pytest.approx((2 + 9 / 32) * 25.4)
    assert len(read.squish.readings) == 2
    assert read.parts[0].studs[0].at == ((-27, -22), (27, -22), (27, 24), (-27, 24))


@given(st.lists(st.sampled_from(sorted(ANSWERS)), unique=True), st.randoms())
def test_any_answers_in_any_order_are_whole_toml(names, chance):
    chance.shuffle(names)
    draft = EMPTY
    for name in names:
        before = draft.text.splitlines()
        draft = with_answer(draft, BY_NAME[name], ANSWERS[name])
        assert tomllib.loads(draft.text) == draft.data
        assert len(set(before) - set(draft.text.splitlines())) <= 1  # a row of braces grows; nothing else changes
    assert {question.name for question in QUESTIONS if is_answered(draft.data, question)} == set(names)
    status = status_of(draft.data, draft.text, "job.toml")
    assert not status.faults
    for output in status.outputs:
        assert output.ready or output.missing
        assert not set(output.missing) & set(names)


def test_a_person_skips_leaves_and_comes_back(tmp_path):
    job = tmp_path / "job.toml"
    first = run("new", job, text="Auger\nmm\n\n11\nstop\n")
    kept = tomllib.loads(job.read_text(encoding="utf-8"))
    second = run("new", job, text="26\nstop\n")

    assert first.exit_code == second.exit_code == 0
    assert kept == {"title": "Auger", "units": "mm", "engine": {"ports": {"exhaust": {"height": 11}}}}
    assert tomllib.loads(job.read_text(encoding="utf-8"))["engine"]["ports"]["exhaust"] == {"height": 11, "width": 26}
    assert "What is it?" not in second.output  # not asked again
    assert "Usual" in first.output


@pytest.mark.parametrize(
    ("name", "text", "what"),
    [
        ("engine.bore", "forty", "length"),
        ("engine.bore", "9000", "over 2 m"),
        ("engine.bore", "-44", "below nought"),
        ("engine.bore", "44,5", "decimal"),
        ("engine.ports.exhaust.opens", "steep", "angle"),
        ("engine.ports.exhaust.opens", "200", "bottom dead centre"),
        ("engine.gauge_psi", "a lot", "no number"),
        ("units", "furlong", "one of mm, in"),
        ("part.studs.at", "27", "no place"),
        ("ignition.taper", "12.0", "two|lengths|list"),
    ],
)
def test_a_wrong_answer_is_refused_at_once_and_says_what_to_write(name, text, what):
    with pytest.raises(AnswerError, match=what):
        with_answer(EMPTY, BY_NAME[name], text)


@pytest.mark.parametrize(
    ("name", "text", "what"),
    [
        ("engine.bore", "440", "20 to 100 mm"),
        ("engine.stroke", "3.4", "15 to 100 mm"),
        ("engine.rod", "58 in", "1473.2 mm is kept, but 25 to 220 mm"),
        ("squish.solder", "0.9 in", "0.4 to 4 mm"),
        ("engine.ports.exhaust.opens", "14.2 deg", "80 to 120 deg"),
        ("engine.gauge_psi", "15", "60 to 250 psi"),
        ("ignition.taper", "12, 1.5", "1.5 mm is kept"),
        ("engine.bore", "44", None),
        ("engine.rod", "2 9/32 in", None),
        ("engine.ports.exhaust.opens", "103", None),
        ("engine.ports.transfer.opens", "121 deg", None),
        ("engine.ports.exhaust.opens", "21.9 mm", None),
        ("title", "440", None),
    ],
)
def test_an_unusual_answer_is_kept_and_gets_a_word(tmp_path, name, text, what):
    said = run("new", tmp_path / "job.toml", "--answers", answers_file(tmp_path, {name: text}))

    assert said.exit_code == 0
    assert ("is usual (common practice)" in said.output) is (what is not None)
    assert what is None or what in said.output
    assert unusual(BY_NAME[name], text, None) is None or what


def test_a_person_hears_of_it_at_once(tmp_path):
    said = run("new", tmp_path / "job.toml", text="x\nmm\n" + "\n" * 14 + "440\nstop\n")
    assert "440 mm is kept, but 20 to 100 mm is usual" in said.output


def test_piston_travel_is_taken_where_degrees_are_asked():
    draft = with_answer(EMPTY, BY_NAME["engine.ports.exhaust.opens"], "14.2 mm")
    assert draft.data == {"engine": {"ports": {"exhaust": {"travel": "14.2 mm"}}}}


def test_no_hint_turns_millimetres_into_degrees():
    with pytest.raises(JobError) as caught:
        parse_job('[engine]\nbore = "44 mm"\nports.exhaust = { opens = "14.2 mm" }\n')
    assert 'write travel = "14.2 mm" in place of opens' in str(caught.value)
    assert "14.2 deg" not in str(caught.value)


@pytest.mark.parametrize("name", BY_NAME)
def test_a_question_says_what_the_description_of_its_key_says(name):
    question = BY_NAME[name]
    assert question.how
    assert question.key.key.what
    assert question.usual_range is None or question.usual


@pytest.mark.parametrize(
    ("first", "second", "what"),
    [(("engine.squish_band", "20"), ("engine.bore", "30"), "leaves no bowl"),
     (("engine.bore", "30"), ("engine.squish_band", "20"), "leaves no bowl")],
)  # fmt: skip
def test_a_contradiction_is_told_whichever_answer_comes_last(first, second, what):
    draft = with_answer(Draft(Path("job.toml"), 'units = "mm"\n'), BY_NAME[first[0]], first[1])
    with pytest.raises(AnswerError, match=what):
        with_answer(draft, BY_NAME[second[0]], second[1])


def test_answers_are_held_against_each_other(tmp_path):
    tilted = {**ANSWERS, "squish.right": "1.9"}
    text = "\n".join(tilted[question.name] for question in QUESTIONS)
    said = run("new", tmp_path / "job.toml", text=text + "\n")

    assert said.exit_code == 0
    assert "warn:" in said.output  # left and right of the same piston


def test_a_bad_answer_in_the_file_does_not_lose_the_good_ones(tmp_path):
    bad = {"title": "Auger", "engine.bore": "big", "engine.stroke": "34"}
    said = run("new", tmp_path / "job.toml", "--answers", answers_file(tmp_path, bad))

    assert said.exit_code == 2
    assert "engine.bore = 'big'" in said.output
    assert tomllib.loads((tmp_path / "job.toml").read_text())["engine"] == {"stroke": "34 mm"}


def test_unknown_names_and_broken_files(tmp_path):
    with pytest.raises(GasketError, match="is no question"):
        answers_from('"engine.colour" = "red"')
    with pytest.raises(GasketError, match="no TOML"):
        answers_from("a = = 1")
    assert run("new", tmp_path / "job.toml", "--answers", tmp_path / "none.toml").exit_code == 2


def test_what_is_no_job_is_left_alone(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text("title = = 1  # my words\n", encoding="utf-8")
    said = run("new", job, text="x\n")

    assert said.exit_code == 2
    assert job.read_text(encoding="utf-8") == "title = = 1  # my words\n"


@pytest.mark.parametrize(
    "text", ["", 'title = "x"\n', "[squish]\n", "[engine]\nbore = 44\n[engine.ports]\n", "part = 3\n"]
)
def test_status_of_a_half_filled_job_is_no_wall_of_errors(tmp_path, text):
    job = tmp_path / "job.toml"
    job.write_text(text, encoding="utf-8")
    said = run("status", job)

    assert said.exit_code in (0, 1)
    assert "Measure next:" in said.output
    assert "is missing" not in said.output
    assert len(said.output.splitlines()) < 40


def test_status_tells_what_is_wrong_apart_from_what_is_missing(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text('units = "mm"\n[engine]\nbore = 44\nstroke = "long"\n', encoding="utf-8")
    said = run("status", job)

    assert said.exit_code == 1
    assert "To be put right:" in said.output
    assert ":4:" in said.output


def test_status_of_what_is_no_job(tmp_path):
    (tmp_path / "a.toml").write_text("= =", encoding="utf-8")
    assert run("status", tmp_path / "a.toml").exit_code == 2
    assert run("status", tmp_path / "none.toml").exit_code == 2


def test_the_shipped_example_knows_nearly_everything():
    state = json.loads(run("status", "demo", "--json").stdout)

    ready = {output["name"] for output in state["outputs"] if output["ready"]}
    assert ready >= {
        "squish answer",
        "port timing and compression",
        "degree wheel",
        "port stencil",
        "base gasket to cut",
    }
