"""The full-size pages measured by two readers that share no line with the library that wrote them: pdfplumber, which
is pdfminer in Python, and pypdfium2, which is PDFium in C++. Lengths are taken from the path operators, in mm, y up.
"""

import re
import tomllib
from collections import namedtuple
from ctypes import c_float
from math import cos, dist, pi, sin

import numpy as np
import pdfplumber
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from pdfminer.pdftypes import resolve1
from scipy import ndimage

from gasketcut import Options, parse_job, read_job
from gasketcut.profile.own import shipped
from tests.making import make

MM = 25.4 / 72  # of a point
HUNDREDTH = 0.01  # mm; far below what a rule shows, and 300 times what points with four decimals lose
CARD = (85.60, 53.98)  # mm; ISO/IEC 7810, ID-1
PRINTABLE = 6.35  # mm; a printer's blank margin (a printer maker's manual: a quarter of an inch)
PAPERS = tomllib.loads(shipped("papers").read_text(encoding="utf-8"))["paper"]
JOB = """title = "Pages to measure"\nunits = "mm"
[[stock]]\nname = "gasket paper 0.5"\nthickness = 0.5
[[part]]\nname = "plate"\nkind = "flat"\nstock = "gasket paper 0.5"\nface_up = "carburettor side"
landmark = { name = "bore side, up", toward = "90 deg" }
outline = { rectangle = [120.0, 80.0], corner = 10.0 }\nopening = { round = 40.0 }
holes = { at = [[-45, -25], [45, -25], [45, 25], [-45, 25]], size = "M6", fit = "medium" }
[[part]]\nname = "lying"\nkind = "flat"\noutline = { rectangle = [190.0, 90.0] }
holes = { at = [[-80, 0], [80, 0]], diameter = 5.5 }
[[part]]\nname = "big"\nkind = "flat"\noutline = { round = 343.0 }\nopening = { round = 219.0 }
holes = { circle = 298.5, count = 8, diameter = "7/8 in", start = "22.5 deg" }
"""
PLATE = [(-45, -25, 6.6), (45, -25, 6.6), (45, 25, 6.6), (-45, 25, 6.6), (0, 0, 40)]  # M6 medium: 6.6 mm (ISO 273)
TURNS = [(2 * number + 1) * pi / 8 for number in range(8)]
BIG = [(0, 0, 343.0), (0, 0, 219.0), *((298.5 / 2 * cos(turn), 298.5 / 2 * sin(turn), 22.225) for turn in TURNS)]


# Paper size [mm], what is stroked or filled as lists of points (curves finely divided), and the words.
Page = namedtuple("Page", "width height paths words")


