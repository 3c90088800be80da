"""What a user lets be left out: one word each, the same for a look, for mending and for a received part."""

import json

import pytest
from click.testing import CliRunner

from gasketcut.cli import main
from gasketcut.errors import DrawingError
from gasketcut.received.drop import Drop, drop_of
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend
from tests.received.drawn import circle, dxf, layer, line, linetype, plate, text

TABLES = "\n".join([layer("0"), layer("DIM"), layer("AXES", "CENTER2"), linetype("CENTER2", 20, -4, 2, -4)])
DRAWING = dxf(
    plate(0, 0, 80, 50),
    circle(40, 25, 8),
    line(-5, 25, 85, 25, on="AXES"),
    line(40, -5, 40, 55, style="Center2"),
    line(0, -10, 80, -10, on="DIM"),
    text(38, -9, "80", on="dim"),
    tables=TABLES,
)


def test_words_and_selections_are_read():
    found = drop_of(["text", "Dimensions", "layer=Dim", " linetype = Center "])
    assert found == Drop(frozenset({"text", "dimensions"}), frozenset({"DIM"}), frozenset({"CENTER"}))
    assert drop_of(()) == Drop()


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("dimension", "did you mean dimensions?"),
        ("layer", "name one, such as layer=DIM"),
        ("linetype=", "name one, such as linetype=CENTER"),
        (
            "open",
            "There are text, dimensions, hatch, point, hidden, region, stray, centre-lines, bend-lines",
        ),
        ("colour=3", "nothing that can be left out"),
    ],
)
def test_another_word_is_refused_with_those_there_are(word, says):
    with pytest.raises(DrawingError, match="nothing that can be left out") as caught:
        drop_of([word])
    assert says in str(caught.value)


def test_a_layer_is_left_out_with_all_that_lies_on_it():
    found = inspect(DRAWING, drop=["layer=dim"])
    assert [(one.word, one.text) for one in found.dropped] == [
        ("layer=DIM", "LINE on layer DIM"),
        ("layer=DIM", "TEXT on layer dim"),
    ]
    assert {flaw.kind for flaw in found.flaws} == {"open", "crossing"}
    assert found.size == (90.0, 60.0)


def test_a_line_type_is_that_of_the_layer_too():
    found = inspect(DRAWING, drop=["linetype=CENTER2", "layer=DIM"])
    assert found.verdict == "ready"
    assert len(found.dropped) == 4
    assert found.size == (80.0, 50.0)


def test_what_a_block_reference_is_drawn_with_goes_on_in_it():
    inside = line(-5, 25, 85, 25, style="BYBLOCK")
    block = f"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n10\n0\n20\n0\n{inside}\n0\nENDBLK\n0\nENDSEC\n"
    drawing = dxf(plate(0, 0, 80, 50), "0\nINSERT\n8\n0\n6\nCENTER\n2\nB\n10\n0\n20\n0", blocks=block)
    assert [flaw.kind for flaw in inspect(drawing, drop=["linetype=CENTER"]).flaws] == []
    assert "open" in {flaw.kind for flaw in inspect(drawing, drop=["linetype=DASHED"]).flaws}


def test_mending_leaves_out_the_same_and_says_so():
    mended = mend(DRAWING, drop=["linetype=CENTER2", "layer=DIM"])
    assert mended.refused == ()
    assert [change.text for change in mended.changes if change.kind == "linetype=CENTER2"] == [
        "left out: LINE on layer AXES",
        "left out: LINE on layer 0",
    ]
    assert len(mended.closed) == 2
    assert mended.open == ()


def test_the_command_line_takes_them_and_refuses_others(tmp_path):
    file = tmp_path / "plate.dxf"
    file.write_bytes(DRAWING)
    options = ["--drop", "linetype=CENTER2", "--drop", "layer=DIM"]
    ready = CliRunner().invoke(main, ["inspect", str(file), *options])
    assert ready.exit_code == 0, ready.output
    assert "left out  linetype=CENTER2: 2, layer=DIM: 2" in ready.output
    data = json.loads(CliRunner().invoke(main, ["inspect", str(file), "--json", *options]).output)
    assert {"what": "layer=DIM", "at": [0.0, -10.0], "text": "LINE on layer DIM"} in data["dropped"]
    out = tmp_path / "mended.dxf"
    assert CliRunner().invoke(main, ["mend", str(file), "-o", str(out), *options]).exit_code == 0
    assert inspect(out).verdict == "ready"
    wrong = CliRunner().invoke(main, ["mend", str(file), "-o", str(out), "--drop", "dimension"])
    assert wrong.exit_code == 2
    assert "did you mean dimensions?" in wrong.output
