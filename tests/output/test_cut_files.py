"""What `[cutting]` does to the files of a run: kerf in the path, its name, the quote, and what forbids a cut."""

import csv
import io
import json
from itertools import pairwise
from math import pi

import ezdxf
import pytest
from ezdxf import bbox
from ezdxf.path import make_path
from shapely.geometry import Polygon

from gasketcut import Options, parse_job
from gasketcut.errors import DrawingError, ReadBackError
from gasketcut.output.proof.dxf import prove_dxf
from gasketcut.received.reading.contours import contours_of
from tests.making import make

JOB = """title = "Ferry winch"
units = "mm"
[cutting]
process = "co2"
kerf = 0.2
rate_hour = 60
currency = "units"
[[stock]]
name = "paper"
thickness = 0.5
material = "cellulose-nbr"
[[part]]
name = "plate"
kind = "flat"
stock = "paper"
count = 2
outline = { rectangle = [40.0, 40.0] }
opening = { rectangle = [20.0, 10.0] }
holes = { at = [[-15, 15]], diameter = 5.0 }
"""


def areas(data):
    return sorted(round(Polygon(one.contour.flattened()).area, 2) for one in contours_of(data))


def test_the_path_is_grown_by_half_the_kerf_and_the_name_says_so(tmp_path):
    report = make(parse_job(JOB), tmp_path)
    assert sorted(file.name for file in tmp_path.iterdir()) == [
        "plate-kerf-0.2mm.dxf", "plate-kerf-0.2mm.svg", "plate.pdf", "quote.csv", "report.json",
    ]  # fmt: skip
    data = (tmp_path / "plate-kerf-0.2mm.dxf").read_bytes()
    assert b"kerf applied 0.2 mm" in data
    # 40 square drawn 40.2 with its corners rounded by 0.1, 20 x 10 drawn 19.8 x 9.8, hole of 5 drawn 4.8.
    hole, opening, outside = areas(data)
    assert outside == pytest.approx(40.2**2 - (4 - pi) * 0.1**2, abs=0.01)
    assert opening == pytest.approx(19.8 * 9.8, abs=0.01)
    assert hole == pytest.approx(pi / 4 * 4.8**2, abs=0.01)
    assert report.made[0].outline.area == pytest.approx(1600 - 200 - pi / 4 * 25, abs=0.01)  # the part's own


def test_without_a_kerf_the_file_is_nominal(tmp_path):
    make(parse_job(JOB.replace("kerf = 0.2\n", "")), tmp_path)
    data = (tmp_path / "plate.dxf").read_bytes()
    assert b"nominal size, no kerf applied" in data
    assert areas(data)[-1] == pytest.approx(1600.0, abs=0.01)


def test_the_quote_is_in_the_report_and_the_table(tmp_path):
    make(parse_job(JOB), tmp_path)
    quote = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))["quote"]
    each, everything = csv.DictReader(io.StringIO((tmp_path / "quote.csv").read_text(encoding="utf-8")))
    outside = 4 * 40 + 2 * pi * 0.1  # straight sides, and corners rounded by half the kerf
    assert quote["parts"][0]["cut_outside_mm"] == pytest.approx(outside, abs=0.01)
    assert float(each["cut_outside_mm"]) == quote["parts"][0]["cut_outside_mm"]
    assert float(everything["cut_outside_mm"]) == pytest.approx(2 * outside, abs=0.02)
    assert quote["total"]["cost"] == pytest.approx(60 * quote["total"]["time_s"] / 3600, abs=0.01)
    assert quote["total"]["pierces"] == 6


@pytest.mark.parametrize(
    ("change", "rule", "weight"),
    [
        (('material = "cellulose-nbr"', 'material = "can"'), "material", "stop"),  # lacquered metal under a laser
        (('\nmaterial = "cellulose-nbr"', ""), "material", "stop"),  # nobody says what it is
        (("diameter = 5.0", "diameter = 0.15"), "kerf", "stop"),  # the hole is narrower than the cut
    ],
)
def test_what_must_not_or_cannot_be_cut_stops_the_run(tmp_path, change, rule, weight):
    assert change[0] in JOB
    report = make(parse_job(JOB.replace(*change)), tmp_path)
    assert (rule, weight) in {(one.rule, one.weight) for one in report.findings}
    assert list(tmp_path.iterdir()) == []


def test_a_run_without_cutting_has_no_quote(tmp_path):
    text = JOB[: JOB.index("[cutting]")] + JOB[JOB.index("[[stock]]") :]
    report = make(parse_job(text), tmp_path)
    assert report.as_data()["quote"] is None
    assert not (tmp_path / "quote.csv").exists()