def flattened(steps):
    """Points along move, line and curve steps, each (kind, points)."""
    points = []
    for kind, given in steps:
        if kind == "c":
            a, (b, c, d), t = points[-1], np.array(given), np.linspace(0, 1, 17)[1:, None]
            points += [*((1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d)]
        else:
            points += [np.array(point) for point in given]
    return np.array(points) * MM


def by_pdfplumber(data):
    with pdfplumber.open(data) as document:
        for page in document.pages:
            width, height, shapes = float(page.width), float(page.height), (*page.lines, *page.curves, *page.rects)
            steps = [[(kind, [(x, height - y) for x, y in at]) for kind, *at in shape["path"]] for shape in shapes]
            yield Page(width * MM, height * MM, [*map(flattened, steps)], " ".join(page.extract_text().split()))


def by_pdfium(data):
    document = pypdfium2.PdfDocument(data)
    for page in document:
        paths = []
        for shape in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
            matrix, steps, waiting = shape.get_matrix(), [], []
            for number in range(pdfium.FPDFPath_CountSegments(shape.raw)):
                segment, x, y = pdfium.FPDFPath_GetPathSegment(shape.raw, number), c_float(), c_float()
                pdfium.FPDFPathSegment_GetPoint(segment, x, y)
                waiting.append(matrix.on_point(x.value, y.value))
                if pdfium.FPDFPathSegment_GetType(segment) != pdfium.FPDF_SEGMENT_BEZIERTO or len(waiting) == 3:
                    steps.append(("c" if len(waiting) == 3 else "l", waiting))
                    waiting = []
            paths.append(flattened(steps))
        text = page.get_textpage()
        yield Page(*(side * MM for side in page.get_size()), paths, " ".join(text.get_text_bounded().split()))
        text.close()
        page.close()
    document.close()


def to_cut_from(reader):
    """Only the pages at full size: the plan that follows has no bars."""
    return lambda data: (page for page in reader(data) if "Print at 100 %" in page.words)


READERS = {"pdfplumber": to_cut_from(by_pdfplumber), "pdfium": to_cut_from(by_pdfium)}
every_reader = pytest.mark.parametrize("reader", READERS)
every_paper = pytest.mark.parametrize("paper", PAPERS)


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """By paper and part name: the path of its PDF."""
    kept = {}
    for paper in PAPERS:
        out = tmp_path_factory.mktemp(paper)
        make(parse_job(JOB), out, Options(paper=paper))
        kept |= {(paper, path.stem): path for path in out.glob("*.pdf")}
    return kept


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """By part name: the path of its PDF and its size in the report."""
    parts = make(read_job("demo"), out := tmp_path_factory.mktemp("demo")).as_data()["parts"]
    return {part["name"]: (out / f"{part['name']}.pdf", part["size_mm"]) for part in parts}


def strokes(page):
    return [path for path in page.paths if len(path) == 2]


def bars(page):
    """Lengths of the long strokes along and across, taken between the end lines that stand on their ends."""
    found = []
    for axis in (0, 1):
        straight = (one for one in strokes(page) if np.ptp(one[:, 1 - axis]) < 1e-3)
        for bar in (one for one in straight if 90 < np.ptp(one[:, axis]) < 110):
            ends = [one.mean(axis=0) for one in strokes(page) if 4 < np.ptp(one[:, 1 - axis]) < 6]
            ends = [end for end in ends if min(dist(end, point) for point in bar) < 0.5]
            found.append((axis, np.ptp([end[axis] for end in ends]), len(ends)))
    return found


def circles(page):
    """(x, y, diameter) of every path that is round."""
    found = []
    for path in page.paths:
        low, high = path.min(axis=0), path.max(axis=0)
        middle, size = (low + high) / 2, high - low
        reach = np.hypot(*(path - middle).T)
        if len(path) > 20 and np.ptp(reach) < 0.02:
            found.append((*middle, size.mean()))
            assert 2 * reach == pytest.approx(size.mean(), abs=HUNDREDTH)
    return found


def is_card(path):
    return np.ptp(path, axis=0) == pytest.approx(CARD, abs=HUNDREDTH)


def extent(page):
    """Width, height and middle of the largest closed path."""
    shapes = [path for path in page.paths if len(path) > 3 and not is_card(path)]
    path = max(shapes, key=lambda path: np.prod(np.ptp(path, axis=0)))
    return (*np.ptp(path, axis=0), *(path.min(axis=0) + path.max(axis=0)) / 2)


@every_paper
@every_reader
@pytest.mark.parametrize("part", ["plate", "lying", "big"])
def test_every_page_is_the_paper_and_both_its_bars_are_100_mm(files, paper, reader, part):
    size = PAPERS[paper]["width"], PAPERS[paper]["height"]
    lies = part == "lying" and size[0] < 190 + 35  # what the margins and the bar across leave
    for page in READERS[reader](files[paper, part]):
        assert (page.width, page.height) == pytest.approx(size[::-1] if lies else size, abs=HUNDREDTH)
        (card,) = [path for path in page.paths if len(path) > 20 and is_card(path)]
        assert np.all(card > PRINTABLE)
        assert np.all(card < np.array([page.width, page.height]) - PRINTABLE)
        corner = card.max(axis=0) - 3.18  # ISO/IEC 7810: the corner's radius, 2.88 to 3.48 mm
        assert np.max(np.hypot(*(card[np.all(card > corner, axis=1)] - corner).T)) == pytest.approx(3.18, abs=HUNDREDTH)
        (along, length, ends), (across, height, others) = bars(page)
        assert (along, ends, across, others) == (0, 2, 1, 2)
        assert (length, height) == pytest.approx((100.0, 100.0), abs=HUNDREDTH)


@every_paper
@every_reader
def test_holes_lie_where_the_job_has_them(files, paper, reader):
    (page,) = READERS[reader](files[paper, "plate"])
    width, height, x, y = extent(page)
    found = [(a - x, b - y, d) for a, b, d in circles(page)]

    assert (width, height) == pytest.approx((120.0, 80.0), abs=HUNDREDTH)
    assert len(found) == len(PLATE)
    assert_holes(PLATE, found)


@every_reader
def test_the_demo_parts_have_their_holes_and_their_size(demo, reader):
    specs = {spec.name: spec for spec in read_job("demo").parts}
    for name, (path, size) in demo.items():
        (page,), spec = READERS[reader](path), specs[name]
        holes = [(x, y, pattern.diameter) for pattern in (*spec.studs, *spec.holes) for x, y in pattern.at]
        found = [one for one in circles(page) if abs(one[2] - holes[0][2]) < HUNDREDTH]
        dx, dy, _ = np.mean(found, axis=0) - np.mean(holes, axis=0)

        assert extent(page)[:2] == pytest.approx(size, abs=HUNDREDTH)
        assert len(found) == len(holes)
        assert_holes(holes, [(x - dx, y - dy, d) for x, y, d in found])


def assert_holes(wanted, found):
    """Every wanted hole is among those found, place and diameter."""
    for hole in wanted:
        assert min(max(abs(a - b) for a, b in zip(hole, one, strict=True)) for one in found) < HUNDREDTH, hole


@every_paper
@every_reader
def test_crosses_put_the_tiles_together_again(files, paper, reader):
    moved = {}
    for page in READERS[reader](files[paper, "big"]):
        row, column, rows, columns = re.search(r"tile ([A-Z])(\d) of ([A-Z])(\d)", page.words).groups()
        moved[ord(row) - 65, int(column) - 1] = page
    assert set(moved) == {(r, c) for r in range(ord(rows) - 64) for c in range(int(columns))}
    assert len(moved) > 3  # both ways
    shift = tile_shifts({place: crosses(page) for place, page in moved.items()})

    middle = None
    for place, page in moved.items():
        found = [(x + shift[place][0], y + shift[place][1], d) for x, y, d in circles(page)]
        middle = middle or max(found, key=lambda one: one[2])  # of the first tile: the others have to fall on it
        assert len(found) == len(BIG)
        assert_holes(BIG, [(x - middle[0], y - middle[1], d) for x, y, d in found])


def crosses(page):
    """Middles of the crosses of two equal strokes, lowest and leftmost first."""
    flat = [one.mean(axis=0) for one in strokes(page) if np.ptp(one[:, 1]) < 1e-3 and 6 < np.ptp(one[:, 0]) < 20]
    steep = [one.mean(axis=0) for one in strokes(page) if np.ptp(one[:, 0]) < 1e-3 and 6 < np.ptp(one[:, 1]) < 20]
    found = [a for a in flat if any(dist(a, b) < HUNDREDTH for b in steep)]
    assert len(found) == 4
    return sorted(found, key=lambda one: (round(one[1]), one[0]))


def tile_shifts(found):
    """By tile: the move that lays its crosses on those of the tile to its left, or above; both crosses have to meet."""
    shifts = {(0, 0): np.zeros(2)}
    for row, column in sorted(found)[1:]:
        other, ours, theirs = ((row, column - 1), (0, 2), (1, 3)) if column else ((row - 1, column), (2, 3), (0, 1))
        moves = [found[other][b] - found[row, column][a] for a, b in zip(ours, theirs, strict=True)]
        assert dist(*moves) < HUNDREDTH
        shifts[row, column] = shifts[other] + moves[0]
    return shifts


@every_paper
def test_between_them_the_tiles_print_the_whole_line_and_nothing_in_the_margin(files, paper):
    scale = 10  # pixels in a millimetre
    turns = np.linspace(0, 2 * pi, 720, endpoint=False)
    line = np.vstack([np.column_stack([x + d / 2 * np.cos(turns), y + d / 2 * np.sin(turns)]) for x, y, d in BIG])
    printed, rim = np.zeros(len(line), dtype=bool), int(PRINTABLE * scale)
    pages = list(READERS["pdfplumber"](files[paper, "big"]))
    for page, ink in zip(pages, inked(files[paper, "big"], scale)[: len(pages)], strict=True):
        x, y, _ = max(circles(page), key=lambda one: one[2])
        columns, rows = np.round((line + np.array([x, y])) * scale).astype(int).T
        on = (columns >= 0) & (columns < ink.shape[1]) & (rows > 0) & (rows <= ink.shape[0])
        printed[on] |= ndimage.binary_dilation(ink, iterations=2)[-rows[on], columns[on]]  # two pixels are 0.2 mm

        assert ink[rim:-rim, rim:-rim].sum() == ink.sum()
    assert line[~printed].tolist() == []


def inked(path, scale):
    """Of each page, which pixels are dark; first row on top."""
    document = pypdfium2.PdfDocument(path)
    dark = [page.render(scale=scale * MM, grayscale=True).to_numpy() < 128 for page in document]
    document.close()
    return dark


@every_paper
@pytest.mark.parametrize("part", ["plate", "big"])
def test_no_reader_scales_the_page_and_every_font_is_embedded(files, paper, part):
    with pdfplumber.open(files[paper, part]) as document:
        assert resolve1(document.doc.catalog["ViewerPreferences"])["PrintScaling"].name == "None"
        for page in document.pages:
            fonts = [resolve1(font) for font in resolve1(page.page_obj.resources["Font"]).values()]
            own = {font["BaseFont"].name: resolve1(font.get("FontDescriptor", {})) for font in fonts}
            assert all("FontFile2" in own[letter["fontname"]] for letter in page.chars)
    document = pypdfium2.PdfDocument(files[paper, part])
    assert not pdfium.FPDF_VIEWERREF_GetPrintScaling(document.raw)
    for page in document:
        fonts = [pdfium.FPDFTextObj_GetFont(text) for text in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT])]
        assert len(fonts) > 5
        assert {pdfium.FPDFFont_GetIsEmbedded(font) for font in fonts} == {1}
    document.close()


