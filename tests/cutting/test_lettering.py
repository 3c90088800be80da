"""Lettering: where it may stand, that it can be read, and that it is nothing but lines."""

import importlib
from itertools import combinations, pairwise
from math import dist

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import MultiLineString

from gasketcut import parse_job
from gasketcut.cutting.path import lettering as module
from gasketcut.cutting.path.lettering import GAP, HEIGHTS, MARGIN, lettering, to_plain, words_for
from gasketcut.cutting.path.stroke import through
from gasketcut.errors import GasketError
from gasketcut.shape.outlines import shrunk_pieces
from tests.making import built

STOCK = '[[stock]]\nname = "fern"\nthickness = 0.5\nmaterial = "vegetable-fibre"\n'


@pytest.fixture(autouse=True)
def font():
    pytest.importorskip("HersheyFonts")


def part(keys, name="tray", more=""):
    text = f'units = "mm"\n{STOCK}[[part]]\nname = "{name}"\nkind = "flat"\nstock = "fern"\n{keys}\n{more}'
    (one,) = built(parse_job(text))
    return one


PLATE = "outline = { rectangle = [80, 60] }"
FRAME = "outline = { rectangle = [80, 60] }\nopening = { rectangle = [60, 40] }"
THIN = "outline = { round = 40 }\nopening = { round = 36 }"
HOLED = "outline = { rectangle = [80, 60] }\nholes = { at = [[-20, 0], [0, 12], [20, 0], [0, -12]], diameter = 6 }"


def drawn(found):
    return MultiLineString([list(line) for line in found.lines])


def test_it_says_what_an_operator_asks():
    one = part(PLATE, more='count = 3\nface_up = "flywheel side"')
    assert words_for(one) == ("tray", "0.5 mm vegetable-fibre", "cut 3", "flywheel side up")


@pytest.mark.parametrize("keys", [PLATE, FRAME, HOLED])
def test_it_stands_on_sheet_that_stays(keys):
    one = part(keys)
    found = lettering(one)

    assert found.where == "inside"
    assert found.height in HEIGHTS
    assert one.solid.contains(drawn(found))
    assert drawn(found).distance(one.solid.boundary) >= MARGIN - 0.003
    assert shapely.box(*found.box).buffer(1e-9).contains(drawn(found))


def test_more_room_gives_larger_letters():
    heights = [lettering(part(f"outline = {{ rectangle = [{width}, 30] }}")).height for width in (26, 40, 80)]
    assert heights == sorted(heights)
    assert heights[0] < heights[-1]
    assert lettering(part(PLATE), ("A",)).height == HEIGHTS[0]


def test_without_room_it_stands_below_the_part_and_says_so():
    one = part(THIN)
    found = lettering(one)

    assert found.where == "below"
    assert found.height >= 2.0
    assert one.outer.bounds[1] - found.box[3] == pytest.approx(GAP)
    assert drawn(found).bounds[3] <= one.outer.bounds[1] - GAP
    assert shapely.box(*found.box).buffer(1e-9).contains(drawn(found))


def test_lines_that_fit_only_one_by_one_are_spread():
    one = part("outline = { rectangle = [50, 50] }\nopening = { rectangle = [38, 38] }")
    found = lettering(one, ("seal twelve", "cut 1", "this side up"))
    assert found.where == "inside"
    assert one.solid.contains(drawn(found))
    low, high = found.box[1], found.box[3]
    assert high - low > 20  # not one block: the frame is 6 mm wide


def test_lines_that_are_spread_do_not_read_as_one():
    one = part("outline = { rectangle = [70, 45] }\nopening = { rectangle = [50, 30] }")
    said = ("cover", "0.5 mm vegetable-fibre", "cut 5", "crankcase side up")
    spots = module._scattered(said, 3.0, shrunk_pieces(one.solid, MARGIN), one)
    boxes = [shapely.box(*spot.box(3.0)) for spot in spots]

    assert len(boxes) == 4
    assert min(a.distance(b) for a, b in combinations(boxes, 2)) > 5.99


def test_letters_have_the_height_asked_for():
    found = lettering(part(PLATE), ("H",))
    _, low, _, high = drawn(found).bounds
    assert high - low == pytest.approx(found.height)
    # An H of single lines: two stems and a bar.
    assert len(found.lines) == 3
    assert all(len(line) == 2 for line in found.lines)


def test_words_run_from_left_to_right_and_lines_from_top_to_bottom():
    one = part(PLATE)
    both_rows = lettering(one, ("I", "I", "I"))
    assert both_rows.words in (("I  I  I",), ("I", "I", "I"))
    first, last = (drawn(lettering(one, (text,))) for text in ("I.", ".I"))
    dot = [min(one.geoms, key=lambda line: line.length).centroid.x - one.centroid.x for one in (first, last)]
    assert dot[0] > 0 > dot[1]


@pytest.mark.parametrize("letter", [chr(code) for code in range(33, 127)])
def test_the_font_has_every_plain_letter(letter):
    found = lettering(part(PLATE), (letter,))
    assert found.lines
    assert all(dist(one, other) > 0 for line in found.lines for one, other in pairwise(line))
    assert shapely.box(*found.box).buffer(1e-9).contains(drawn(found))


@pytest.mark.parametrize(
    ("text", "wanted", "lost"),
    [
        ("Zylinderfuß für 1½ × Ø12", "Zylinderfuss fur 11/2 x dia 12", ""),
        ("0.5 µm ± 2°", "0.5 um +/- 2 deg", ""),
        ("joint d’embase — été", "joint d'embase - ete", ""),
        ("垫片 A", "?? A", "垫片"),
    ],
)
def test_what_the_font_lacks_is_written_plainly(text, wanted, lost):
    assert to_plain(text) == (wanted, lost)


@given(st.text(max_size=12))
def test_any_text_at_all_gives_lines_or_nothing(text):
    found = lettering(part(PLATE), (text,))
    assert all(" " <= letter <= "~" for line in found.words for letter in line)
    assert (found.lines == ()) == (not "".join(found.words).strip())


def test_it_keeps_off_marks_that_are_there():
    plain = part(PLATE)
    middle = lettering(plain).box
    cross = [(middle[0], middle[1]), (middle[2], middle[3])]
    marked = type(plain)(**{name: getattr(plain, name) for name in plain.__slots__} | {"marks": (through(cross),)})
    found = lettering(marked)
    assert drawn(found).distance(shapely.linestrings(cross)) >= MARGIN - 1e-9


def test_without_the_font_it_says_what_to_install(monkeypatch):
    def missing(name):
        raise ImportError(name)

    module._font.cache_clear()
    monkeypatch.setattr(module, "import_module", missing)
    with pytest.raises(GasketError, match=r"pip install 'gasketcut\[lettering\]'"):
        lettering(part(PLATE))


def test_the_same_part_gets_the_same_letters():
    assert lettering(part(HOLED)) == lettering(part(HOLED))
    assert importlib.import_module("HersheyFonts")
