"""What is not cut by the name of its layer, and when a name is not enough."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gasketcut.received.faults.taken import is_marking
from gasketcut.received.inspection import inspect
from tests.received.drawn import arc, circle, dxf, line, polyline, square
from tests.received.test_inspect import kinds

PLATE = polyline((0, 0), (80, 0), (80, 50), (0, 50))


def table(**layers: int) -> str:
    """A layer table; a negative colour is a layer that is off."""
    rows = "".join(f"0\nLAYER\n2\n{name}\n70\n0\n62\n{colour}\n" for name, colour in layers.items())
    return f"0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n{rows}0\nENDTAB\n0\nENDSEC\n"


LAYERS = table(LEAD=7, OVERCUT=7, TAB=7)


@pytest.mark.parametrize("layer", ["LEAD", "OVERCUT", "lead"])
@pytest.mark.parametrize(
    "across", [line(-10.0, 25.0, 90.0, 25.0, "?"), line(0.0, 25.0, 80.0, 25.0, "?"), line(40.0, 0.0, 40.0, 60.0, "?")]
)
def test_a_line_right_across_a_plate_is_a_cut_whatever_its_layer_is_called(layer, across):
    shown = kinds(dxf(PLATE, across.replace("?", layer), blocks=LAYERS))

    assert set(shown) <= {"crossing", "open", "branch", "touching"}
    assert shown


def test_a_closed_contour_on_lead_is_a_cut():
    found = inspect(dxf(PLATE, square(10, 10, 20).replace("8\n0", "8\nLEAD", 1), blocks=LAYERS), "mm")

    assert found.what.holes == (1,)


@given(st.floats(0, 360), st.booleans())
def test_leads_from_the_scrap_are_no_cuts_wherever_the_part_lies(turn, back):
    c, s = cos(radians(turn)), sin(radians(turn))

    def at(x, y):
        return c * x - s * y, s * x + c * y

    def lead(*ends):
        (x0, y0), (x1, y1) = (at(*end) for end in (ends[::-1] if back else ends))
        return line(x0, y0, x1, y1, "LEAD")

    plate = polyline(*[at(*corner) for corner in ((0, 0), (80, 0), (80, 50), (0, 50))])
    hole = circle(*at(40, 25), 10)
    found = inspect(dxf(plate, hole, lead((-3, 0), (0, 0)), lead((40, 28), (40, 35)), blocks=LAYERS), "mm")

    assert [flaw.kind for flaw in found.flaws] == []
    assert [(one.layer, one.kind, one.count) for one in found.taken] == [("LEAD", "lead", 2)]
    assert found.what.starts == 2


def test_a_lead_of_two_lines_and_one_that_comes_in_along_the_hole():
    leads = (
        line(-8.0, -4.0, -3.0, 0.0, "LEAD"), line(-3.0, 0.0, 0.0, 0.0, "LEAD"),
        arc(47, 25, 3, 0, 90, "LEAD"), line(50.0, 25.0, 50.0, 25.5, "OVERCUT"),
    )  # fmt: skip
    found = inspect(dxf(PLATE, circle(40, 25, 10), *leads[:3], blocks=LAYERS), "mm")

    assert [flaw.kind for flaw in found.flaws] == []
    assert found.taken[0].count == 3


def test_an_overcut_lies_on_the_contour_or_is_a_cut():
    on, off = line(0.0, 0.0, 5.0, 0.0, "OVERCUT"), line(0.0, 2.0, 5.0, 2.0, "OVERCUT")

    assert kinds(dxf(PLATE, on, blocks=LAYERS)) == {}
    assert "open" in kinds(dxf(PLATE, off, blocks=LAYERS))


def test_a_lead_that_starts_within_the_sheet_is_a_cut():
    assert "open" in kinds(dxf(PLATE, line(5.0, 5.0, 0.0, 5.0, "LEAD"), blocks=LAYERS))


@pytest.mark.parametrize("layer", ["Marketing", "benchmark", "Scorecard", "fetched", "underscore", "landmarks"])
def test_a_word_within_a_word_marks_nothing(layer):
    assert not is_marking(layer)
    assert "open" in kinds(dxf(PLATE, line(5.0, 5.0, 15.0, 5.0, layer)))


@pytest.mark.parametrize(
    "layer", ["MARK", "Score-board", "ENGRAVE", "engraving_2", "ETCH", "EtchedText", "scribe lines", "3 MARKINGS"]
)
def test_a_layer_of_marks_is_said(layer):
    found = inspect(dxf(PLATE, line(5.0, 5.0, 15.0, 5.0, layer), blocks=table(**{layer: 7})), "mm")

    assert found.verdict == "look"
    (look,) = found.looks
    assert (look.kind, look.at) == ("not-cut", (5.0, 5.0))
    assert f"taken as marking, not cut: layer {layer}" in look.text


def test_our_own_marks_beside_our_own_cuts_need_no_look():
    names = table(MARK=7, **{"CUT-OUTSIDE": 7})
    plate = PLATE.replace("8\n0", "8\nCUT-OUTSIDE", 1)

    assert inspect(dxf(plate, line(5.0, 5.0, 15.0, 5.0, "MARK"), blocks=names), "mm").verdict == "ready"
    assert inspect(dxf(PLATE, line(5.0, 5.0, 15.0, 5.0, "MARK"), blocks=names), "mm").verdict == "look"


def test_a_layer_tab_that_is_on_is_not_off():
    sides = [line(0.0, 0.0, 20.0, 0.0), line(20.0, 0.0, 20.0, 20.0), line(20.0, 20.0, 0.0, 20.0)]

    assert kinds(dxf(circle(0, 0, 5), line(20.0, 0.0, 30.0, 0.0, "TAB"), blocks=LAYERS)) == {"open": 2}
    assert inspect(dxf(square(0, 0, 9), circle(30, 0, 5, "TAB"), blocks=LAYERS), "mm").verdict == "ready"
    assert kinds(dxf(*sides, line(0.0, 20.0, 0.0, 0.0, "TAB"), blocks=table(TAB=-7))) == {}
