"""Received drawings looked through: each fault file shows its fault, real files their real ones."""

import json
import struct
from collections import Counter
from math import cos, pi, radians, sin
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point

from gasketcut import Options, parse_job, read_job
from gasketcut.cli import main
from gasketcut.errors import GasketError
from gasketcut.received.faults.flaw import ASKED, DROPPED, KINDS, MENDED, NotReadableError
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend
from gasketcut.received.reading.tags import read_tags
from tests.making import make
from tests.received.drawn import arc, circle, dxf, line, polyline, square

RECEIVED = Path(__file__).parent
WITH_A_TOOLS_WAY = """
units = "mm"
[cutting]
process = "co2"
order = true
lead_in = 2
tabs = 3
overcut = 1
[layout]
seconds = 1
[[stock]]
name = "paper"
thickness = 0.5
material = "vegetable-fibre"
size = [150, 120]
[[part]]
name = "cover"
kind = "flat"
stock = "paper"
count = 2
opening = { rectangle = [20, 10], corner = 2 }
outline = { rectangle = [70, 45], corner = 6 }
"""
FAULTS, REAL = RECEIVED / "faults", RECEIVED / "real"


def kinds(data, units="mm"):
    return dict(Counter(flaw.kind for flaw in inspect(data, units).flaws))


# What each file of `faults/` shows; the unit is said, as most of these fragments have no header to declare it.
SHOWS = {
    "blocks_section_first": {"header": 1, "open": 2},  # its one line is open too
    "bom": {"bom": 1},
    "bowtie": {"self-crossing": 1},
    "bulge_gt1_and_cw": {},
    "circle_360gon": {"circle-as-lines": 1},
    "circle_neg_extrusion": {"mirrored": 1},
    "circle_r0": {"bad-radius": 1},
    "circle_rneg": {"bad-radius": 1},
    "closed_flag_and_dup_last": {"repeated-point": 1},
    "crlf": {},
    "degenerate_polylines": {"zero-length": 1, "overlap": 1, "open": 2},  # one vertex; there and back again
    "dup_line_reversed": {"duplicate": 1},
    "gap_0.02": {"gap": 1},
    "gap_1e-7": {"gap-rounding": 1},
    "hatch_over_outline": {"hatch": 1},
    "hidden_layers": {"hidden": 4},
    "huge_coords": {"far": 1, "open": 2},  # two of its four sides
    "insert_mirror_nonuniform": {"block": 2, "ellipse": 2, "open": 4, "crossing": 2},  # its arc is open and crosses
    "latin1_layer": {"encoding": 1, "undeclared-layer": 1, "open": 2},  # a single line
    "lwpolyline_in_ac1009": {"version": 1, "undeclared-layer": 1},
    "lwpolyline_no_header": {"version": 1, "undeclared-layer": 1},
    "nan_coord": {"bad-number": 1},
    "open_contour_missing_side": {"open": 2},
    "spline_fitpoints": {"spline": 1},
    "text": {"text": 2},
    "units_conflict_mm_vs_imperial": {},
    "units_inch_label_mm_numbers": {},
    "units_none_r12": {},
    "z_plane_mix": {"levels": 1, "open": 2},  # the line on z = 3 stands alone
    "zero_len": {"zero-length": 1},
}
UNREADABLE = {"empty": "is empty", "html_saved_as_dxf": "a web page"}


def test_every_fault_file_is_in_the_list():
    assert {path.stem for path in FAULTS.glob("*.dxf")} == set(SHOWS) | set(UNREADABLE)


@pytest.mark.parametrize("name", SHOWS)
def test_a_fault_file_shows_its_fault(name):
    assert kinds((FAULTS / f"{name}.dxf").read_bytes()) == SHOWS[name]


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_is_no_dxf_is_named(name):
    with pytest.raises(NotReadableError, match=UNREADABLE[name]):
        inspect((FAULTS / f"{name}.dxf").read_bytes())


