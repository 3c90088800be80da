"""The reply to a customer and the picture of what was found: all of it in words, numbers that stand clear."""

import io
import math
from dataclasses import replace
from pathlib import Path

import pdfplumber
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut.cli import main
from gasketcut.length import PT
from gasketcut.output.picture import Stroke, Words
from gasketcut.output.text.received.plain import GROUPS, LOOKS, QUESTIONS, REPAIRS
from gasketcut.pages.columns import wide
from gasketcut.pages.reply.drawing import drawing_of
from gasketcut.pages.reply.files import picture_pdf, picture_svg, reply_pdf, reply_text
from gasketcut.pages.reply.items import MOST, items_of
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.groups.group import Group
from gasketcut.received.inspection import inspect
from gasketcut.received.looks.look import Look
from tests.received.customers import customers
from tests.received.drawn import circle, dxf, line, polyline, square
from tests.received.test_inspect import FAULTS, REAL, UNREADABLE

FILES = [*(path for path in sorted(FAULTS.glob("*.dxf")) if path.stem not in UNREADABLE), *sorted(REAL.glob("*.dxf"))]
MANY = dxf(square(0, 0, 300), *[line(10.3 * n, 5, 291 - 7 * n, 280 + n / 3) for n in range(28)])
CASES = {
    "many": MANY,
    "huge": dxf(polyline((5e6, 7e6), (5.002e6, 7e6), (5.002e6, 7.0015e6), (5e6, 7.0015e6)), line(5e6, 7e6, 5.1e6, 8e6)),
    "tiny": dxf(square(0, 0, 0.2), circle(0.1, 0.1, 0.05), line(0.05, 0.05, 0.08, 0.06)),
    "none closed": dxf(line(0, 0, 50, 0), line(50, 0.5, 50, 40), line(49, 40, 0, 40), line(0, 39, 0, 1)),
    "flat": dxf(line(0, 0, 500, 0)),
    "tall": dxf(polyline((0, 0), (3, 0), (3, 900), (0, 900))),
    "star": dxf(square(0, 0, 60), *[line(30, 30, 30 + 25 * math.cos(n), 30 + 25 * math.sin(n)) for n in range(20)]),
    "words far away": dxf(square(0, 0, 60), "0\nTEXT\n8\n0\n10\n5000\n20\n5000\n40\n3\n1\nhello"),
    "nothing": dxf("0\nTEXT\n8\n0\n10\n5\n20\n5\n40\n3\n1\nhello"),
}


def pages_of(data):
    with pdfplumber.open(io.BytesIO(data)) as document:
        return [page.extract_words() for page in document.pages]


def words_of(data):
    return " ".join(word["text"] for page in pages_of(data) for word in page)


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def everything():
    """An inspection in which there is one of every kind, at places of their own."""
    found = inspect(MANY)
    flaws = [Flaw(kind, (9.0 * n, 7.0 * n), f"fault of kind {kind}", "mend it")
             for n, kind in enumerate((*REPAIRS, *(kind for kind in QUESTIONS if kind != "not-dxf")))]  # fmt: skip
    looks = [Look(kind, (300 - 9.0 * n, 7.0 * n), f"a look of kind {kind}", "look") for n, kind in enumerate(LOOKS)]
    groups = [Group(kind, 3, (100.0, 20.0 * n), "lines and text", kind, (Flaw("open", (n, n), "it ends here", "x"),))
              for n, kind in enumerate(GROUPS)]  # fmt: skip
    explained = [flaw for group in groups for flaw in group.flaws]
    return replace(found, flaws=(*flaws, *explained), looks=tuple(looks), groups=tuple(groups))


@pytest.mark.parametrize("file", FILES, ids=lambda one: one.stem)
def test_a_reply_has_every_question_and_is_one_page_unless_there_are_many(file):
    found = inspect(file)
    pages = pages_of(reply_pdf(found, file.name))
    text = " ".join(word["text"] for page in pages for word in page)

    assert len(pages) == 1 or len(items_of(found)) > 4
    for kind in {flaw.kind for flaw in found.flaws} & set(QUESTIONS):
        if not any(flaw.kind == kind for group in found.groups for flaw in group.flaws):
            assert QUESTIONS[kind].ask in text
    for kind in {flaw.kind for flaw in found.flaws} & set(REPAIRS):
        assert REPAIRS[kind][1] in text


@pytest.mark.parametrize("one", [one for one in customers() if "web page" not in one.name], ids=lambda one: one.name)
def test_the_fifty_get_a_reply_in_words_and_on_paper(one):
    found = inspect(one.data)
    name = one.name
    text = reply_text(found, name).decode()
    pages = pages_of(reply_pdf(found, name))
    paper = " ".join(word["text"] for page in pages for word in page)

    assert len(pages) <= 2
    assert max(map(len, text.splitlines())) <= 80
    for item in items_of(found):
        if item.form != "mend":
            question = {**QUESTIONS, **GROUPS, **LOOKS}[item.kind]
            assert question.ask in " ".join(text.split())
            assert question.ask in paper