@every_reader
def test_the_words_can_be_searched(files, reader):
    (page,) = READERS[reader](files["a4", "plate"])

    for words in ("plate", "Pages to measure", "gasket paper 0.5, 0.50 mm (0.020 in)", "carburettor side",
                  "bore side, up", "4 x Ø 6.60 mm (0.260 in)", "100 %", "100 mm"):  # fmt: skip
        assert words in page.words


def test_a_second_run_writes_the_same_bytes(files, tmp_path):
    make(parse_job(JOB), tmp_path)

    for part in ("plate", "lying", "big"):
        assert (tmp_path / f"{part}.pdf").read_bytes() == files["a4", part].read_bytes()


@pytest.mark.parametrize("toward", [0, 90, 180, 270])
@pytest.mark.parametrize("outline", ["rectangle = [160.0, 60.0]", "round = 343.0"])
def test_every_letter_of_the_landmark_is_printed(tmp_path, outline, toward):
    words, scale, path = "the side that looks to the carburettor", 8, tmp_path / "part.pdf"
    text = f"""title = "t"\nunits = "mm"\n[[part]]\nname = "part"\nkind = "flat"\noutline = {{ {outline} }}
holes = {{ at = [[-70, 0], [70, 0]], diameter = 5.5 }}\nlandmark = {{ name = "{words}", toward = "{toward} deg" }}\n"""
    make(parse_job(text), tmp_path)

    printed = np.array([letter == " " for letter in words])  # on one tile or another
    with pdfplumber.open(path) as document:
        for page, ink in zip(document.pages, inked(path, scale), strict=True):
            if "Print at 100 %" not in page.extract_text():
                continue
            first = "".join(letter["text"] for letter in page.chars).index(words)
            for number, letter in enumerate(page.chars[first : first + len(words)]):
                a, b, c, d = (int(letter[side] * MM * scale) for side in ("top", "bottom", "x0", "x1"))
                printed[number] |= min(a, c) > 0 and ink[a : b + 1, c : d + 1].any()
    assert "".join(letter for letter, found in zip(words, printed, strict=True) if not found) == ""
