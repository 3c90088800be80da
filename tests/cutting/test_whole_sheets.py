"""Whole sheets as a cutter gets them: order, lead-ins, grain, names, interruption; every file read by ezdxf."""

import io
import json
import signal
from importlib.util import find_spec
from itertools import combinations

import ezdxf
import pytest
import shapely
from shapely.geometry import LineString, Point, Polygon

from gasketcut import Options, parse_job
from gasketcut.cutting.nest import search
from gasketcut.cutting.path import lettering as letters
from gasketcut.errors import GasketError, OutputError
from gasketcut.output.text.make import make_text
from tests.making import make

HEAD = 'title = "Sheets"\nunits = "mm"\n'
SEARCH = '[layout]\nspacing = {spacing}\nmargin = 6\nturning = "{turning}"\nin_holes = {in_holes}\nseconds = 1\n'
STOCK = '[[stock]]\nname = "{name}"\nthickness = 0.5\nmaterial = "{material}"\nsize = [180, 140]\n'
FRAME = "opening = { rectangle = [50, 30], corner = 2 }\noutline = { rectangle = [70, 45], corner = 6 }"
RING = "opening = { round = 8 }\noutline = { round = 16 }"

needs_search = pytest.mark.skipif(find_spec("spyrrow") is None, reason="needs gasketcut[layout]")
needs_font = pytest.mark.skipif(find_spec("HersheyFonts") is None, reason="needs gasketcut[lettering]")


def layout(spacing=4, turning="quarter", in_holes="false"):
    return SEARCH.format(spacing=spacing, turning=turning, in_holes=in_holes)


def stock(name="paper 0.5", material="vegetable-fibre"):
    return STOCK.format(name=name, material=material)


def part(name, shape, count=1, of="paper 0.5"):
    return f'[[part]]\nname = "{name}"\nkind = "flat"\ncount = {count}\n{shape}\n' + (f'stock = "{of}"\n' if of else "")


def entities(path):
    """Layer and fine points of each entity in the order of the file."""
    document = ezdxf.read(io.StringIO(path.read_bytes().decode().replace("\r\n", "\n")))
    drawn = [(one.dxf.layer, ezdxf.path.make_path(one).flattening(0.0005)) for one in document.modelspace()]
    return [(layer, [(point.x, point.y) for point in points]) for layer, points in drawn]


def metal(found):
    """The pieces with their openings, from closed contours."""
    holes = [Polygon(points) for layer, points in found if layer == "CUT-INSIDE"]
    outsides = [Polygon(points) for layer, points in found if layer == "CUT-OUTSIDE"]
    return [
        outside.difference(shapely.union_all([one for one in holes if outside.contains(one)])) for outside in outsides
    ]


def keeps(pieces, spacing):
    return min(a.distance(b) for a, b in combinations(pieces, 2)) > spacing - 0.003


def cutting(more, process="co2"):
    return f'[cutting]\nprocess = "{process}"\n{more}\n'


@pytest.mark.parametrize("kerf", ["", "kerf = 0.2\n"])
def test_lead_ins_on_a_sheet_stay_in_the_scrap_and_within_the_margin(tmp_path, monkeypatch, kerf):
    monkeypatch.setattr(search, "find_spec", lambda _: None)  # in rows, so with pieces along the margin
    text = HEAD + cutting(f"lead_in = 2.5\n{kerf}") + layout(6, "none") + stock()
    report = make(parse_job(text + part("frame", FRAME, 2) + part("ring", RING.replace("8", "6"), 4)), tmp_path)
    found = entities(tmp_path / "sheet-paper-0.5-1.dxf")
    pieces = metal(found)
    leads = [(number, LineString(points)) for number, (layer, points) in enumerate(found) if layer == "LEAD"]
    short = [one for one in report.findings if one.rule == "lead-in" and "no room" in one.text]

    assert len(pieces) == 6
    assert len(leads) == 12
    assert short == []
    assert keeps(pieces, 6)
    for number, lead in leads:
        assert max(lead.intersection(piece).length for piece in pieces) < 0.01
        assert found[number + 1][0] in ("CUT-INSIDE", "CUT-OUTSIDE")
        assert Point(lead.coords[-1]).distance(Point(found[number + 1][1][0])) < 1e-5
        # The start is well off every cut: at least half of what was asked for, in the smallest hole too.
        assert min(piece.distance(Point(lead.coords[0])) for piece in pieces) > 0.5
        assert shapely.box(6, 6, 174, 134).buffer(1e-6).contains(lead)


def test_tabs_hold_the_pieces_of_a_sheet(tmp_path):
    make(parse_job(HEAD + cutting("tabs = 2") + layout() + stock() + part("frame", FRAME, 2)), tmp_path)
    found = entities(tmp_path / "sheet-paper-0.5-1.dxf")
    tabs = [LineString(points).length for layer, points in found if layer == "TAB"]
    cuts = sum(LineString(points).length for layer, points in found if layer.startswith("CUT"))
    plain = 2 * (2 * (70 + 45) - 8 * 6 + 2 * 6 * 3.14159265 + 2 * (50 + 30) - 8 * 2 + 2 * 2 * 3.14159265)

    assert len(tabs) >= 4
    assert cuts + sum(tabs) == pytest.approx(plain, abs=0.05)
    assert cuts < plain - 1


