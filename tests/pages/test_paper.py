"""On paper: what corrects a printer, how wrong a print may be, in which order to cut, and with which punch."""

from math import pi, radians, sin

import pdfplumber
import pypdfium2
import pytest

from gasketcut import GasketError, Options, parse_job
from gasketcut.checks.motion.printed import print_tolerance
from gasketcut.cutting.hand import chain_of, hand_plan, punches_for
from gasketcut.pages.printer import Correction, correction, keep, kept, parse_printed
from gasketcut.parts.part import Hole, outline_of
from gasketcut.profile.profiles import Profiles
from tests.making import built, make
from tests.pages.test_pdf_by_readers import READERS, bars, circles, extent

HEAD = 'title = "Ferry winch"\nunits = "mm"\n'
PLATE = """[[part]]
name = "plate"
kind = "flat"
outline = { rectangle = [80.0, 60.0], corner = 8.0 }
opening = { round = 30.0 }
studs = { at = [[-30, -20], [30, -20], [30, 20], [-30, 20]], size = "M5", fit = "medium" }
holes = { at = [[0, 24]], diameter = 3.0 }
"""


def part_of(text):
    (part,) = built(parse_job(HEAD + text))
    return part


def steps_of(text):
    part = part_of(text)
    return hand_plan(part, outline_of(part))


# --- the printer ---


def test_the_posted_case_of_a_print_that_is_too_short():
    # A posted case: a 175 mm line came out 173 mm, a 250 mm one came out right.
    assert (correction(173, 175), correction(250, 250)) == (pytest.approx(1.01156, abs=5e-6), 1.0)


@pytest.mark.parametrize(("text", "short", "long"), [("99.4x100.3", 99.4, 100.3), (" 100 x 98 ", 100.0, 98.0)])
def test_bars_as_measured(text, short, long):
    assert parse_printed(text) == Correction(100 / short, 100 / long)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("93.7x93.7", "fit to page"),  # a printer driver's shrink: 93.75 %
        ("103.5x100", "fill the page"),
        ("3.94x3.94", "in mm"),
        ("2540x2540", "inches were taken for millimetres"),
        ("50x100", "measure again"),
        ("99.4", "99.4x100.3"),
        ("99,4x100,3", "99.4x100.3"),
        ("nan x inf", "99.4x100.3"),
    ],
)
def test_what_is_no_printers_error_is_refused_with_its_cause(text, words):
    with pytest.raises(GasketError, match=words):
        parse_printed(text)


def test_a_printer_is_kept_under_its_name(tmp_path, monkeypatch):
    monkeypatch.setattr("gasketcut.profile.printers.user_folder", lambda: tmp_path)
    with pytest.raises(GasketError, match="no printer 'office' is known"):
        kept("office")
    keep("attic", "101.0x100.0")
    file = keep("office", "99.4x100.3")
    assert file.parent == tmp_path
    assert kept("office") == Correction(100 / 99.4, 100 / 100.3)
    assert kept("attic") == Correction(100 / 101.0, 1.0)
    with pytest.raises(GasketError, match="letters, figures"):
        keep("../office", "100x100")


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(("outline", "lies"), [("[80.0, 60.0]", False), ("[200.0, 60.0]", True)])
def test_a_corrected_page_comes_out_right_on_that_printer(tmp_path, reader, outline, lies):
    text = f'[[part]]\nname = "a"\nkind = "flat"\noutline = {{ rectangle = {outline} }}\n'
    make(parse_job(HEAD + text), tmp_path, Options(fix=parse_printed("99.4x100.3")))
    (page,) = READERS[reader](tmp_path / "a.pdf")
    short, long = 100 / 99.4, 100 / 100.3
    across, up = (long, short) if lies else (short, long)
    sides = [float(side) for side in outline.strip("[]").split(",")]
    assert extent(page)[:2] == pytest.approx((sides[0] * across, sides[1] * up), abs=0.01)
    # What the printer makes of the bars is 100 mm.
    (_, length, _), (_, height, _) = bars(page)
    assert (length / across, height / up) == pytest.approx((100.0, 100.0), abs=0.01)
    assert "drew 100 mm as 99.4 (short edge) and 100.3 (long edge)" in page.words


def test_paper_sizes_are_the_published_ones():
    inch = 25.4
    wanted = {  # ISO 216; ANSI/ASME Y14.1; legal and tabloid as sold, 8.5 x 14 in and 11 x 17 in
        "a4": (210, 297), "a3": (297, 420), "letter": (8.5 * inch, 11 * inch), "legal": (8.5 * inch, 14 * inch),
        "tabloid": (11 * inch, 17 * inch),
    }  # fmt: skip
    assert {one.name: (one.width, one.height) for one in Profiles().papers.papers} == {
        name: pytest.approx(size) for name, size in wanted.items()
    }


def test_a_part_that_takes_too_many_sheets_has_no_pdf_and_all_else(tmp_path):
    text = '[[part]]\nname = "a"\nkind = "flat"\noutline = { rectangle = [1900.0, 1900.0] }\n'
    made = make(parse_job(HEAD + text), tmp_path)
    assert {file.name for file in tmp_path.iterdir()} == {"a.dxf", "a.svg", "report.json"}
    assert "nobody can glue together" in made.as_json()


# --- how wrong a print may be ---


