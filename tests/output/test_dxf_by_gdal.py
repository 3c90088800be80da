"""The DXF files as another reader sees them: GDAL's, which shares no line with the library that wrote them.

Units, flags and entity kinds are taken from the raw group codes: a reader that fills in what is missing proves nothing.
"""

import os
import re
import subprocess
import sys
from functools import cache
from itertools import dropwhile, islice, takewhile
from math import dist, pi
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely

from gasketcut import Options, parse_job, read_job
from gasketcut.output.dxf import write_dxf
from gasketcut.received.inspection import inspect
from tests.making import make

STEP = 0.1  # degrees of arc between two of GDAL's points: 5e-7 of a circle's area is lost
AREA = 1e-5  # relative; the flattening, and rounding to 1e-6 mm
FLAT = 5e-5  # mm; GDAL's chords at a radius of 130 mm
FIT = 0.0025  # mm; how far the program lets an arc stray, so that anything shorter is noise and no edge
DECIMAL = re.compile(r"(?!-0\.0$)-?\d+(\.\d+)?")
CIRCLE = 'circle = 120.7, count = 4, diameter = "3/4 in", start = "45 deg"'
PLATE = "rectangle = [50.0, 36.0], corner = 6.0"
FOUR = "[-19, -12], [19, -12], [19, 12], [-19, 12]"
ELL = "[[0, 0], [60, 0], [60, 20], [20, 20], [20, 50], [0, 50]]"
FORMS = {
    "flange": ("round = 152.0", "round = 60.0", CIRCLE),
    "far slot": ('slot = [60.0, 20.0], at = [-100, 40], turn = "30 deg"', "", "at = [[-100, 40]], diameter = 5.0"),
    "plate": (PLATE, 'slot = [20.0, 8.0], at = [1, 2], turn = "25 deg"', f"at = [{FOUR}], diameter = 4.5"),
    "bracket": (f"points = {ELL}, corner = 4.0", "", "at = [[10, 10]], diameter = 6.0"),
    "two bolts": ("hull = 5.5", "", "at = [[-20, 0], [20, 0]], diameter = 6.6"),
    "oval": ("oval = [60.0, 40.0]", "oval = [28.0, 19.0]", ""),
}
SHAPES = 'title = "shapes"\nunits = "mm"\n'
for _name, (_outline, _opening, _holes) in FORMS.items():
    SHAPES += f'[[part]]\nname = "{_name}"\nkind = "flat"\noutline = {{ {_outline} }}\n'
    SHAPES += (f"opening = {{ {_opening} }}\n" if _opening else "") + (f"holes = {{ {_holes} }}\n" if _holes else "")
SHAPES += f'[[part]]\nname = "drill by this"\nkind = "outlet"\nform = "template"\noutline = {{ {PLATE} }}\n'
SHAPES += "outlet = { oval = [24.0, 15.0] }\n"
EXACT = {  # closed forms [mm2]: circles, rectangles and their corners
    "flange": pi / 4 * (152**2 - 60**2 - 4 * 19.05**2),
    "far slot": 40 * 20 + pi * 10**2 - pi * 2.5**2,
    "plate": 50 * 36 - (4 - pi) * 6**2 - (12 * 8 + pi * 4**2) - 4 * pi * 2.25**2,
    "bracket": 60 * 20 + 20 * 30 - (5 - 1) * (1 - pi / 4) * 4**2 - pi * 3**2,  # five corners out, one in
    "two bolts": 40 * 17.6 + pi * 8.8**2 - 2 * pi * 3.3**2,
}
VERSIONS = {"r12": "AC1009", "r2000": "AC1015", "r2010": "AC1024"}
WAYS = [(version, form, units) for version in VERSIONS for form in ("polyline", "segments") for units in ("mm", "in")]
every_way = pytest.mark.parametrize("way", WAYS, ids="-".join)
every_job = pytest.mark.parametrize("job", ["demo", "shapes"])