def test_with_one_of_everything_it_is_three_pages_at_most():
    found = everything()
    data = reply_pdf(found, "plate.dxf")
    text = words_of(data)

    assert len(pages_of(data)) <= 3
    for question in (*LOOKS.values(), *GROUPS.values()):
        assert question.ask in text


@pytest.mark.parametrize("name", CASES)
def test_nothing_on_the_page_runs_over_its_edge(name):
    found = inspect(CASES[name])
    long_name = f"{'a name as long as customers write them, ' * 4}{'W' * 40}.dxf"
    for words in pages_of(reply_pdf(found, long_name)) + pages_of(picture_pdf(found, long_name)):
        for word in words:
            assert 14 * PT < word["x0"] < word["x1"] < 197 * PT, word["text"]
            assert 8 * PT < word["top"] < word["bottom"] < 290 * PT, word["text"]


def boxes(picture):
    for mark in picture.marks:
        if isinstance(mark, Words):
            size = wide(mark.text, mark.size, bold=mark.bold)
            left = mark.at[0] - {"start": 0.0, "middle": size / 2, "end": size}[mark.anchor]
            yield mark, (left, mark.at[1] - 0.2, left + size, mark.at[1] + mark.size * 0.27)


def overlapping(picture):
    rows = list(boxes(picture))
    return [
        (one.text, other.text)
        for number, (one, a) in enumerate(rows)
        for other, b in rows[:number]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


@pytest.mark.parametrize("name", [name for name in CASES if name != "nothing"])
def test_words_of_the_picture_stand_clear_of_each_other_and_on_the_paper(name):
    found = inspect(CASES[name])
    picture = drawing_of(found, items_of(found), 180.0, 105.0)

    assert overlapping(picture) == []
    for mark, box in boxes(picture):
        assert box[0] >= -0.1, mark.text
        assert box[1] >= -0.1, mark.text
        assert box[2] <= picture.width + 0.1, mark.text
        assert box[3] <= picture.height + 0.1, mark.text
    assert picture.height <= 106.0


@settings(max_examples=30)
@given(st.lists(st.tuples(st.floats(0, 300), st.floats(0, 200)), min_size=1, max_size=60))
def test_however_many_places_lie_wherever(places):
    found = inspect(MANY)
    found = replace(found, flaws=tuple(Flaw("open", at, "it ends here", "close it") for at in places))
    picture = drawing_of(found, items_of(found), 180.0, 105.0)
    numbers = {mark.text for mark in picture.marks if isinstance(mark, Words) and mark.bold}

    assert covered(numbers) == set(range(1, len(places) + 1))
    for mark, box in boxes(picture):
        if mark.bold:
            assert box[0] >= 0, mark.text
            assert box[2] <= picture.width, mark.text


def covered(texts):
    """The numbers that labels such as `1-3, 7` name."""
    found = set()
    for part in ", ".join(texts).split(", "):
        first, _, last = part.partition("-")
        found |= set(range(int(first), int(last or first) + 1))
    return found


def test_places_are_numbered_kind_by_kind_and_no_more_than_the_picture_bears():
    items = items_of(inspect(MANY))
    numbers = [place.number for item in items for place in item.places]

    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) <= MOST
    for item in items:
        assert item.count == len(item.texts) >= len(item.places)
        assert f"and {item.count - len(item.places)} more" in item.where
    assert [item.form for item in items_of(everything())] == sorted(
        (item.form for item in items_of(everything())), key=["ask", "look", "mend"].index
    )


@pytest.mark.parametrize(("code", "unit"), [(4, "mm"), (1, "in"), (5, "cm")])
def test_the_numbers_along_the_edges_are_those_of_the_file(code, unit):
    side = {"mm": 60.0, "in": 3.0, "cm": 12.0}[unit]
    header = f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n{code}\n0\nENDSEC\n"
    found = inspect(dxf(square(2 * side, 5 * side, side), header=header))
    picture = drawing_of(found, items_of(found), 180.0, 105.0)
    contour = next(mark for mark in picture.marks if isinstance(mark, Stroke) and mark.colour == "#000000")
    xs, ys = [x for x, _ in contour.points], [y for _, y in contour.points]
    ticks = [mark for mark in picture.marks if isinstance(mark, Words) and mark.text.replace(".", "").isdigit()]
    along = {float(mark.text): mark.at[0] for mark in ticks if mark.anchor == "middle"}
    up = {float(mark.text): mark.at[1] + 0.8 for mark in ticks if mark.anchor == "end"}

    assert f"numbers along the edges: {unit}, as in the file" in [m.text for m in picture.marks if isinstance(m, Words)]
    assert len(along) >= 5
    assert along[2 * side] == pytest.approx(min(xs), abs=0.01)
    assert along[3 * side] == pytest.approx(max(xs), abs=0.01)
    assert up[5 * side] == pytest.approx(min(ys), abs=0.01)
    assert up[6 * side] == pytest.approx(max(ys), abs=0.01)


