"""What a part's result says: the least clearance, the worst of what may be said, and nothing of yesterday's job."""

from dataclasses import replace

import pytest

from gasketcut import Finding, Profiles, Verdict, evaluate, parse_job

STOP, WARN = (Finding(rule="test", weight=weight, part="carb", text="t", do="d") for weight in ("stop", "warn"))
CARB = """
title = "Carburettor gasket"
units = "mm"
[[part]]
name = "carb"
kind = "intake"
absent = ["oil", "water", "drain", "dowel"]
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
BASE = """
title = "Base"
units = "mm"
[squish]
target = 0.9
gasket_present = 0.5
readings = [{ at = "left", value = 0.95 }, { at = "right", value = 0.95 }]
[[stock]]
name = "paper"
thickness = 1.5
material = "cellulose-nbr"
[[part]]
name = "base"
kind = "base"
stock = "paper"
opening = { round = 44.6 }
studs = { at = [[-27, -22], [27, -22], [27, 24], [-27, 24]], size = "M5" }
outline = { lobes = 6.5, ring = 4.5, fillet = 6.0 }
"""
SQUISH = BASE[BASE.index("[squish]") : BASE.index("[[stock]]")]


@pytest.fixture(scope="module")
def carb():
    return evaluate(parse_job(CARB), Profiles()).parts["carb"]


def test_the_clearance_is_the_least_of_all_passages(carb):
    one, other = (each.clear for each in carb.clearances)

    assert one != pytest.approx(other, abs=0.01)
    assert carb.clear_mm == min(one, other)


def test_a_passage_of_which_nothing_is_known_says_nothing_of_the_clearance(carb):
    one, other = carb.clearances
    assert replace(carb, clearances=(replace(one, clear=None), other)).clear_mm == other.clear
    assert replace(carb, clearances=(replace(one, clear=None),)).clear_mm is None


def test_the_verdict_is_the_worst_that_may_be_said(carb):
    can_shift = replace(carb, clearances=(replace(carb.clearances[0], clear=-0.1), carb.clearances[1]))
    unsaid = replace(can_shift, unsaid=("oil",))

    assert carb.verdict is Verdict.FITS
    assert carb.of_job("mm", (), (WARN,)).verdict is Verdict.FITS
    assert can_shift.verdict is Verdict.FITS_AS_DRAWN
    assert unsaid.verdict is Verdict.NOT_PROVEN
    assert unsaid.of_job("mm", (), (STOP,)).verdict is Verdict.DOES_NOT_FIT
    assert replace(unsaid, own_findings=(STOP,)).verdict is Verdict.DOES_NOT_FIT


def test_what_the_job_says_stands_after_what_the_part_says_and_can_be_taken_off(carb):
    more = carb.of_job("mm", (WARN,), (STOP,))

    assert more.findings == (WARN, STOP)
    assert more.without_the_jobs().findings == (WARN,)
    assert carb.of_job(carb.units, carb.own_findings, carb.jobs_findings) is carb


def test_what_the_squish_said_of_a_part_goes_with_the_squish():
    before = evaluate(parse_job(BASE), Profiles())
    said = before.parts["base"].jobs_findings
    after = evaluate(parse_job(BASE.replace(SQUISH, "\n" * SQUISH.count("\n"))), Profiles(), previous=before)

    assert said
    assert after.parts["base"].part is before.parts["base"].part  # kept
    assert after.parts["base"].jobs_findings == ()


@pytest.mark.parametrize("text", ['[cutting]\nprocess = "co2"\nkerf = 0.2\n', '[cutting]\nprocess = "co2"\ntabs = 2\n'])
def test_a_part_is_cut_anew_where_only_the_cutting_has_changed(text):
    before = evaluate(parse_job(CARB), Profiles())
    before.findings  # noqa: B018  worked out
    after = evaluate(parse_job(CARB + text), Profiles(), previous=before)

    assert after.parts["carb"].part is before.parts["carb"].part
    assert after.parts["carb"].cut == evaluate(after.job, Profiles()).parts["carb"].cut
    assert after.parts["carb"].cut != before.parts["carb"].cut


def test_a_part_is_checked_anew_where_only_the_profiles_have_changed(tmp_path, monkeypatch):
    monkeypatch.setattr("gasketcut.profile.own.user_folder", lambda: tmp_path / "home")
    (tmp_path / "joints.toml").write_text('[passages]\nintake = ["intake", "impulse", "choke"]\n', encoding="utf-8")
    job = parse_job(CARB, tmp_path / "job.toml")
    before = evaluate(job, Profiles())
    after = evaluate(job, previous=before)

    assert before.verdict is Verdict.FITS
    assert (after.verdict, after.parts["carb"].unsaid) == (Verdict.NOT_PROVEN, ("choke",))
