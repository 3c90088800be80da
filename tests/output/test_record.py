"""The build sheet: what it holds, and that paper and text say the same."""

import re

import pdfplumber
import pypdfium2
import pytest

from gasketcut import parse_job
from gasketcut.flow import record
from gasketcut.pages.build_sheet.sections import torque
from gasketcut.profile.own import shipped

MORE = """
[[work]]
port = "exhaust"
remove = 0.5
[record]
date = "2026-03-09"
tools = ["calipers 0.02 mm", "burette 25 cc"]
notes = ["Bore honed."]
[[record.fastener]]
what = "cylinder nuts"
size = "M5"
torque_nm = 6.0
"""
DEMO = shipped("demo").read_text(encoding="utf-8") + MORE
BARE = """title = "Sluice rake"
units = "mm"
[[part]]
name = "lid"
kind = "flat"
outline = { round = 40.0 }
"""


def words_of(path):
    with pdfplumber.open(path) as document:
        return " ".join(" ".join(page.extract_text().split()) for page in document.pages)


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    out = tmp_path_factory.mktemp("record")
    record(parse_job(DEMO), out)
    return out


def test_every_section_is_on_paper_and_in_the_text(sheet):
    text, paper = (sheet / "build-sheet.txt").read_text(encoding="utf-8"), words_of(sheet / "build-sheet.pdf")
    headings = re.findall(r"^(.+)\n-+$", text, re.MULTILINE)
    assert headings == [
        "Engine", "Readings", "Base gasket: choice and why", "Before and after", "Port work: exhaust",
        "Exhaust port width", "Parts cut", "Fasteners", "To measure again after assembly", "Remarks", "Mind",
    ]  # fmt: skip
    for heading in headings:
        assert heading in paper
    for words in ("2026-03-09", "calipers 0.02 mm; burette 25 cc", "squish, left", "0.91 mm (0.036 in)",
                  "1 x can sheet gives a squish of 0.52 mm (0.020 in)", "6.0 N m (4.4 lbf ft)", "Bore honed.",
                  "blowdown", "squish velocity", "asbestos", "spark arrester"):  # fmt: skip
        assert words in paper
        assert words in " ".join(text.split())


def test_the_lines_of_the_text_go_on_a_screen(sheet):
    assert max(map(len, (sheet / "build-sheet.txt").read_text(encoding="utf-8").splitlines())) <= 80


def test_the_numbers_are_those_of_the_answer(sheet, command):
    answer = command("squish", "demo").stdout
    text = (sheet / "build-sheet.txt").read_text(encoding="utf-8")
    rows = re.findall(
        r"^(ratio, full stroke|ratio, trapped|blowdown|transfer open for) +([\d.]+) .*?  +(\S+)", answer, re.M
    )
    assert len(rows) == 4
    for what, before, after in rows:
        assert re.search(rf"^{what} +{re.escape(before)} .* {re.escape(after)}", text, re.MULTILINE), what


def test_what_is_to_be_measured_again_is_after_the_work_too(sheet, command):
    text = (sheet / "build-sheet.txt").read_text(encoding="utf-8")
    (after,) = re.findall(r"opens 103.0 deg now, .* after the work, ([\d.]+) with the gasket too", text)
    assert f"exhaust opens, deg ATDC (expected {after})" in text


def test_a_section_without_data_is_left_out(tmp_path):
    record(parse_job(BARE), tmp_path, date="2026-01-02")
    text = (tmp_path / "build-sheet.txt").read_text(encoding="utf-8")
    assert re.findall(r"^(.+)\n-+$", text, re.MULTILINE) == ["Parts cut"]


def test_the_same_job_and_date_give_the_same_bytes(sheet, tmp_path):
    record(parse_job(DEMO), tmp_path)
    for name in ("build-sheet.pdf", "build-sheet.txt"):
        assert (tmp_path / name).read_bytes() == (sheet / name).read_bytes()


@pytest.mark.parametrize(("paper", "size"), [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))])
def test_words_stay_inside_the_margins(tmp_path, paper, size):
    record(parse_job(DEMO), tmp_path, paper)
    with pdfplumber.open(tmp_path / "build-sheet.pdf") as document:
        for page in document.pages:
            assert (float(page.width) / 72 * 25.4, float(page.height) / 72 * 25.4) == pytest.approx(size, abs=0.01)
            for letter in page.chars:
                assert 28 < letter["x0"] < letter["x1"] < float(page.width) - 28
                assert 25 < letter["top"] < letter["bottom"] < float(page.height) - 20
    document = pypdfium2.PdfDocument(tmp_path / "build-sheet.pdf")
    assert 2 <= len(document) <= 3
    document.close()


def test_torque_in_both_systems():
    # From the definitions: 1 lbf ft = 0.3048 m x 4.4482216 N = 1.3558179 N m.
    assert torque(1.3558179) == "1.4 N m (1.0 lbf ft)"


def test_by_command(command, tmp_path):
    done = command("record", "job.toml", "--date", "2026-01-02", text=BARE)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "build-sheet.pdf and build-sheet.txt in .\n"
    assert "2026-01-02" in (tmp_path / "build-sheet.txt").read_text(encoding="utf-8")
    again = command("record", "job.toml", "--date", "2026-01-03", text=BARE)
    assert again.returncode == 2
    assert "--replace" in again.stderr


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[record]\ndate = "9.3.2026"\n', "year-month-day"),
        ('[record]\ntools = "calipers"\n', "list of names"),
        ('[[record.fastener]]\nsize = "M5"\n', "what"),
        ('[record]\nwho = "me"\n', "unknown key"),
    ],
)
def test_bad_records_are_named(command, text, words):
    done = command("record", "job.toml", text=BARE + text)
    assert done.returncode == 2
    assert words in done.stderr