def test_without_colour_lines_and_rings_still_differ():
    data = dxf(square(0, 0, 60), circle(20, 20, 5, on="ENGRAVE"), line(5, 40, 40, 41), line(5, 50, 9, 50, on="MARK"))
    found = inspect(data)
    found = replace(found, looks=(Look("thin-web", (50.0, 50.0), "thin", "look"),),
                    flaws=(*found.flaws, Flaw("gap", (9.0, 9.0), "a gap", "join")))  # fmt: skip
    picture = drawing_of(found, items_of(found), 180.0, 105.0)
    inks = {(mark.colour, mark.width, mark.dash, len(mark.points) > 300)
            for mark in picture.marks if isinstance(mark, Stroke) and mark.colour}  # fmt: skip
    forms = [(width, dash, is_ring) for _, width, dash, is_ring in inks]

    assert len(inks) >= 6
    assert len(set(forms)) == len(forms)
    text = {mark.text for mark in picture.marks if isinstance(mark, Words)}
    assert text >= {"closed, is cut", "does not close", "mark, not cut through", "to be decided", "please look",
                    "put right by us"}  # fmt: skip


def test_letters_that_the_fonts_do_not_have_are_said_to_be_left_out():
    found = inspect(CASES["flat"])
    text = words_of(reply_pdf(found, "größe прокладка.dxf"))

    assert "größe ?????????.dxf" in text
    assert "A ? stands for a letter that this page cannot print" in text
    assert "прокладка" in reply_text(found, "größe прокладка.dxf").decode()
    assert "stands for" not in words_of(reply_pdf(found, "größe.dxf"))


def test_the_unit_is_asked_with_both_sizes():
    found = inspect(FAULTS / "units_inch_label_mm_numbers.dxf")

    text = " ".join(reply_text(found, "x.dxf").decode().split())
    assert "In mm the drawing measures 40.0 x 20.0 mm (1.57 x 0.79 in), in inches 1016.0 x 508.0 mm" in text


def test_a_group_is_asked_for_in_place_of_the_faults_that_it_makes():
    found = inspect(next(one.data for one in customers() if one.name == "17 exploded dimensions.dxf"))
    asked = [item.kind for item in items_of(found) if item.form == "ask"]

    assert len(found.flaws) > 10
    assert asked == ["dimensions"]


@pytest.fixture
def plate(tmp_path, monkeypatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plate.dxf").write_bytes(MANY)
    return tmp_path / "plate.dxf"


@pytest.mark.parametrize(("option", "name", "begins"), [
    ("--reply", "r.pdf", b"%PDF-"), ("--reply", "R.TXT", b"Your drawing plate.dxf\n"), ("--picture", "p.pdf", b"%PDF-"),
    ("--picture", "p.SVG", b"<?xml"),
])  # fmt: skip
def test_what_is_written_is_what_its_ending_says_and_the_same_twice(plate, option, name, begins):
    done = run("inspect", "plate.dxf", option, name)
    data = Path(name).read_bytes()

    assert done.exit_code == 1
    assert data.startswith(begins)
    assert run("inspect", "plate.dxf", option, name).exit_code == 1
    assert Path(name).read_bytes() == data


@pytest.mark.parametrize(("option", "name", "words"), [
    ("--reply", "r.svg", "ends in .pdf or .txt"), ("--reply", "r", "ends in .pdf or .txt"),
    ("--reply", ".pdf", "ends in .pdf or .txt"), ("--picture", "p.png", "ends in .svg or .pdf"),
])  # fmt: skip
def test_another_ending_is_refused_in_a_sentence(plate, option, name, words):
    done = run("inspect", "plate.dxf", option, name)

    assert (done.exit_code, done.stdout) == (2, "")
    assert words in done.stderr
    assert not Path(name).exists()


def test_a_reply_is_never_written_over(plate):
    Path("r.txt").write_text("sent on Monday", encoding="utf-8")
    for more in ([], ["--replace"]):
        done = run("inspect", "plate.dxf", "--reply", "r.txt", *more)
        assert done.exit_code == 2
        assert "r.txt" in done.stderr
        assert "--replace" not in done.stderr
        assert Path("r.txt").read_text(encoding="utf-8") == "sent on Monday"
    assert run("inspect", "plate.dxf", "plate.dxf", ".", "--reply", "s.txt").exit_code == 2


def test_an_svg_of_a_drawing_without_a_line_is_a_list():
    found = inspect(CASES["nothing"])

    assert b"text" in picture_svg(found, "nothing.dxf")
    assert b"along the edges" not in picture_svg(found, "nothing.dxf")
    assert len(pages_of(picture_pdf(found, "nothing.dxf"))) == 1
    assert "place" not in reply_text(found, "nothing.dxf").decode()