@pytest.fixture(scope="module", autouse=True)
def _fine_arcs():
    options = {"OGR_ARC_STEPSIZE": str(STEP), "DXF_CLOSED_LINE_AS_POLYGON": "TRUE"}
    pyogrio.set_gdal_config_options(options)
    yield
    pyogrio.set_gdal_config_options(dict.fromkeys(options))


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """By job and way: for each part its entry in the report and the path of its DXF."""
    demo = make(read_job("demo"), tmp_path_factory.mktemp("demo"))

    @cache
    def run(job, way):
        out, (dxf, form, units) = tmp_path_factory.mktemp("dxf"), way
        report = demo if job == "demo" else make(parse_job(SHAPES), out, Options(dxf=dxf, form=form, units=units))
        if job == "demo":  # its checks take long, so they are done once
            for made in demo.made:
                (out / f"{made.part.name}.dxf").write_bytes(write_dxf(made.part, made.outline, *way))
        return [(part, out / f"{part['name']}.dxf") for part in report.as_data()["parts"]]

    return run


@cache
def tags(path):
    """All group codes and values of a file as text."""
    lines = path.read_bytes().decode("ascii").split("\r\n")
    assert lines.pop() == ""
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def section(path, name):
    found = tags(path)
    first = found.index((2, name))
    return found[first + 1 : found.index((0, "ENDSEC"), first)]


@cache
def entities(path):
    """Each entity of the drawing as (kind, tags); a polyline's vertices follow it as entities of their own."""
    found = []
    for code, value in section(path, "ENTITIES"):
        if code == 0:
            found.append((value, []))
        else:
            found[-1][1].append((code, value))
    return found


def values(body, wanted):
    return [float(value) for code, value in body if code == wanted]


def variable(path, name):
    """The numbers of a header variable, none if the header does not hold it."""
    after = dropwhile(lambda tag: tag != (9, name), section(path, "HEADER"))
    return [float(value) for _, value in takewhile(lambda tag: tag[0] != 9, islice(after, 1, None))]


@cache
def features(path):
    """(layer, geometry) of everything that GDAL finds."""
    info, _, shapes, columns = pyogrio.raw.read(path)
    layers = columns[list(info["fields"]).index("Layer")]
    return list(zip(layers, shapely.from_wkb(shapes), strict=True))


def polygons(path, layer, units):
    """The closed shapes of a layer in mm: as GDAL closes them, single lines and arcs chained at their rounded ends."""
    scale, decimals = (1.0, 6) if units == "mm" else (25.4, 8)
    shapes = [shape for own, shape in features(path) if own == layer]
    found = [shape for shape in shapes if shape.geom_type == "Polygon"]
    loose = [shapely.get_coordinates(shape) for shape in shapes if shape.geom_type != "Polygon"]
    for points in loose:
        points[[0, -1]] = np.round(points[[0, -1]], decimals)
    found += shapely.polygonize([shapely.LineString(points) for points in loose]).geoms
    return [shapely.transform(shape, lambda points: points * scale) for shape in found]


@every_job
@every_way
def test_gdal_measures_the_area_of_the_report(written, job, way):
    for part, path in written(job, way):
        outside, inside = (polygons(path, layer, way[2]) for layer in ("CUT-OUTSIDE", "CUT-INSIDE"))

        net = sum(one.area for one in outside) - sum(one.area for one in inside)
        assert net == pytest.approx(part["area_mm2"], rel=AREA), part["name"]
        if part["name"] in EXACT:
            assert net == pytest.approx(EXACT[part["name"]], rel=AREA), part["name"]
            assert part["area_mm2"] == pytest.approx(EXACT[part["name"]], rel=1e-6), part["name"]


@every_job
@every_way
def test_one_outside_and_every_opening_close_and_lie_within(written, job, way):
    for part, path in written(job, way):
        (outside,), inside = (polygons(path, layer, way[2]) for layer in ("CUT-OUTSIDE", "CUT-INSIDE"))

        assert len(inside) == part["pierces"] - 1, part["name"]
        assert all(outside.contains(one) for one in inside), part["name"]
        assert sum(one.length for one in (outside, *inside)) == pytest.approx(part["cut_length_mm"], rel=AREA)


