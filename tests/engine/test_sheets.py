"""Lettering and whole sheets as files: what stands in the DXF, read by another way than it was written."""

import io
import json
from importlib.util import find_spec
from itertools import combinations, pairwise
from math import hypot

import ezdxf
import pytest
from shapely.geometry import LineString, MultiLineString, Polygon

from gasketcut import Options, parse_job
from gasketcut.errors import ReadBackError
from gasketcut.output.proof.dxf import prove_path
from gasketcut.received.inspection import inspect
from tests.making import make

JOB = """
title = "Sheets"
units = "mm"

[cutting]
process = "{process}"
{cutting}

{layout}

[[stock]]
name = "paper 0.5"
thickness = 0.5
material = "vegetable-fibre"
size = [150, 120]

[[part]]
name = "cover"
kind = "flat"
stock = "paper 0.5"
count = {count}
opening = {{ rectangle = [20, 10], corner = 2 }}
outline = {{ rectangle = [70, 45], corner = 6 }}

[[part]]
name = "washer"
kind = "flat"
stock = "paper 0.5"
count = 2
opening = {{ round = 8 }}
outline = {{ round = 16 }}
"""
LAYOUT = '[layout]\nspacing = 4\nmargin = 5\nturning = "quarter"\nseconds = 2'


def job(process="co2", cutting="", layout="", count=3):
    return parse_job(JOB.format(process=process, cutting=cutting, layout=layout, count=count))


def layers(data):
    document = ezdxf.read(io.StringIO(data.decode().replace("\r\n", "\n")))
    return [entity.dxf.layer for entity in document.modelspace()]


@pytest.mark.skipif(find_spec("HersheyFonts") is None, reason="needs gasketcut[lettering]")
class TestLettering:
    def test_it_lies_on_the_mark_layer_and_keeps_off_the_cuts(self, tmp_path):
        plain = make(job(), tmp_path / "plain")
        report = make(job(cutting="letter = true"), tmp_path / "lettered")
        data = (tmp_path / "lettered" / "cover.dxf").read_bytes()
        found = inspect(data)
        strokes = [one.segments for one in found.open] + [one.contour for one in found.closed if one.is_mark]

        assert found.verdict == "ready"
        assert len(strokes) > 40
        assert sum(not one.is_mark for one in found.closed) == 2
        assert report.quote.rows[0].mark > 100 > plain.quote.rows[0].mark == 0
        # The part's own letters are on the sheet that stays: none nearer to an edge than 1 mm.
        edges = [Polygon(one.contour.flattened()).exterior for one in found.closed if not one.is_mark]
        low = min(edge.bounds[1] for edge in edges)
        points = [segment.start for line in found.open for segment in line.segments if segment.start[1] > low]
        from shapely import Point

        assert min(edge.distance(Point(point)) for edge in edges for point in points) > 0.99

    @pytest.mark.parametrize(
        ("kerf", "words"), [("", "nominal size, no kerf applied"), ("kerf = 0.2", "kerf applied 0.2 mm")]
    )
    def test_the_kerf_is_said_outside_the_part(self, kerf, words):
        from gasketcut.cutting.cut_part import cut_part
        from gasketcut.cutting.path.lettering import lettering
        from gasketcut.profile.profiles import Profiles
        from tests.making import built

        given = job(cutting=f"letter = true\n{kerf}")
        part = built(given)[0]
        ready = cut_part(part, given.cutting, Profiles().cutters)
        below = [line for line in ready.letters if max(y for _, y in line) < part.outer.bounds[1]]

        assert len(below) == len(lettering(part, [words], below=0.0).lines) > 10

    def test_a_knife_cannot_mark(self, tmp_path):
        report = make(job(process="knife", cutting="letter = true"), tmp_path)

        assert {finding.rule for finding in report.findings} >= {"lettering"}
        assert "MARK" not in layers((tmp_path / "cover.dxf").read_bytes())

    def test_a_lost_stroke_is_found(self, tmp_path):
        make(job(cutting="letter = true"), tmp_path)
        data = (tmp_path / "cover.dxf").read_bytes()
        with pytest.raises(ReadBackError):
            prove_path(data, [("MARK", [])], "cover", "mm")

    def test_same_job_same_bytes(self, tmp_path):
        for name in ("a", "b"):
            make(job(cutting="letter = true"), tmp_path / name)

        assert (tmp_path / "a" / "cover.dxf").read_bytes() == (tmp_path / "b" / "cover.dxf").read_bytes()


def pieces_of(path):
    """Outsides and insides of a sheet's DXF, as another reader has them."""
    document = ezdxf.read(io.StringIO(path.read_bytes().decode().replace("\r\n", "\n")))
    found = {"CUT-OUTSIDE": [], "CUT-INSIDE": []}
    for entity in document.modelspace():
        if entity.dxf.layer in found:
            path = ezdxf.path.make_path(entity)
            found[entity.dxf.layer].append(Polygon([(p.x, p.y) for p in path.flattening(0.001)]))
    return found["CUT-OUTSIDE"], found["CUT-INSIDE"]