def test_a_piece_in_a_hole_is_cut_before_that_hole(tmp_path):
    text = HEAD + layout(in_holes="true") + stock() + part("frame", FRAME, 2) + part("ring", RING, 3)
    make(parse_job(text), tmp_path)
    found = entities(tmp_path / "sheet-paper-0.5-1.dxf")
    holes = [(number, Polygon(points)) for number, (layer, points) in enumerate(found) if layer == "CUT-INSIDE"]
    outsides = [(number, Polygon(points)) for number, (layer, points) in enumerate(found) if layer == "CUT-OUTSIDE"]
    nested = [(inner, outer) for inner, ring in outsides for outer, hole in holes if hole.contains(ring)]

    assert len(nested) == 3
    assert all(inner < outer for inner, outer in nested)
    # And in each piece the inside before its outside.
    assert all(number < outer for outer, whole in outsides for number, hole in holes if whole.contains(hole))
    assert keeps(metal(found), 4)


@pytest.mark.parametrize(("turning", "turns"), [("none", {0}), ("half", {0, 180}), ("quarter", {0, 90, 180, 270})])
def test_the_grain_is_kept(tmp_path, turning, turns):
    report = make(parse_job(HEAD + layout(turning=turning) + stock() + part("frame", FRAME, 4)), tmp_path)
    data = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))["layout"]
    sizes = [Polygon(points).bounds for layer, points in entities(tmp_path / data[0]["file"]) if layer == "CUT-OUTSIDE"]

    assert {piece["turn_deg"] for sheet in data for piece in sheet["pieces"]} <= turns
    assert sum(len(sheet["pieces"]) for sheet in data) == 4
    if turning in ("none", "half"):
        assert all(box[2] - box[0] == pytest.approx(70, abs=1e-3) for box in sizes)
    assert f"{data[0]['utilisation'] * 100:.0f} % used" in make_text(report.evaluation, tmp_path, report.files)
    assert "1 sheet (.dxf .svg)" in make_text(report.evaluation, tmp_path, report.files)


@pytest.mark.slow
@pytest.mark.alone
@needs_search
def test_ctrl_c_keeps_the_best_so_far_and_says_so(tmp_path):
    text = HEAD + layout(turning="any").replace("seconds = 1", "seconds = 50") + stock() + stock("card")
    given = parse_job(text + part("frame", FRAME, 3) + part("ring", RING, 5) + part("washer", RING, 3, "card"))
    calls = []

    def on_progress(progress):
        calls.append(progress)
        signal.raise_signal(signal.SIGINT)

    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # ignored where the tests were started with '&'
    try:
        report = make(given, tmp_path, on_progress=on_progress)
    finally:
        signal.signal(signal.SIGINT, before)
    said = [one for one in report.findings if "interrupted" in one.text]

    assert len(calls) == 1
    assert [(one.rule, one.weight) for one in said] == [("layout", "warn")] * 2  # the second stock in rows
    assert len(metal(entities(tmp_path / "sheet-paper-0.5-1.dxf"))) == 8
    assert len(metal(entities(tmp_path / "sheet-card-1.dxf"))) == 3


@needs_search
def test_it_says_that_it_searched(tmp_path):
    text = HEAD + layout(turning="any") + stock() + part("frame", FRAME, 3) + part("ring", RING, 5)
    said = [one.text for one in make(parse_job(text), tmp_path).findings if one.rule == "layout"]

    assert len(said) == 1
    assert "laid out by search" in said[0] or "plain rows" in said[0]


def test_without_the_search_there_are_rows_and_the_line_that_brings_it(tmp_path, monkeypatch):
    monkeypatch.setattr(search, "find_spec", lambda _: None)
    report = make(parse_job(HEAD + layout() + stock() + part("frame", FRAME, 3)), tmp_path)
    (said,) = [one for one in report.findings if one.rule == "layout"]

    assert said.weight == "note"
    assert "pip install 'gasketcut[layout]'" in said.text
    assert keeps(metal(entities(tmp_path / "sheet-paper-0.5-1.dxf")), 4)


def test_without_the_font_there_is_one_line_that_brings_it(tmp_path, monkeypatch):
    def missing(name):
        raise ImportError(name)

    monkeypatch.setattr(letters, "import_module", missing)
    letters._font.cache_clear()
    with pytest.raises(GasketError, match=r"pip install 'gasketcut\[lettering\]'"):
        make(parse_job(HEAD + cutting("letter = true") + stock() + part("frame", FRAME)), tmp_path / "out")
    letters._font.cache_clear()

    assert not (tmp_path / "out").exists()