@every_job
@every_way
def test_kinds_are_those_of_the_form_and_every_contour_is_flagged_closed(written, job, way):
    line = "POLYLINE" if way[0] == "r12" else "LWPOLYLINE"
    allowed = {"LINE", "ARC"} if way[1] == "segments" else {line}
    for part, path in written(job, way):
        found = [(kind, dict(body)) for kind, body in entities(path) if kind not in ("VERTEX", "SEQEND")]
        cut = [(kind, body) for kind, body in found if body[8] != "MARK"]
        rings = [shape.geom_type == "Polygon" or shape.is_ring for layer, shape in features(path) if layer != "MARK"]

        assert {kind for kind, _ in cut} <= allowed | {"CIRCLE"}, part["name"]
        assert {kind for kind, body in found if body[8] == "MARK"} <= {"LINE"}
        assert all(int(body[70]) & 1 for kind, body in cut if kind == line)
        assert way[1] == "segments" or rings == [True] * part["pierces"]


@every_job
@every_way
def test_layers_are_the_three_and_are_declared(written, job, way):
    for part, path in written(job, way):
        table = section(path, "TABLES")
        starts = [at for at, tag in enumerate(table) if tag == (0, "LAYER")]
        declared = {next(value for code, value in table[at + 1 :] if code == 2) for at in starts}
        used = list(dict.fromkeys(layer for layer, _ in features(path)))

        wanted = ["MARK"] * (part["name"] == "drill by this") + ["CUT-INSIDE", "CUT-OUTSIDE"]
        assert used == wanted, part["name"]  # in this order: the outside last, so that nothing falls out early
        assert declared - {"0", "Defpoints", "DEFPOINTS"} == set(wanted)  # two layers belong to the format


@every_job
@every_way
def test_bulges_are_half_circles_at_most_and_no_vertex_is_repeated(written, job, way):
    scale = 1.0 if way[2] == "mm" else 25.4
    for part, path in written(job, way):
        loops, bulges = [], []
        for kind, body in entities(path):
            bulges += values(body, 42)
            if kind in ("POLYLINE", "LWPOLYLINE"):
                loops.append([])
            if kind in ("VERTEX", "LWPOLYLINE"):
                loops[-1] += zip(values(body, 10), values(body, 20), strict=True)
        assert bool(loops) == (way[1] == "polyline" and part["name"] != "flange")
        assert max(map(abs, bulges), default=0.0) <= 1.0, part["name"]
        assert all(min(map(dist, loop, loop[1:] + loop[:1])) * scale > 1e-4 for loop in loops), part["name"]


@every_job
def test_no_edge_is_shorter_than_the_tolerance(written, job):
    for part, path in written(job, ("r2000", "segments", "mm")):
        assert min(shape.length for _, shape in features(path)) > FIT, part["name"]


@every_job
@every_way
def test_numbers_are_plain_decimals(written, job, way):
    for part, path in written(job, way):
        numbers = [value for _, body in entities(path) for code, value in body if 10 <= code < 60]

        assert [value for value in numbers if not DECIMAL.fullmatch(value)] == [], part["name"]


@every_job
@every_way
def test_units_stand_in_the_header_and_the_part_in_the_corner(written, job, way):
    version, _, units = way
    scale = 1.0 if units == "mm" else 25.4
    for part, path in written(job, way):
        boxes = [np.array(shape.bounds) * scale for _, shape in features(path)]
        outside = [box for box, (layer, _) in zip(boxes, features(path), strict=True) if layer == "CUT-OUTSIDE"]
        found = [*np.min(outside, axis=0)[:2], *np.max(outside, axis=0)[2:]]

        assert found == pytest.approx([0, 0, *part["size_mm"]], abs=FLAT + 5e-5), part["name"]
        assert np.min(boxes) > -FLAT, part["name"]
        assert variable(path, "$EXTMIN")[:2] == [0.0, 0.0]
        assert np.array(variable(path, "$EXTMAX")[:2]) * scale == pytest.approx(part["size_mm"], abs=1e-4)
        assert (999, f"units: {units}") in tags(path)
        declared = [4, 1] if units == "mm" else [1, 0]
        found = variable(path, "$INSUNITS") + variable(path, "$MEASUREMENT")
        assert found == ([] if version == "r12" else declared)  # R12 knows neither variable
        assert section(path, "HEADER")[:2] == [(9, "$ACADVER"), (1, VERSIONS[version])]