def test_how_wrong_a_print_may_be():
    # Two holes 60 mm apart with 0.25 mm play each: they go on until the print is 0.5 mm too long or too short.
    two = part_of(PLATE.replace("[[-30, -20], [30, -20], [30, 20], [-30, 20]]", "[[-30, 0], [30, 0]]"))
    assert print_tolerance(two) == pytest.approx(0.5 / 60, rel=0.01)
    # Four at the corners: the farthest from the middle is 36.06 mm off.
    assert print_tolerance(part_of(PLATE)) == pytest.approx(0.25 / (30**2 + 20**2) ** 0.5, rel=0.01)
    assert print_tolerance(part_of(PLATE.replace("[[-30, -20], [30, -20], [30, 20], [-30, 20]]", "[[-30, 0]]"))) is None


# --- the order ---


def test_two_holes_far_apart_first_and_the_outside_last():
    steps = steps_of(PLATE)
    assert [step.number for step in steps] == [1, 2, 3, 4, 5, 6, 7]
    assert [step.what.split(",")[0] for step in steps] == ["hole"] * 5 + ["opening", "outside"]
    apart = sum((a - b) ** 2 for a, b in zip(steps[0].at, steps[1].at, strict=True)) ** 0.5
    assert apart > 70  # opposite corners: 72.1 mm, whatever side their numbers stand on
    assert ["bolt" in step.what for step in steps[:3]] == [True, True, False]
    assert steps[5].diameter == 30.0


def test_a_ring_is_cut_outside_first():
    ring = '[[part]]\nname = "ring"\nkind = "flat"\noutline = { round = 60.0 }\nopening = { round = 30.0 }\n'
    assert [step.what.split(",")[0] for step in steps_of(ring)] == ["outside", "opening"]
    off = ring.replace("{ round = 30.0 }", "{ round = 30.0, at = [4.0, 0.0] }")
    assert [step.what.split(",")[0] for step in steps_of(off)] == ["opening", "outside"]


def test_numbers_stand_on_no_cut():
    part = part_of(PLATE)
    from shapely.geometry import Point

    for step in hand_plan(part, outline_of(part)):
        assert part.solid.boundary.distance(Point(step.at)) > 0.8
        assert part.solid.contains(Point(step.at)) is not (step.on_waste or step.what == "outside")


# --- punches ---


@pytest.mark.parametrize(
    ("diameter", "stud", "wanted"),
    [
        (5.5, 5.0, [("5.5 mm", 0.0, True), ("7/32 in", 7 / 32 * 25.4 - 5.5, True)]),
        (5.1, 5.0, [("5.5 mm", 0.4, True), ("7/32 in", 7 / 32 * 25.4 - 5.1, True)]),  # 5.0 and 3/16 would not go over
        (3.1, None, [("3 mm", -0.1, True), ("1/8 in", 3.175 - 3.1, True)]),
    ],
)
def test_the_nearest_punch_that_clears_the_stud(diameter, stud, wanted):
    found = punches_for(Hole((0.0, 0.0), diameter, "stud", "stud", stud), Profiles().punches)
    assert [(one.words, one.error, one.clears) for one in found] == [
        (words, pytest.approx(error), clears) for words, error, clears in wanted
    ]


def test_a_bore_is_no_punched_hole():
    assert punches_for(Hole((0.0, 0.0), 44.0, "opening", "bore"), Profiles().punches) == ()


def test_the_chain_of_a_muffler_outlet():
    part = part_of(
        '[[part]]\nname = "out"\nkind = "outlet"\nform = "template"\noutlet = { round = 30.0 }\ndrill = 4.0\n'
    )
    chain = chain_of(part)
    assert chain.drill == 4.0
    # On a circle: the chord between neighbours.
    radius = max(abs(line.start[0]) for (line,) in part.marks) - part.marks[0][0].chord / 2
    assert chain.spacing == pytest.approx(2 * 12.5 * sin(pi / chain.count), abs=0.3)
    assert chain.web == chain.spacing - 4.0 > 0
    assert radius < 15.0 - 2.0
    assert chain_of(part_of(PLATE)) is None
    assert radians(360 / chain.count) > 0


# --- the pages ---


def test_the_plan_is_on_the_page_after(tmp_path):
    make(parse_job(HEAD + PLATE), tmp_path)
    with pdfplumber.open(tmp_path / "plate.pdf") as document:
        pages = [page.extract_text() for page in document.pages]
    assert len(pages) == 2
    for words in (
        "to cut by hand",
        "5.5 mm, exact or 7/32 in, off by +0.06 mm (+0.002 in)",
        "7. outside",
        "Hatched: falls out",
    ):
        assert words in pages[1]


def test_several_small_parts_go_on_one_page(tmp_path):
    names = ["a", "b", "c"]
    text = "".join(PLATE.replace('"plate"', f'"{name}"') for name in names)
    make(parse_job(HEAD + text), tmp_path, Options(together=True))
    (page,) = READERS["pdfium"](tmp_path / "parts-together.pdf")
    assert sorted(round(d, 2) for _, _, d in circles(page)) == [3.0] * 3 + [5.5] * 12 + [30.0] * 3
    assert all(f"{name}: sheet not named, cut 1" in page.words for name in names)
    document = pypdfium2.PdfDocument(tmp_path / "parts-together.pdf")
    assert len(document) == 1
    document.close()
