"""What is not the part is recognised as a whole and offered: dimensions, centre and bend lines, title block, frame."""

import io
import json
from math import cos, hypot, radians, sin
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner

from gasketcut import Options, read_job
from gasketcut.cli import main
from gasketcut.profile.profiles import read_profiles
from gasketcut.received.groups.names import kind_of_layer, kind_of_linetype
from gasketcut.received.groups.paper import paper_of
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend
from tests.making import make
from tests.received.drawn import circle, dxf, layer, line, linetype, plate, polyline, solid, text

REAL = Path(__file__).parent / "real"
FAULTS = Path(__file__).parent / "faults"


def head(tip, way, form, size=3.0):
    """An arrowhead at `tip` that points along `way`, as programs leave it when a dimension is exploded."""
    (x, y), (ux, uy) = tip, (way[0] / hypot(*way), way[1] / hypot(*way))
    left, right = ((x - size * ux - s * size / 6 * uy, y - size * uy + s * size / 6 * ux) for s in (1, -1))
    match form:
        case "solid":
            return [solid(tip, left, right)]
        case "triangle":
            return [polyline(tip, left, right)]
        case "open":
            return [line(*tip, *left), line(*tip, *right)]
        case "three lines":
            return [line(*tip, *left), line(*tip, *right), line(*left, *right)]
        case "polyline":
            return [polyline(left, tip, right, closed=False)]
    raise ValueError(form)