@pytest.mark.parametrize(
    ("name", "unit", "shown", "likely"),
    [
        ("units_conflict_mm_vs_imperial", "mm", {"unit-conflict": 1}, "mm"),
        ("units_inch_label_mm_numbers", "in", {"unit-doubt": 1}, "mm"),
        ("units_none_r12", None, {"no-unit": 1}, "mm"),
    ],
)
def test_the_declared_unit_is_evidence_not_proof(name, unit, shown, likely):
    found = inspect((FAULTS / f"{name}.dxf").read_bytes())

    assert (found.unit.declared, found.unit.likely) == (unit, likely)
    assert Counter(flaw.kind for flaw in found.flaws) == shown
    assert found.verdict == "ask"


# Sizes and units as MANIFEST.tsv has them, read there by two other readers; faults by looking at each file.
REAL_ONES = {
    "01_respira_blower_gasket_inchlabel_AC1021": (60.0, 60.0, {"unit-doubt": 1, "dimensions": 2}, 2),
    "03_respira_tubing_adapter_gasket_mm_AC1032": (45.0, 45.0, {}, 2),
    "04_respira_driver_plate_polyline_AC1032": (80.0, 92.0, {}, 9),
    "14_otone_motor_mount_open_nounits_AC1015": (90.0, 157.73, {"no-unit": 1, "overlap": 5, "sliver": 2}, 49),
    "17_otone_zmount_point_dimension_AC1015": (None, None, {"point": 2, "dimensions": 2}, 24),
    "22_cadquery_genshi_spline": (None, None, {"no-unit": 1, "spline": 12, "zero-length": 1}, 1),
    "24_skymaker_issue21_closing_bulge": (340.46, 314.71, {}, 3),
    "26_skymaker_circles_ellipses_arcs": (None, None, {"ellipse": 2, "open": 6}, 2),
    "28_ixmilia_r12_handle0": (None, None, {"no-unit": 1, "open": 2}, 0),
    "31_ezdxf_minimal_AC1009": (None, None, {"no-unit": 1, "empty": 1}, 0),
    "32_ezdxf_circle_radius_le_0": (None, None, {"bad-radius": 2, "empty": 1}, 0),
    "33_netdxf_polyline2d_AC1027": (None, 10.0, {"paper-space": 1}, 1),
}


@pytest.mark.parametrize("name", REAL_ONES)
def test_real_files(name):
    width, height, shown, closed = REAL_ONES[name]
    found = inspect((REAL / f"{name}.dxf").read_bytes())

    assert Counter(flaw.kind for flaw in found.flaws) == shown
    assert len(found.closed) == closed
    if width:
        assert found.size[0] == pytest.approx(width, abs=0.01)
    if height:
        assert found.size[1] == pytest.approx(height, abs=0.01)


@pytest.mark.parametrize("name", REAL_ONES)
def test_entities_are_counted_as_another_reader_counts_them(name):
    path = REAL / f"{name}.dxf"
    try:
        with path.open(encoding="utf-8", errors="surrogateescape") as stream:
            document = ezdxf.read(stream)
    except (ezdxf.DXFError, ValueError):
        pytest.skip("the other reader cannot open it")
    theirs = Counter(entity.dxftype() for entity in document.modelspace())
    theirs += Counter(entity.dxftype() for layout in document.layouts if layout.is_any_paperspace for entity in layout)

    assert inspect(path.read_bytes()).entities == theirs


