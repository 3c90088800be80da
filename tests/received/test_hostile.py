"""What a terminal would obey, or what turns the order of reading, is shown as its code: names and texts of a file."""

import json
import re
import sys

import pdfplumber
import pytest
from click.testing import CliRunner

from gasketcut.cli import main
from gasketcut.errors import GasketError
from gasketcut.outside import lines_shown, shown, shown_in_json
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend

ESCAPED = [
    *range(0x20), 0x7F, *range(0x80, 0xA0), 0x061C, 0x200E, 0x200F, 0x2028, 0x2029, *range(0x202A, 0x202F),
    *range(0x2066, 0x206A), 0xD800, 0xDCFF, 0xDFFF,
]  # fmt: skip
HOSTILE = re.compile("[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
LAYER = "CUT\x1b[31m\u202egnp\x07\x9b2J\u2067"
FILE = "plate\x1b]0;gone\x07\u202efxd\n\udcff.dxf"  # the last but the ending is a byte that is no UTF-8


def hostile_dxf(layer=LAYER):
    """An open square, letters, a block that is not there, an entity of a made-up kind, a number that is none."""
    rows = [
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1024\x1b[5m\n9\n$INSUNITS\n70\n4\n0\nENDSEC",
        f"0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n{layer}\n10\n0\n20\n0\n40\n9",
        f"0\nLWPOLYLINE\n8\n{layer}\n100\nAcDbPolyline\n90\n3\n70\n0\n10\n0\n20\n0\n10\n50\n20\n0\n10\n50\n20\n30",
        f"0\nTEXT\n8\n{layer}\n10\n5\n20\n5\n40\n3\n1\nread\x1b[2J \u2066me",
        f"0\nINSERT\n8\n{layer}\n2\nB\x1b[1m\u200f\n10\n0\n20\n0",
        f"0\nEVIL\x1b[7m\n8\n{layer}\n10\n0\n20\n0",
        f"0\nCIRCLE\n8\n{layer}\n10\n1\x1b[8m\n20\n0\n40\n1",
        "0\nENDSEC\n0\nEOF\n",
    ]
    return "\n".join(rows).encode()


def clean_dxf(layer=LAYER):
    return (
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1024\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"
        f"0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n{layer}\n10\n0\n20\n0\n40\n9\n0\nENDSEC\n0\nEOF\n"
    ).encode()


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


@pytest.mark.parametrize("code", ESCAPED)
def test_each_of_them_is_shown_as_its_code(code):
    letter = chr(code)

    assert shown(f"a{letter}b") == {"\n": "a\\nb", "\t": "a\\tb", "\r": "a\\rb"}.get(
        letter, f"a\\x{code:02x}b" if code < 0x100 else f"a\\u{code:04x}b"
    )
    assert (lines_shown(letter) == letter) == (letter == "\n")
    assert json.loads(shown_in_json(json.dumps([letter], ensure_ascii=False))) == [letter]


@pytest.mark.parametrize("text", ["Blech 3 mm, größer", "прокладка", "ガスケット", "a\\b", "10 °"])
def test_letters_of_any_language_stay(text):
    assert shown(text) == lines_shown(text) == shown_in_json(text) == text


def test_nothing_of_it_is_left_in_what_was_found():
    found = inspect(hostile_dxf())

    texts = [*found.layers, *found.entities, found.version, *(open_.layer for open_ in found.open)]
    texts += [text for flaw in found.flaws for text in (flaw.text, flaw.fix)]

    assert "CUT\\x1b[31m\\u202egnp\\x07\\x9b2J\\u2067" in found.layers
    assert len(texts) > 15
    assert not any(HOSTILE.search(text) for text in texts)


@pytest.mark.skipif(sys.platform == "win32", reason="no such file names there")
@pytest.mark.parametrize(
    "words",
    [(), ("--json",), ("--picture", "p.svg"), ("--picture", "p.pdf"), ("--reply", "p.pdf"), ("--reply", "p.txt")],
)
def test_nothing_of_it_reaches_the_terminal_a_picture_or_the_reply(folder, words):
    (folder / FILE).write_bytes(hostile_dxf())
    done = run("inspect", FILE, *words)

    assert done.exit_code == 1
    assert not HOSTILE.search(done.output)
    assert "plate\\x1b]0;gone\\x07\\u202efxd\\n\\udcff.dxf" in done.output or json.loads(done.output)["file"] == FILE
    for written in folder.glob("p.*"):
        text = in_pdf(written) if written.suffix == ".pdf" else written.read_text(encoding="utf-8")
        assert not HOSTILE.search(text)
        assert "plate\\x1b]0;gone\\x07\\u202efxd\\n\\udcff.dxf" in "".join(text.split("\n"))


def in_pdf(file):
    with pdfplumber.open(file) as document:
        return "\n".join([str(document.metadata), *(page.extract_text() for page in document.pages)])


@pytest.mark.skipif(sys.platform == "win32", reason="no such file names there")
def test_nor_the_table_its_json_and_its_csv(folder):
    (folder / FILE).write_bytes(hostile_dxf())
    (folder / "b.dxf").write_bytes(clean_dxf())
    (folder / "no\x1b[2J.dxf").write_bytes(b"\x1b[2Jno\nDXF\n")
    table, lines = run("inspect", ".", "--csv", "found.csv"), run("inspect", ".", "--json")

    assert not HOSTILE.search(table.output)
    assert not HOSTILE.search(lines.output)
    assert not HOSTILE.search((folder / "found.csv").read_text(encoding="utf-8"))
    assert len(table.output.split("plate\\x1b]0;gone\\x07\\u202efxd\\n\\udcff.dxf")) == 2
    assert FILE in {json.loads(line)["file"] for line in lines.output.splitlines()}


@pytest.mark.skipif(sys.platform == "win32", reason="no such file names there")
def test_nor_the_mended_file(folder):
    (folder / FILE).write_bytes(clean_dxf())
    done = run("mend", FILE, "-o", "mended.dxf")

    assert done.exit_code == 0
    assert not HOSTILE.search(done.output)
    data = (folder / "mended.dxf").read_text(encoding="utf-8")
    assert not HOSTILE.search(data.replace("\r", ""))
    assert inspect(folder / "mended.dxf").closed


@pytest.mark.parametrize("command", ["inspect", "mend"])
def test_nor_do_messages_about_files_that_cannot_be_read(folder, command):
    done = run(command, "none\x1b[2J\u202e.dxf", *(["-o", "out.dxf"] if command == "mend" else []))

    assert done.exit_code == 2
    assert not HOSTILE.search(done.output)
    with pytest.raises(GasketError) as error:
        mend("none\x1b[2J.dxf")
    assert "none\\x1b[2J.dxf: cannot be read" in str(error.value)