def test_stocks_whose_names_read_alike_get_files_of_their_own(tmp_path):
    text = HEAD + layout() + stock() + stock("Paper-0.5")
    make(parse_job(text + part("frame", FRAME) + part("ring", RING, 2, "Paper-0.5")), tmp_path)

    assert len(metal(entities(tmp_path / "sheet-paper-0.5-1.dxf"))) == 1
    assert len(metal(entities(tmp_path / "sheet-Paper-0.5-b-1.dxf"))) == 2


def test_a_part_with_the_name_of_a_sheet_is_not_written_over(tmp_path):
    given = parse_job(HEAD + layout() + stock() + part("sheet-paper-0.5-1", FRAME))
    with pytest.raises(OutputError, match="two things would get this name"):
        make(given, tmp_path / "out")

    assert not (tmp_path / "out").exists()


def test_a_sheet_with_a_part_that_does_not_fit_says_so_in_its_name(tmp_path):
    text = HEAD + cutting("") + layout() + stock() + stock("green", "chloroprene")
    given = parse_job(text + part("frame", FRAME) + part("ring", RING, 2, "green"))
    report = make(given, tmp_path / "not")
    make(given, tmp_path / "anyway", Options(anyway=True))

    assert not (tmp_path / "not").exists()
    assert "sheet-" not in make_text(report.evaluation, tmp_path, report.files)
    assert {path.stem for path in (tmp_path / "anyway").glob("sheet-*.dxf")} == {
        "sheet-paper-0.5-1",
        "sheet-green-1-DOES-NOT-FIT",
    }


def test_what_is_too_large_says_what_to_write(tmp_path):
    wide = "outline = { rectangle = [175, 40] }"
    report = make(parse_job(HEAD + layout(turning="none") + stock() + part("strip", wide)), tmp_path)
    (stop,) = [one for one in report.findings if one.weight == "stop"]

    assert "175.0 x 40.0 mm" in stop.text
    assert "168.0 x 128.0 mm" in stop.text
    assert "size = [width, height]" in stop.do
    assert 'turning = "any"' in stop.do


def test_a_part_that_names_no_sheet_is_not_left_out_in_silence(tmp_path):
    report = make(parse_job(HEAD + layout() + stock() + part("frame", FRAME) + part("stray", RING, of="")), tmp_path)
    said = [one for one in report.findings if one.rule == "layout" and one.part == "stray"]

    assert [(one.weight, "stock = " in one.do) for one in said] == [("warn", True)]
    assert len(metal(entities(tmp_path / "sheet-paper-0.5-1.dxf"))) == 1


@needs_font
def test_letters_below_a_part_keep_off_its_lead_ins(tmp_path):
    shape = "outline = { points = [[20, 0], [40, 0], [50, 10], [0, 10]] }"  # the cut begins at the bottom
    shape += "\nholes = { at = [[24, 3], [36, 3]], diameter = 3 }"
    asked = cutting("letter = true\norder = true\nlead_in = 8")
    make(parse_job(HEAD + asked + stock() + part("thin", shape)), tmp_path)
    path = tmp_path / "thin.dxf"
    found = entities(path)
    marks = [LineString(points) for layer, points in found if layer == "MARK"]
    cuts = [LineString(points) for layer, points in found if layer != "MARK"]

    assert len(marks) > 40
    assert sum(layer == "LEAD" for layer, _ in found) == 3
    assert min(mark.distance(cut) for mark in marks for cut in cuts) > 2.5
    document = ezdxf.read(io.StringIO(path.read_bytes().decode().replace("\r\n", "\n")))
    box = shapely.total_bounds(marks + cuts)
    extents = [*document.header["$EXTMIN"][:2], *document.header["$EXTMAX"][:2]]
    assert extents == pytest.approx(box, abs=1e-3)


@needs_font
def test_a_letter_that_the_font_has_not_is_reported(tmp_path):
    text = HEAD + cutting("letter = true") + stock() + part("frame", FRAME + '\nface_up = "crank 漢 side"')
    said = [one for one in make(parse_job(text), tmp_path).findings if one.rule == "lettering"]

    assert [(one.weight, "漢" in one.text) for one in said] == [("note", True)]


@needs_font
@pytest.mark.parametrize(("kerf", "words"), [("", "no kerf"), ("kerf = 0.2", "kerf applied 0.2 mm")])
def test_a_sheet_says_once_whether_a_kerf_is_in_it(tmp_path, kerf, words):
    text = HEAD + cutting(f"letter = true\n{kerf}") + layout() + stock() + part("frame", FRAME, 4)
    make(parse_job(text), tmp_path)
    path = tmp_path / "sheet-paper-0.5-1.dxf"
    found, pieces = entities(path), metal(entities(path))
    beside = [
        LineString(points)
        for layer, points in found
        if layer == "MARK" and not any(piece.intersects(LineString(points)) for piece in pieces)
    ]

    assert words in path.read_text()
    assert words in path.with_suffix(".svg").read_text()
    assert len(beside) > 25
    assert shapely.total_bounds(beside)[3] < 6  # in the margin, where no piece lies
    assert min(line.distance(piece) for line in beside for piece in pieces) > 0.99