@every_job
@pytest.mark.parametrize("form", ["polyline", "segments"])
@pytest.mark.parametrize("version", VERSIONS)
def test_an_inch_file_is_the_same_drawing(written, job, version, form):
    pairs = zip(written(job, (version, form, "mm")), written(job, (version, form, "in")), strict=True)
    for (part, mm), (_, inch) in pairs:
        for (layer, one), (other_layer, other) in zip(features(mm), features(inch), strict=True):
            scaled = shapely.transform(other, lambda points: points * 25.4)
            assert (layer, one.geom_type) == (other_layer, scaled.geom_type)
            assert [lies_on(one, scaled), lies_on(scaled, one)] == [True, True], part["name"]


def lies_on(one, other):
    """Every vertex of one on the edges of the other, but for GDAL's chords."""
    line = shapely.linestrings(shapely.get_coordinates(other))
    shapely.prepare(line)
    return shapely.dwithin(line, shapely.points(shapely.get_coordinates(one)), FLAT).all()


SAME_BYTES = """
import hashlib, pathlib, sys, tempfile
from gasketcut import Options, parse_job, read_job
from tests.making import make
shapes, two = parse_job(sys.argv[1]), Options(dxf="r12", form="segments", units="in")
for job, options in ((read_job("demo"), Options()), (shapes, two), (shapes, Options(dxf="r2010"))):
    with tempfile.TemporaryDirectory() as out:
        make(job, out, options)
        for path in sorted(pathlib.Path(out).iterdir()):
            print(options.dxf, path.name, hashlib.sha256(path.read_bytes()).hexdigest())
"""


@pytest.mark.slow
def test_every_file_has_the_same_bytes_whatever_the_hash_seed():
    line = [sys.executable, "-c", SAME_BYTES, SHAPES]
    seeds = [{**os.environ, "PYTHONHASHSEED": seed} for seed in ("0", "1", "4242")]
    runs = [subprocess.Popen(line, env=seed, stdout=subprocess.PIPE, text=True) for seed in seeds]
    first, *others = [run.communicate()[0].splitlines() for run in runs]

    assert [run.returncode for run in runs] == [0, 0, 0]
    assert len(first) > 3 * 4 + 2 * 3 * 7  # DXF, SVG and PDF of each part, and reports
    assert len(set(first)) == len(first)
    assert others == [first, first]


@every_way
def test_a_second_run_writes_the_same_bytes(written, tmp_path, way):
    make(parse_job(SHAPES), tmp_path, Options(**dict(zip(("dxf", "form", "units"), way, strict=True))))

    for part, path in written("shapes", way):
        assert (tmp_path / path.name).read_bytes() == path.read_bytes(), part["name"]


def test_a_quiet_run_says_nothing_whatever_the_version(command):
    run = command("make", "job.toml", "--out", "out", "--dxf", "r12", "--quiet", text=SHAPES)

    assert (run.returncode, run.stdout, run.stderr) == (0, "", "")


@pytest.mark.parametrize(
    "name",
    [
        "03_respira_tubing_adapter_gasket_mm_AC1032",
        "04_respira_driver_plate_polyline_AC1032",
        "24_skymaker_issue21_closing_bulge",
    ],
)
def test_received_files_have_the_areas_that_gdal_finds(name):
    path = Path(__file__).parent.parent / "received" / "real" / f"{name}.dxf"
    _, _, shapes, _ = pyogrio.raw.read(path)
    lines = [one for one in shapely.from_wkb(shapes) if one.geom_type in ("LineString", "Polygon")]
    rings = [one if one.geom_type == "Polygon" else shapely.Polygon(one.coords) for one in lines
             if one.geom_type == "Polygon" or (len(one.coords) > 3 and one.coords[0] == one.coords[-1])]  # fmt: skip
    theirs = sorted(ring.area for ring in rings)
    ours = sorted(one.contour.area for one in inspect(path.read_bytes()).closed)

    assert len(theirs) > 1
    for area in theirs:  # what it leaves as loose lines it has no area for
        assert min(abs(area - other) / area for other in ours) < AREA