@pytest.mark.parametrize("kerf", [0.0, 0.3])
@pytest.mark.parametrize("count", [3, 7])
def test_pieces_keep_their_distance_and_are_all_there(tmp_path, count, kerf):
    report = make(job(cutting=f"kerf = {kerf}" if kerf else "", layout=LAYOUT, count=count), tmp_path)
    files = sorted(tmp_path.glob("sheet-*.dxf"))
    outsides = 0
    for path in files:
        outer, inner = pieces_of(path)
        outsides += len(outer)
        assert len(inner) == len(outer)  # one opening each
        for a, b in combinations(outer, 2):
            assert a.distance(b) > 4 - 0.01
        for one in outer:
            left, low, right, high = one.bounds
            assert min(left, low, 150 - right, 120 - high) > 5 - 0.01
        assert inspect(path.read_bytes()).verdict == "ready"
    data = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))["layout"]

    assert outsides == count + 2
    assert sum(len(sheet["pieces"]) for sheet in data) == count + 2
    assert [sheet["file"] for sheet in data] == [path.name for path in files]
    for sheet, path in zip(data, files, strict=True):
        outer, inner = pieces_of(path)
        net = sum(one.area for one in outer) - sum(one.area for one in inner)
        assert sheet["utilisation"] == pytest.approx(net / (150 * 120), rel=2e-3)
    used = sum(row.sheet * row.count for row in report.quote.rows)
    left = data[-1]["left_over_mm"]
    assert used == pytest.approx(len(files) * 150 * 120 - left[0] * left[1], rel=1e-5)


def test_sheets_in_inches_and_r12(tmp_path):
    make(job(layout=LAYOUT), tmp_path, Options(dxf="r12", units="in"))
    found = inspect((tmp_path / "sheet-paper-0.5-1.dxf").read_bytes())

    assert found.unit.declared == "in"
    assert found.verdict == "ready"
    assert max(found.size) < 150


def test_too_large_for_its_sheet(tmp_path):
    given = parse_job(JOB.format(process="co2", cutting="", layout=LAYOUT, count=1).replace("[150, 120]", "[60, 40]"))
    report = make(given, tmp_path)
    stops = [finding for finding in report.findings if finding.weight == "stop"]

    assert ("layout", "cover") in [(finding.rule, finding.part) for finding in stops]
    assert list(tmp_path.iterdir()) == []


def test_a_sheet_without_a_size(tmp_path):
    given = parse_job(JOB.format(process="co2", cutting="", layout=LAYOUT, count=1).replace("size = [150, 120]", ""))
    (stop,) = [finding for finding in make(given, tmp_path).findings if finding.weight == "stop"]

    assert "size = [width, height]" in stop.do


def test_letters_beside_a_part_stay_off_its_neighbours(tmp_path):
    pytest.importorskip("HersheyFonts")
    # Two covers: half of the sheet stays free, wherever a busy machine lets the search put them.
    make(job(cutting="letter = true", layout=LAYOUT, count=2), tmp_path)
    document = ezdxf.read(io.StringIO((tmp_path / "sheet-paper-0.5-1.dxf").read_bytes().decode().replace("\r\n", "\n")))
    outer, _ = pieces_of(tmp_path / "sheet-paper-0.5-1.dxf")
    marks = [entity for entity in document.modelspace() if entity.dxf.layer == "MARK"]
    lines = [[(p.x, p.y) for p in ezdxf.path.make_path(one).flattening(0.01)] for one in marks]
    drawn = [LineString(line) for line in lines]
    beside = [line for line in drawn if not any(piece.covers(line) for piece in outer)]

    assert len(drawn) - len(beside) > 30
    assert len(beside) > 20  # what the sheet is and whether a kerf is applied, once
    assert min(piece.distance(line) for piece in outer for line in beside) > 0.99
    assert MultiLineString(beside).bounds[2] < 150
    assert sum(hypot(b[0] - a[0], b[1] - a[1]) for line in lines for a, b in pairwise(line)) > 100


def test_a_piece_in_a_hole_is_cut_before_the_hole(tmp_path):
    ring = JOB.format(process="co2", cutting="", layout=LAYOUT + "\nin_holes = true", count=1)
    ring = ring.replace(
        "opening = { rectangle = [20, 10], corner = 2 }", "opening = { rectangle = [50, 30], corner = 2 }"
    )
    make(parse_job(ring), tmp_path)
    (path,) = tmp_path.glob("sheet-*.dxf")
    document = ezdxf.read(io.StringIO(path.read_bytes().decode().replace("\r\n", "\n")))
    shapes = []
    for entity in document.modelspace():
        points = [(p.x, p.y) for p in ezdxf.path.make_path(entity).flattening(0.01)]
        shapes.append((entity.dxf.layer, Polygon(points)))
    hole = max((n for n, (layer, _) in enumerate(shapes) if layer == "CUT-INSIDE"), key=lambda n: shapes[n][1].area)
    guests = [n for n, (_, shape) in enumerate(shapes) if n != hole and shapes[hole][1].contains(shape)]

    assert len(guests) >= 2  # outside and opening of a washer at least
    assert max(guests) < hole
