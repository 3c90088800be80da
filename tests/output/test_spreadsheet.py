"""No cell of a table that we write is taken for a formula, and the tables that we read back hold what was there."""

import csv
import io

import pytest

from gasketcut.job.reading.cost_table import costs_from_csv
from gasketcut.output.spreadsheet import csv_text
from gasketcut.outside import from_cell, in_cell


@pytest.mark.parametrize("text", ["=1+1", "+41", "-2+3", "@sum(1)", "\t=1", "\r=1", "\n=1", "-", "=cmd|' /C calc'!A0"])
def test_what_begins_as_a_formula_is_a_text(text):
    (row,) = csv.reader(io.StringIO(csv_text([[text]]), newline=""))

    assert row[0].startswith("'")
    assert from_cell(row[0]) == text or "\\" in row[0]


@pytest.mark.parametrize("number", ["-0.09", "12", "1e-3", "-.5", "-7."])
def test_a_plain_number_stays_one(number):
    assert in_cell(number) == number


@pytest.mark.parametrize("text", ["plate, large", 'so "called"', "'tis", "a\x1b[2Jb", ""])
def test_other_texts_stay_in_their_cell(text):
    (row,) = csv.reader(io.StringIO(csv_text([[text, 1.5, None]]), newline=""))

    assert row == [text.replace("\x1b", "\\x1b"), "1.5", ""]


def test_a_cost_that_looks_like_a_formula_is_read_back_as_it_was():
    (cost,) = costs_from_csv(csv_text([["name", "price"], ["=gasket", "2"]]))

    assert cost.name == "=gasket"
