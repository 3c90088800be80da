"""What is said of a cut part, and why the exit code is 1: in words and in data, against what the picture is good to."""

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.comparing.cut.cut_comparison import compare_cut
from gasketcut.evaluation.as_cut import CutContours, as_cut
from gasketcut.output.compared.cut_data import cut_data
from gasketcut.output.compared.cut_text import cut_text
from tests.comparing.cut_parts import JOB, cut_as

HOLE = (23.5, 25.5)
"""The stud's hole that is moved."""


@pytest.fixture(scope="module")
def evaluation():
    return evaluate(parse_job(JOB))


def compared(evaluation, within=0.2, source="dpi", moved=None, **wrong):
    drawn = evaluation.parts["carb-gasket"].outline
    at = {one.center: n for n, one in enumerate(drawn.inner)}[HOLE]
    found = compare_cut(drawn, cut_as(drawn, moved={at: moved} if moved else None, **wrong), within)
    checks = as_cut(evaluation, "carb-gasket", CutContours(found.contours[0], found.inner, found.not_drawn))
    words = " ".join(cut_text(found, checks, source).split())
    return words, cut_data(found, checks, "a.png", source)


def test_within_what_is_allowed_and_spoilt_is_said_in_the_head_and_in_the_data(evaluation):
    words, data = compared(evaluation, within=3.0, moved=(1.2, 1.2))
    assert data["verdict"] == "as drawn"
    assert data["spoilt"]["is_proven"]
    assert "does not go over its studs" in data["spoilt"]["reasons"][0]
    assert words.startswith("CUT AS DRAWN: nothing of carb-gasket is off by more than 3.00 mm")
    assert "IT NO LONGER FITS AS IT WAS CUT: as it was cut it does not go over its studs" in words


def test_a_stop_that_the_scale_may_have_made_is_not_proven(evaluation):
    words, data = compared(evaluation, within=3.0, moved=(0.65, 0.65), scale=0.004)
    assert data["fit"]["as_cut"] == "does not fit"
    assert not data["spoilt"]["is_proven"]
    (one,) = [one for one in data["fit"]["not_proven"] if one["rule"] == "hole"]
    assert 0 < one["margin_mm"] < one["half_range_mm"]
    assert "IT MAY NO LONGER FIT AS IT WAS CUT, by less than the picture is good to" in words


def test_a_fit_is_proven_only_beyond_what_the_picture_is_good_to(evaluation):
    words, data = compared(evaluation)
    assert (data["spoilt"], data["fit"]["not_proven"]) == (None, [])
    assert "not proven" not in words
    words, data = compared(evaluation, scale=0.03)
    assert data["spoilt"] is None
    assert "worst overhang" in [one["rule"] for one in data["fit"]["not_proven"]]
    assert "not proven by this picture" in words


def test_an_opening_that_is_missing_is_not_called_off(evaluation):
    words, data = compared(evaluation, left_out=(1,))
    assert data["verdict"] == "not as drawn"
    assert words.startswith("NOT CUT AS DRAWN: carb-gasket lacks an opening that was drawn.")


def test_who_has_a_card_is_not_sent_for_one(evaluation):
    words, _ = compared(evaluation, within=0.05, source="card", scale=0.004)
    assert words.startswith("NOT PROVEN")
    assert "bank card" not in words
    assert "--along left:right" in words