def dimension(a, b, off, form="solid", words="80"):
    """Between the places a and b, `off` to the left of the way: out lines, shaft, arrows and a text."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length

    def beside(place, by):
        return place[0] - by * uy, place[1] + by * ux

    sign = 1 if off > 0 else -1
    p, q = beside(a, off), beside(b, off)
    rows = [line(*beside(place, sign), *beside(place, off + 1.5 * sign)) for place in (a, b)]
    rows += [line(*p, *q), *head(p, (-ux, -uy), form), *head(q, (ux, uy), form)]
    return [*rows, text(*beside(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), off + 1), words)]


def kinds(found):
    return {group.kind: group.count for group in found.groups}


PART = [plate(0, 0, 80, 50), circle(20, 25, 8), circle(60, 25, 4)]
THREE = [((0, 0), (80, 0), -10), ((80, 0), (80, 50), -10), ((0, 50), (20, 50), 12)]


@pytest.mark.parametrize("form", ["solid", "triangle", "open", "three lines", "polyline"])
@pytest.mark.parametrize("turn", [0, 37])
def test_exploded_dimensions_are_recognised_and_leave_the_part_when_dropped(form, turn):
    def turned(place):
        c, s = cos(radians(turn)), sin(radians(turn))
        return c * place[0] - s * place[1], s * place[0] + c * place[1]

    part = [
        polyline(*(turned(place) for place in ((0, 0), (80, 0), (80, 50), (0, 50)))),
        circle(*turned((20, 25)), 8),
    ]
    drawing = dxf(*part, *(row for a, b, off in THREE for row in dimension(turned(a), turned(b), off, form)))
    found = inspect(drawing)
    assert kinds(found) == {"dimensions": 3}
    (group,) = found.groups
    assert "6 arrowheads, 3 texts, 9 thin lines" in group.says
    assert set(found.flaws) == set(group.flaws)
    without = inspect(drawing, drop=["dimensions"])
    assert (without.verdict, without.groups) == ("ready", ())
    assert [(one.word, one.text) for one in without.dropped] == [
        ("dimensions", "3 dimensions: 6 arrowheads, 3 texts, 9 thin lines")
    ]
    assert len(without.closed) == 2


def test_the_part_keeps_its_contours_and_what_is_wrong_with_it():
    gap = [line(0, 0, 80, 0), line(80, 0, 80, 50), line(80, 50, 0, 50), line(0, 50, 0, 0.4), circle(20, 25, 8)]
    found = inspect(dxf(*gap, *dimension((0, 0), (80, 0), -10)))
    (group,) = found.groups
    left = [flaw for flaw in found.flaws if flaw not in group.flaws]
    assert {(flaw.kind, flaw.at) for flaw in left} == {("open", (0.0, 0.0)), ("open", (0.0, 0.4))}
    assert {flaw.kind for flaw in inspect(dxf(*gap, *dimension((0, 0), (80, 0), -10)), drop=["dimensions"]).flaws} == {
        "open"
    }


def test_out_lines_that_start_on_the_part_are_not_the_part():
    out = [line(0, 0, 0, -12), line(80, 0, 80, -12), line(0, -10, 80, -10)]
    sides = [line(0, 0, 80, 0), line(80, 0, 80, 50), line(80, 50, 0, 50), line(0, 50, 0, 0)]
    drawing = dxf(*sides, *out, *head((0, -10), (-1, 0), "solid"), *head((80, -10), (1, 0), "solid"))
    found = inspect(drawing)
    assert kinds(found) == {"dimensions": 1}
    assert {flaw.kind for flaw in found.groups[0].flaws} >= {"branch", "open", "hatch"}
    assert inspect(drawing, drop=["dimensions"]).verdict == "ready"


def test_a_leader_goes_with_its_landing_and_its_words():
    lead = [line(24, 30, 40, 60), line(40, 60, 48, 60), text(49, 59, "2x R4")]
    drawing = dxf(*PART, *lead, *head((24, 30), (24 - 40, 30 - 60), "solid"))
    assert kinds(inspect(drawing)) == {"dimensions": 1}
    assert inspect(drawing, drop=["dimensions"]).verdict == "ready"


def test_dimensions_as_such_are_counted_with_them():
    whole = "0\nDIMENSION\n8\n0\n10\n5\n20\n5\n11\n5\n21\n7\n70\n0"
    drawing = dxf(*PART, whole, *dimension((0, 0), (80, 0), -10))
    assert kinds(inspect(drawing)) == {"dimensions": 2}
    assert inspect(drawing, drop=["dimensions"]).verdict == "ready"


def test_an_arrow_as_a_block_goes_with_its_reference():
    block = "\n".join(["0\nBLOCK\n2\nTIP\n10\n0\n20\n0", solid((0, 0), (-1, 0.17), (-1, -0.17)), "0\nENDBLK"])
    blocks = f"0\nSECTION\n2\nBLOCKS\n{block}\n0\nENDSEC\n"
    tips = [
        f"0\nINSERT\n8\n0\n2\nTIP\n10\n{x}\n20\n-10\n41\n3\n42\n3\n43\n3\n50\n{turn}" for x, turn in ((0, 180), (80, 0))
    ]
    rows = [line(0, -1, 0, -12), line(80, -1, 80, -12), line(3, -10, 77, -10)]
    drawing = dxf(*PART, *rows, *tips, blocks=blocks)
    assert kinds(inspect(drawing)) == {"dimensions": 1}
    assert inspect(drawing, drop=["dimensions"]).flaws == ()


@pytest.mark.parametrize("style", ["CENTER", "CENTER2", "DASHDOTX2", "PHANTOM", "ACAD_ISO10W100", "Mittellinie", "X4"])
def test_centre_lines_by_line_type(style):
    tables = "\n".join([linetype("X4", 12.0, -2.0, 0.0, -2.0)])
    drawing = dxf(*PART, line(-5, 25, 85, 25, style=style), circle(40, 25, 20, style=style), tables=tables)
    found = inspect(drawing)
    assert kinds(found) == {"centre-lines": 2}
    assert style in found.groups[0].says
    assert inspect(drawing, drop=["centre-lines"]).verdict == "ready"


def test_a_cross_through_a_circle_needs_no_line_type():
    cross = [line(8, 25, 32, 25), line(20, 13, 20, 37)]
    gap = [line(51, 25, 58, 25), line(62, 25, 69, 25), line(60, 16, 60, 23), line(60, 27, 60, 34)]
    gap += [line(59, 25, 61, 25), line(60, 24, 60, 26)]
    found = inspect(dxf(*PART, *cross, *gap))
    assert kinds(found) == {"centre-lines": 8}
    assert set(found.flaws) == set(found.groups[0].flaws)
    assert inspect(dxf(*PART, *cross, *gap), drop=["centre-lines"]).verdict == "ready"


@pytest.mark.parametrize("name", ["BEND", "Biegelinien", "fold_up", "PLIAGE", "BEND-DOWN 90"])
def test_bend_lines_by_layer(name):
    drawing = dxf(*PART, line(40, 0, 40, 50, on=name))
    found = inspect(drawing)
    assert kinds(found) == {"bend-lines": 1}
    assert {flaw.kind for flaw in found.groups[0].flaws} == {"open"}
    assert inspect(drawing, drop=["bend-lines"]).verdict == "ready"


def table(x, y):
    """A title block of 90 x 20 mm whose lower left corner is (x, y)."""
    rows = [line(x, y, x, y + 20), line(x, y + 20, x + 90, y + 20)]
    rows += [line(x, y + 10, x + 90, y + 10), line(x + 30, y, x + 30, y + 20), line(x + 60, y, x + 60, y + 10)]
    return [*rows, text(x + 2, y + 2, "drawn"), text(x + 32, y + 2, "plate"), text(x + 62, y + 2, "1:1")]


@pytest.mark.parametrize("sides", ["polyline", "lines"])
def test_frame_with_border_and_title_block(sides):
    def rectangle(x0, y0, x1, y1):
        if sides == "polyline":
            return [plate(x0, y0, x1 - x0, y1 - y0)]
        return [line(x0, y0, x1, y0), line(x1, y0, x1, y1), line(x1, y1, x0, y1), line(x0, y1, x0, y0)]

    frame = [*rectangle(-100, -80, 197, 130), *rectangle(-80, -70, 187, 120)]
    ticks = [line(43, -80, 43, -70), line(43, 120, 43, 130), text(0, -77, "1"), text(90, -77, "2")]
    drawing = dxf(*PART, *frame, *ticks, *table(97, -70))
    found = inspect(drawing)
    assert kinds(found) == {"title-block": 1, "frame": 1}
    assert "which is A4" in next(group.says for group in found.groups if group.kind == "frame")
    assert {flaw.kind for group in found.groups for flaw in group.flaws} == {flaw.kind for flaw in found.flaws}
    without = inspect(drawing, drop=["title-block", "frame"])
    assert (without.verdict, without.size) == ("ready", (80.0, 50.0))
    assert len(without.closed) == 3


def test_a_title_block_alone():
    drawing = dxf(*PART, *table(0, -60), line(90, -60, 90, -40), line(0, -60, 90, -60))
    assert kinds(inspect(drawing)) == {"title-block": 1}
    assert inspect(drawing, drop=["title-block"]).verdict == "ready"


def test_all_at_once_and_each_fault_has_its_group():
    tables = "\n".join([layer("0"), layer("AXES", "DASHDOT"), layer("BEND")])
    frame = [plate(-100, -80, 297, 210), plate(-90, -70, 277, 190)]
    rows = [*PART, *frame, *table(97, -70), line(-5, 25, 85, 25, on="AXES"), line(40, 0, 40, 50, on="BEND")]
    rows += [row for a, b, off in THREE for row in dimension(a, b, off)]
    drawing = dxf(*rows, tables=tables)
    found = inspect(drawing)
    assert kinds(found) == {"dimensions": 3, "centre-lines": 1, "bend-lines": 1, "title-block": 1, "frame": 1}
    assert {flaw for group in found.groups for flaw in group.flaws} == set(found.flaws)
    mended = mend(drawing, drop=[group.drop for group in found.groups])
    assert (mended.refused, mended.open, len(mended.closed)) == ((), (), 3)
    assert inspect(drawing, drop=[group.drop for group in found.groups]).verdict == "ready"


def test_what_is_wrong_with_the_whole_file_belongs_to_no_group():
    away = [plate(3e5, 0, 80, 50), *dimension((3e5, 0), (3e5 + 80, 0), -10)]
    found = inspect(dxf(*away))
    assert "far" in {flaw.kind for flaw in found.flaws} - {flaw.kind for flaw in found.groups[0].flaws}


def test_in_inches_the_same_is_found():
    inch = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n"
    side = 3.0
    rows = [plate(0, 0, side, 2), *head((0, -0.5), (-1, 0), "open", 0.12), *head((3, -0.5), (1, 0), "open", 0.12)]
    rows += [line(0, -0.5, 3, -0.5), line(0, -0.04, 0, -0.56), line(3, -0.04, 3, -0.56), text(1.4, -0.45, '3"')]
    drawing = dxf(*rows, header=inch)
    assert kinds(inspect(drawing)) == {"dimensions": 1}
    assert inspect(drawing, drop=["dimensions"]).size == pytest.approx((76.2, 50.8))


@pytest.mark.parametrize(
    ("name", "entities"),
    [
        ("a plate with a narrow triangular window", [*PART, polyline((40, 10), (41, 16), (39, 16))]),
        ("a plate of a paper's shape", [plate(0, 0, 148.5, 105), circle(30, 30, 5), circle(90, 60, 9)]),
        ("a plate with two words on it", [*PART, text(10, 5, "front"), text(40, 5, "side")]),
        ("a ladder of slots", [plate(0, 0, 80, 90), *(plate(10, 10 * n, 60, 4) for n in range(1, 8))]),
        ("a plate of single lines", [line(0, 0, 9, 0), line(9, 0, 9, 5), line(9, 5, 0, 5), line(0, 5, 0, 0)]),
        ("an open line through a hole", [*PART, line(-5, 25, 85, 25)]),
        ("a gasket with a disc in its window", [plate(0, 0, 100, 80), plate(4, 4, 92, 72), circle(50, 40, 20)]),
        ("a flange with bolt holes round its window, and words",
         [plate(0, 0, 100, 80), plate(9, 9, 82, 62), *(circle(x, 4, 2) for x in (4, 50, 96)), text(50, 75, "top")]),
        ("a plate of A4 with holes", [plate(0, 0, 297, 210), circle(50, 40, 20), circle(150, 40, 20)]),
    ],
)  # fmt: skip
def test_parts_are_taken_for_nothing_else(name, entities):
    found = inspect(dxf(*entities))
    assert found.groups == ()


def test_what_leaves_no_closed_line_is_not_believed():
    assert inspect(dxf(plate(0, 0, 80, 50, on="DIM"), circle(20, 20, 5, on="DIM"))).groups == ()


@pytest.mark.parametrize("file", sorted(REAL.glob("*.dxf")), ids=lambda file: file.stem)
def test_real_files_hold_no_group_but_the_dimensions_they_have(file):
    found = inspect(file, "mm")
    dimensions = sum(count for kind, count in found.entities.items() if kind in ("DIMENSION", "LEADER"))
    assert kinds(found) == ({"dimensions": dimensions} if dimensions else {})


@pytest.mark.parametrize("file", sorted(FAULTS.glob("*.dxf")), ids=lambda file: file.stem)
def test_fault_files_are_taken_for_nothing_else(file):
    if "html" not in file.stem and file.stem != "empty":
        assert inspect(file, "mm").groups == ()


def test_our_own_files_hold_no_group(tmp_path):
    made = make(read_job("demo"), tmp_path, Options(together=True))
    assert made is not None
    files = sorted(tmp_path.glob("*.dxf"))
    assert len(files) > 3
    assert {file.name: inspect(file).groups for file in files} == {file.name: () for file in files}


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("DIM", "dimensions"), ("2_Bemaßung", "dimensions"), ("COTES", "dimensions"), ("DIMPLE", None),
        ("CENTRE-LINES", "centre-lines"), ("mittellinien", "centre-lines"), ("CENTRAL", None), ("0", None),
        ("BIEGELINIEN", "bend-lines"), ("BENDIX", None), ("Schriftfeld", "title-block"), ("CUT-OUTSIDE", None),
        ("CUT-INSIDE", None), ("MARK", None), ("STEEL 3 MM", None), ("Score-board", None),
    ],
)  # fmt: skip
def test_layers_are_read_by_whole_words(name, kind):
    assert kind_of_layer(name) == kind


def test_line_types_are_read_by_name_or_by_pattern():
    patterns = {"A": (10.0, -2.0, 1.0, -2.0), "B": (5.0, -5.0), "C": (6.0, -3.0, 6.0, -3.0), "D": ()}
    assert [kind_of_linetype(name, patterns) for name in ("a", "b", "c", "d", "Continuous", "HIDDEN2")] == [
        "centre-lines", None, None, None, None, None,
    ]  # fmt: skip


def test_papers():
    assert [paper_of(*size) for size in ((420, 297), (180, 277), (279.4, 215.9), (300, 200), (400, 277))] == [
        "A3", "A4 within its margins", "ANSI A", None, "A3 within its margins",
    ]  # fmt: skip


def test_the_words_and_the_data_offer_the_group_in_place_of_its_faults(tmp_path):
    file = tmp_path / "plate.dxf"
    file.write_bytes(dxf(*PART, *(row for a, b, off in THREE for row in dimension(a, b, off, "open"))))
    said = CliRunner().invoke(main, ["inspect", str(file)])
    assert said.exit_code == 1
    assert "looks like 3 dimensions: 6 arrowheads, 3 texts, 9 thin lines" in said.output
    assert "only because of them; --drop dimensions leaves them out" in said.output
    assert "a line ends here" not in said.output
    (group,) = json.loads(CliRunner().invoke(main, ["inspect", str(file), "--json"]).output)["groups"]
    assert (group["kind"], group["count"], group["drop"]) == ("dimensions", 3, "dimensions")
    assert group["faults"]["open"] > 6
    assert CliRunner().invoke(main, ["inspect", str(file), "--drop", "dimensions"]).exit_code == 0


def test_a_frame_is_told_once(tmp_path):
    file = tmp_path / "framed.dxf"
    file.write_bytes(dxf(*PART, plate(-100, -80, 297, 210)))
    assert CliRunner().invoke(main, ["inspect", str(file)]).output.count("--drop frame leaves it out") == 1


def by_library(arrow, *, apart):
    """A plate with six dimensions as the library draws them, then exploded: what is left of a drawing on its way to us.

    apart : the arrowheads' blocks taken apart too
    """
    document = ezdxf.new("R2000", setup=True)
    document.units = 4
    space = document.modelspace()
    space.add_lwpolyline([(0, 0), (80, 0), (80, 50), (0, 50)], close=True)
    for x, y, r in ((20, 25, 8), (60, 25, 4)):
        space.add_circle((x, y), r)
    style = {"dimtxt": 2.5, "dimasz": 2.5, "dimexo": 0.6, "dimexe": 1.25, "dimblk": "" if arrow == "TICK" else arrow}
    style |= {"dimtsz": 2.5} if arrow == "TICK" else {}
    made = [
        space.add_linear_dim(base=(0, -12), p1=(0, 0), p2=(80, 0), override=style),
        space.add_linear_dim(base=(-12, 0), p1=(0, 0), p2=(0, 50), angle=90, override=style),
        space.add_aligned_dim(p1=(0, 50), p2=(20, 25), distance=10, override=style),
        space.add_radius_dim(center=(20, 25), radius=8, angle=45, override=style),
        space.add_diameter_dim(center=(60, 25), radius=4, angle=30, override=style),
        space.add_angular_dim_3p(base=(90, 70), center=(80, 50), p1=(100, 50), p2=(80, 70), override=style),
    ]
    for one in made:
        one.render()
    for one in [one for one in space if one.dxftype() == "DIMENSION"]:
        one.explode()
    for one in [one for one in space if apart and one.dxftype() == "INSERT"]:
        one.explode()
    written = io.StringIO()
    document.write(written)
    return written.getvalue().encode()


@pytest.mark.parametrize("arrow", ["", "OPEN30", "OPEN", "OPEN90", "TICK", "OBLIQUE", "ARCHTICK", "DOT", "DOTSMALL"])
def test_dimensions_that_the_library_drew(arrow):
    data = by_library(arrow, apart=False)
    found = inspect(data)
    assert kinds(found) == {"dimensions": 6}
    assert "10 arrowheads, 6 texts, 14 thin lines" in found.groups[0].says
    left = inspect(data, drop=["dimensions"])
    assert {flaw.kind for flaw in left.flaws} <= {"encoding"}
    assert len(left.closed) == 3


def test_ticks_are_known_by_two_on_one_line():
    """Those of the diameter, the radius and the angle stay: two short lines across another may be anything."""
    found = inspect(by_library("TICK", apart=True))
    assert kinds(found) == {"dimensions": 3}


@pytest.mark.parametrize("arrow", ["", "OPEN30", "OPEN", "OPEN90"])
def test_and_with_their_arrowheads_taken_apart(arrow):
    data = by_library(arrow, apart=True)
    assert kinds(inspect(data)) == {"dimensions": 6}
    left = inspect(data, drop=["dimensions"])
    assert len(left.closed) == 3
    assert {flaw.kind for flaw in left.flaws} <= {"encoding"}


def test_papers_that_a_printer_has_are_the_papers_of_a_frame():
    for paper in read_profiles().papers.papers:
        if paper.name not in ("legal",):  # no sheet of ANSI/ASME Y14.1, though its source is the same
            assert paper_of(paper.width, paper.height) is not None