PATH = JOB.replace("kerf = 0.2\n", "order = true\nlead_in = 1.5\ntabs = 3\n")


@pytest.mark.parametrize("options", [Options(), Options(dxf="r12"), Options(units="in", dxf="r2010")])
def test_lead_ins_and_tabs_lie_on_layers_of_their_own(tmp_path, options):
    make(parse_job(PATH), tmp_path, options)
    document = ezdxf.readfile(tmp_path / "plate.dxf")
    layers = [entity.dxf.layer for entity in document.modelspace()]
    assert layers.count("LEAD") == 3  # hole, opening, outside
    assert layers.count("TAB") == 5  # three of the outside, and two that hold what falls out of the opening
    assert layers.index("CUT-OUTSIDE") > max(n for n, layer in enumerate(layers) if layer == "CUT-INSIDE")
    assert document.layers.get("TAB").is_off()
    scale = 25.4 if options.units == "in" else 1.0
    box = bbox.extents(document.modelspace())
    assert min(box.extmin.x, box.extmin.y) * scale == pytest.approx(0.0, abs=1e-4)
    # What is cut and what the tabs hold come to the whole way round.
    cut = dict.fromkeys(set(layers), 0.0)
    for entity in document.modelspace():
        flat = list(make_path(entity).flattening(1e-4, segments=8))
        cut[entity.dxf.layer] += sum(a.distance(b) for a, b in pairwise(flat))
    round_all = (cut["CUT-OUTSIDE"] + cut["CUT-INSIDE"] + cut["TAB"]) * scale
    assert round_all == pytest.approx(160.0 + 60.0 + 5.0 * pi, abs=0.01)


def test_a_knife_runs_on_past_its_start(tmp_path):
    text = JOB.replace('"co2"', '"knife"').replace("kerf = 0.2\n", "overcut = 1.0\n")
    make(parse_job(text), tmp_path)
    document = ezdxf.readfile(tmp_path / "plate.dxf")
    over = [entity for entity in document.modelspace() if entity.dxf.layer == "OVERCUT"]
    assert len(over) == 3
    for entity in over:
        flat = list(make_path(entity).flattening(1e-4, segments=8))
        assert sum(a.distance(b) for a, b in pairwise(flat)) == pytest.approx(1.0, abs=1e-3)


def test_order_alone_changes_nothing_but_the_order(tmp_path):
    make(parse_job(JOB.replace("kerf = 0.2\n", "")), tmp_path / "plain")
    make(parse_job(JOB.replace("kerf = 0.2\n", "order = true\n")), tmp_path / "sorted")
    plain, ordered = ((tmp_path / name / "plate.dxf").read_bytes() for name in ("plain", "sorted"))
    assert areas(plain) == areas(ordered)
    assert [one.layer for one in contours_of(ordered)] == ["CUT-INSIDE", "CUT-INSIDE", "CUT-OUTSIDE"]


def test_large_arcs_with_lead_ins_are_proved_too(tmp_path):
    # An arc read as cubics is 4.9 um off at this size, which is no fault of the file.
    large = PATH.replace("[40.0, 40.0]", "[180.0, 160.0], corner = 70.0").replace(
        "rectangle = [20.0, 10.0]", "round = 90.0"
    )
    make(parse_job(large.replace("at = [[-15, 15]]", "at = [[-60, 60]]")), tmp_path)
    assert (tmp_path / "plate.dxf").exists()


SPOILT = {  # of a file of single lines and arcs, the way in which it is spoilt
    "is open": lambda space, lines: space.delete_entity(lines[0]),
    "branches": lambda space, lines: space.add_line(lines[0].dxf.start, (9, 9), {"layer": lines[0].dxf.layer}),
    "is no number": lambda _, lines: setattr(lines[0].dxf, "start", (float("nan"), 0, 0)),
}


@pytest.mark.parametrize("what", SPOILT)
def test_a_spoilt_file_of_ours_is_never_called_written(tmp_path, what):
    given = parse_job(JOB.replace("kerf = 0.2\n", ""))
    (made,) = make(given, tmp_path, Options(form="segments")).made
    document = ezdxf.readfile(tmp_path / "plate.dxf")
    space = document.modelspace()
    SPOILT[what](space, list(space.query("LINE")))
    stream = io.StringIO()
    document.write(stream)

    with pytest.raises(DrawingError, match=what):
        contours_of(stream.getvalue().encode())
    with pytest.raises(ReadBackError, match="fault of the program"):
        prove_dxf(stream.getvalue().encode(), made.part, made.outline, "mm")