@pytest.mark.parametrize("version", ["r2000", "r2010", "r12"])
@pytest.mark.parametrize("form", ["polyline", "segments"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_our_own_files_have_no_fault(tmp_path, version, form, units):
    report = make(read_job("demo"), tmp_path, Options(dxf=version, form=form, units=units))
    for made in report.made:
        found = inspect((tmp_path / f"{made.part.name}.dxf").read_bytes())

        assert [flaw.text for flaw in found.flaws] == []
        assert found.verdict == "ready"
        assert found.unit.declared == units
        areas = sorted(one.contour.area for one in found.closed)
        assert areas == pytest.approx(sorted(one.area for one in made.outline.contours), abs=1e-3)
        assert not [one for one in found.open if not one.is_mark]


@pytest.mark.parametrize("version", ["r2000", "r12"])
def test_our_own_files_with_a_tools_way_have_no_fault(tmp_path, version):
    job = parse_job(WITH_A_TOOLS_WAY)
    (made,) = make(job, tmp_path, Options(dxf=version)).made
    single, sheet = (inspect((tmp_path / name).read_bytes()) for name in ("cover.dxf", "sheet-paper-1.dxf"))

    assert {"LEAD", "TAB", "OVERCUT"} <= set(single.layers)
    assert [flaw.text for flaw in (*single.flaws, *sheet.flaws)] == []
    areas = sorted(one.contour.area for one in single.closed)
    assert areas == pytest.approx(sorted(one.area for one in made.outline.contours), abs=0.01)
    assert len(sheet.closed) == 4


def test_what_is_off_on_a_layer_called_tab_and_joins_nothing_is_hidden():
    tables = "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n0\nLAYER\n2\nTAB\n70\n0\n62\n-7\n0\nENDTAB\n0\nENDSEC\n"
    data = dxf(circle(0, 0, 5), line(20.0, 0.0, 30.0, 0.0, "TAB"), blocks=tables)

    assert kinds(data) == {"hidden": 1}


def test_every_kind_is_in_the_readme_and_in_one_group():
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")

    assert [kind for kind in KINDS if f"`{kind}`" not in readme] == []
    assert len(KINDS) == len(MENDED) + len(DROPPED) + len(ASKED)


# One drawing, one fault: the rest of the kinds, and the border cases of those above.
CASES = {
    "line on a longer line": ((square(0, 0, 20), line(5.0, 0.0, 12.0, 0.0)), {"overlap": 1}),
    "two arcs for a circle that is there": (
        (circle(0, 0, 5), arc(0, 0, 5, 10, 180), arc(0, 0, 5, 180, 370)),
        {"overlap": 2},
    ),
    "arcs that overlap": ((arc(0, 0, 5, 0, 200), arc(0, 0, 5, 180, 360)), {"overlap": 1}),
    "circle twice": ((circle(0, 0, 5), circle(0, 0, 5)), {"duplicate": 1}),
    "polyline twice, the other way": (
        (square(0, 0, 20), polyline((0, 0), (0, 20), (20, 20), (20, 0))),
        {"duplicate": 1},
    ),
    "polyline and its own lines": (
        (square(0, 0, 20), line(0.0, 0.0, 20.0, 0.0), line(20.0, 0.0, 20.0, 20.0)),
        {"duplicate": 2},
    ),
    "contours that cross": ((circle(0, 0, 10), circle(12, 0, 10)), {"crossing": 2}),
    "contours that touch outside": ((circle(0, 0, 10), circle(20, 0, 10)), {"touching": 1}),
    "contours that touch inside": ((circle(0, 0, 10), circle(5, 0, 5)), {"touching": 1}),
    "contours that touch where neither begins": (
        (circle(0, 0, 10), circle(20 * cos(radians(37)), 20 * sin(radians(37)), 10)),
        {"touching": 1},
    ),
    "squares that share a corner": ((square(0, 0, 10), square(10, 10, 10)), {"touching": 1}),
    "corner on an edge": ((square(0, 0, 20), polyline((5, 0), (10, 5), (5, 10))), {"touching": 1}),
    "nested": ((circle(0, 0, 10), circle(0, 0, 5)), {}),
    "three lines in a point": ((square(0, 0, 20), line(40.0, 0.0, 50.0, 0.0), line(50.0, 0.0, 60.0, 8.0),
                                line(50.0, 0.0, 60.0, -8.0)), {"branch": 1, "open": 3}),
    "not marked closed": ((polyline((0, 0), (9, 0), (9, 9), (0, 0), closed=False),), {"unflagged": 1}),
    "wide": ((square(0, 0, 9).replace("70\n1", "70\n1\n43\n2.0"),), {"wide": 1}),
    "a hexagon is a hexagon": (
        (polyline(*[(10 * cos(radians(60 * k)), 10 * sin(radians(60 * k))) for k in range(6)]),),
        {},
    ),
    "full circle as one big bulge": ((polyline((0, 0, 1.0), (10, 0, 1.0)),), {}),
    "tilted": ((square(0, 0, 9), circle(0, 0, 3, more="\n210\n0.6\n220\n0\n230\n0.8")), {"tilted": 1}),
    "undeclared layer": ((circle(0, 0, 5, "FOO"),), {"undeclared-layer": 1}),
    "paper space": ((circle(0, 0, 5), circle(0, 0, 7, more="\n67\n1")), {"paper-space": 1}),
    "invisible": ((circle(0, 0, 5), circle(0, 0, 7, more="\n60\n1")), {"hidden": 1}),
    "point": ((circle(0, 0, 5), "0\nPOINT\n8\n0\n10\n1\n20\n1"), {"point": 1}),
    "picture": ((circle(0, 0, 5), "0\nIMAGE\n8\n0\n10\n1\n20\n1"), {"stray": 1}),
    "decimal comma": ((circle(0, 0, 5).replace("40\n5", "40\n5,5"),), {"comma-decimal": 1}),
    "infinite": ((circle(0, 0, 5), line(0.0, 0.0, float("inf"), 1.0)), {"bad-number": 1}),
    "unknown block": ((circle(0, 0, 5), "0\nINSERT\n8\n0\n2\nNOWHERE\n10\n0\n20\n0"), {"damaged": 1}),
    "a sliver": ((circle(0, 0, 5), line(20.0, 0.0, 20.02, 0.0)), {"sliver": 1}),
    "on the mark layer lines may end": (
        (circle(0, 0, 5, "MARK"), line(-1.0, 0.0, 1.0, 0.0, "MARK"), line(0.0, -1.0, 0.0, 1.0, "MARK")),
        {"undeclared-layer": 1},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_one_drawing_one_fault(name):
    entities, shown = CASES[name]

    assert kinds(dxf(*entities)) == shown


@pytest.mark.parametrize(
    ("gap", "shown"),
    [(0.0, {}), (1e-10, {}), (1e-6, {"gap-rounding": 1}), (0.04, {"gap": 1}), (0.06, {"open": 2}), (3.0, {"open": 2})],
)
def test_classes_of_gaps(gap, shown):
    data = dxf(line(0.0, 0.0, 20.0, 0.0), line(20.0, 0.0, 20.0, 20.0), line(20.0, 20.0, 0.0, gap))

    assert kinds(data) == shown


def test_faults_have_their_place_in_the_files_own_numbers():
    inch = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n"
    found = inspect(dxf(square(0, 0, 4), circle(1.0, 2.0, 0.25), circle(1.0, 2.0, 0.25), header=inch))

    (flaw,) = found.flaws
    assert found.size == pytest.approx((101.6, 101.6))  # 4 in
    assert flaw.kind == "duplicate"
    x, y = flaw.at
    assert (x - 1.0) ** 2 + (y - 2.0) ** 2 == pytest.approx(0.0625)


BLOCK = (
    "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n10\n1\n20\n0\n"
    "0\nCIRCLE\n8\n0\n10\n3\n20\n0\n40\n0.5\n0\nARC\n8\n0\n10\n0\n20\n0\n40\n1\n50\n0\n51\n90\n0\nENDBLK\n0\nENDSEC\n"
)


@given(
    st.floats(-50, 50), st.floats(-50, 50), st.sampled_from([1.0, -1.0, 2.0, -3.0, 0.0]),
    st.sampled_from([1.0, -1.0, 2.0]), st.integers(0, 359), st.booleans(),
)  # fmt: skip
def test_blocks_come_apart_where_another_reader_puts_them(x, y, sx, sy, turn, below):
    more = "\n210\n0\n220\n0\n230\n-1" if below else ""
    insert = f"0\nINSERT\n8\nA\n2\nB\n10\n{x!r}\n20\n{y!r}\n41\n{sx!r}\n42\n{sy!r}\n50\n{turn}{more}"
    drawing = read_tags(dxf(insert, blocks=BLOCK))
    from gasketcut.received.reading.model_space import lines_of
    from gasketcut.received.reading.plane import Plane

    ours = lines_of(drawing, Plane()).lines
    document = ezdxf.new("R2000")
    block = document.blocks.new("B", base_point=(1, 0))
    block.add_circle((3, 0), 0.5)
    block.add_arc((0, 0), 1, 0, 90)
    attributes = {"xscale": sx or 1.0, "yscale": sy, "rotation": turn}
    if below:
        attributes["extrusion"] = (0, 0, -1)
    theirs = list(document.modelspace().add_blockref("B", (x, y), dxfattribs=attributes).virtual_entities())

    assert len(ours) == len(theirs) == 2
    assert {piece.layer for piece in ours} == {"A"}
    arc_theirs = next(one for one in theirs if one.dxftype() in ("ARC", "ELLIPSE") and one is not theirs[0])
    ends = [tuple(arc_theirs.start_point)[:2], tuple(arc_theirs.end_point)[:2]]
    # Not the ends alone: a mirrored arc whose bulge is not turned over has them too.
    way = LineString([(point.x, point.y) for point in ezdxf.path.make_path(arc_theirs).flattening(0.0002)])
    along = [point for segment in ours[1].segments for point in segment.points(0.01)]
    assert max(way.distance(Point(point)) for point in along) < 2e-3
    mine = [ours[1].segments[0].start, ours[1].segments[-1].end]
    for point in mine:
        assert min(abs(point[0] - u) + abs(point[1] - v) for u, v in ends) < 1e-6


def nested(depth):
    rows = ["0\nSECTION\n2\nBLOCKS"]
    for level in range(depth):
        inner = f"0\nINSERT\n8\n0\n2\nB{level + 1}\n10\n1\n20\n0" if level < depth - 1 else circle(0, 0, 5)
        rows.append(f"0\nBLOCK\n8\n0\n2\nB{level}\n10\n0\n20\n0\n{inner}\n0\nENDBLK")
    return "\n".join([*rows, "0\nENDSEC\n"])


def test_blocks_200_deep():
    found = inspect(dxf("0\nINSERT\n8\n0\n2\nB0\n10\n0\n20\n0", blocks=nested(200)))

    assert Counter(flaw.kind for flaw in found.flaws) == {"block": 1}
    (one,) = found.closed
    assert one.contour.center == pytest.approx((199.0, 0.0))


def test_blocks_that_contain_themselves_end():
    blocks = (
        "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nA\n10\n0\n20\n0\n0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n0\nENDBLK\n"
        "0\nBLOCK\n8\n0\n2\nB\n10\n0\n20\n0\n0\nINSERT\n8\n0\n2\nA\n10\n0\n20\n0\n0\nENDBLK\n0\nENDSEC\n"
    )
    shown = kinds(dxf(circle(0, 0, 5), "0\nINSERT\n8\n0\n2\nA\n10\n0\n20\n0", blocks=blocks))

    assert shown == {"block": 1, "damaged": 1}


def test_blocks_that_blow_up_are_stopped():
    rows = ["0\nSECTION\n2\nBLOCKS"]
    for level in range(60):
        twice = f"0\nINSERT\n8\n0\n2\nB{level + 1}\n10\n1\n20\n0\n" * 2 if level < 59 else circle(0, 0, 5) + "\n"
        rows.append(f"0\nBLOCK\n8\n0\n2\nB{level}\n10\n0\n20\n0\n{twice}0\nENDBLK")
    shown = kinds(dxf("0\nINSERT\n8\n0\n2\nB0\n10\n0\n20\n0", blocks="\n".join([*rows, "0\nENDSEC\n"])))

    assert "crowded" in shown


def test_a_truncated_file_is_reported():
    data = (FAULTS / "crlf.dxf").read_bytes()
    cut = data[: data.rindex(b"ENDSEC")]

    assert kinds(cut)["truncated"] == 1


def test_binary_dxf_is_read(tmp_path):
    document = ezdxf.new("R2000", units=4)
    document.modelspace().add_circle((3, 4), 5)
    document.saveas(tmp_path / "b.dxf", fmt="bin")
    found = inspect((tmp_path / "b.dxf").read_bytes())

    assert [flaw.kind for flaw in found.flaws] == ["binary"]
    assert found.size == pytest.approx((10.0, 10.0))


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13), "PNG"),
        (b"%PDF-1.4", "PDF"),
        (b"AC1032\x00\x00", "DWG"),
        (b"hello\nworld\n", "group code"),
        (b"0\nHELLO\n", "no sections"),
    ],
)
def test_other_files_are_named(data, what):
    with pytest.raises(NotReadableError, match=what):
        inspect(data)


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


@pytest.mark.parametrize(("name", "code"), [("crlf", 1), ("bulge_gt1_and_cw", 0), ("empty", 2), ("text", 1)])
def test_by_command(name, code):
    plain = run("inspect", FAULTS / f"{name}.dxf")
    said = run("inspect", FAULTS / f"{name}.dxf", "--json")

    assert plain.exit_code == said.exit_code == code
    data = json.loads(said.stdout)
    assert set(data) >= {"file", "version", "units", "size_mm", "entities", "contours", "faults", "verdict"}
    assert set(data["units"]) == {"declared", "measurement", "likely"}
    assert set(data["contours"]) == {"closed", "open"}
    assert all(set(fault) == {"kind", "at", "text", "fix"} for fault in data["faults"])
    assert (data["verdict"] == "ready") == (code == 0)


def test_a_folder_and_a_missing_file(tmp_path):
    assert run("inspect", tmp_path).exit_code == 2
    assert run("inspect", tmp_path / "none.dxf").exit_code == 2


def test_the_picture_has_a_ring_and_a_line_for_each_fault(tmp_path):
    run("inspect", FAULTS / "dup_line_reversed.dxf", "--picture", tmp_path / "p.svg")
    text = (tmp_path / "p.svg").read_text(encoding="utf-8")

    assert "duplicate" in text
    assert "no-unit" in text
    assert ">1<" in text


def test_crossings_agree_with_closed_forms():
    # Two circles of radius 10, centres 12 apart, meet at x = 6, y = +-8.
    found = inspect(dxf(circle(0, 0, 10), circle(12, 0, 10)))
    places = sorted(flaw.at for flaw in found.flaws)

    assert places == [pytest.approx((6.0, -8.0)), pytest.approx((6.0, 8.0))]
    # A line through a circle of radius 5 at height 3 meets it at x = +-4.
    found = inspect(dxf(circle(0, 0, 5), polyline((-9, 3), (9, 3), (0, 30))))
    low = sorted(flaw.at for flaw in found.flaws if abs(flaw.at[1] - 3) < 1e-6)
    assert low == [pytest.approx((-4.0, 3.0)), pytest.approx((4.0, 3.0))]


@given(st.integers(12, 90), st.floats(1.0, 60.0), st.floats(0, 2 * pi))
def test_circles_as_lines_are_recognised(count, radius, turn):
    points = [(radius * cos(turn + 2 * pi * k / count), radius * sin(turn + 2 * pi * k / count)) for k in range(count)]

    off = radius * (1 - cos(pi / count))
    found = inspect(dxf(polyline(*points)), "mm")

    assert [flaw.kind for flaw in found.flaws] == (["circle-as-lines"] if off <= 0.02 else [])
    assert [look.kind for look in found.looks] == ([] if off <= 0.02 else ["circle-as-lines"])


def test_a_path_a_name_and_bytes_are_read_alike_and_a_missing_file_is_named(tmp_path):
    file = tmp_path / "plate.dxf"
    file.write_bytes(dxf(square(0, 0, 20)))

    assert inspect(file) == inspect(str(file)) == inspect(file.read_bytes())
    assert mend(file, "mm") == mend(file.read_bytes(), "mm")
    for missing in (tmp_path / "none.dxf", tmp_path, "a\0b.dxf"):
        with pytest.raises(GasketError, match="cannot be read: "):
            inspect(missing)
        with pytest.raises(GasketError, match="cannot be read: "):
            mend(missing)
