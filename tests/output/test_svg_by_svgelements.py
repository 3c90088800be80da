"""The SVG files as svgelements measures them and as resvg draws them; neither shares a line with the writer."""

import io
import re
from math import cos, pi, sin
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
import shapely
import svgelements
from PIL import Image
from shapely import affinity

from gasketcut import parse_job, read_job
from tests.making import make

DIGIT = 1e-4  # mm; at least four decimals are written
MARGIN = 5.0  # mm round the part
STRAY = 0.003  # mm; how far a file of this program may lie off the part's polygon
STROKE = 0.2  # mm
PIXELS = 20  # in a millimetre
NAME = "{http://www.w3.org/2000/svg}"
JOB = """title = "Shapes"\nunits = "mm"
[[part]]\nname = "flange"\nkind = "flat"\noutline = { round = 152.0 }\nopening = { round = 60.0 }
holes = { circle = 120.7, count = 4, diameter = "3/4 in", start = "45 deg" }
[[part]]\nname = "plate"\nkind = "flat"\noutline = { rectangle = [50.0, 36.0], corner = 6.0, at = [-70, 30] }
opening = { slot = [20.0, 8.0], at = [-69, 32], turn = "25 deg" }
holes = { at = [[-89, 18], [-51, 18]], diameter = 4.5 }
[[part]]\nname = "bracket"\nkind = "flat"
outline = { points = [[0, 0], [60, 0], [60, 20], [20, 20], [20, 50], [0, 50]], corner = 4.0 }
holes = { at = [[10, 10]], diameter = 6.0 }
[[part]]\nname = "drill by this"\nkind = "outlet"\nform = "template"
outlet = { oval = [24.0, 15.0] }\noutline = { rectangle = [50.0, 36.0], corner = 6.0 }\n"""
FLANGE = [(0.0, 0.0, 152.0), (0.0, 0.0, 60.0)] + [  # ASME B16.21, NPS 2: BCD 120.7, four holes of 3/4 in
    (60.35 * cos(turn), 60.35 * sin(turn), 19.05) for turn in (pi / 4, 3 * pi / 4, 5 * pi / 4, 7 * pi / 4)
]
PLATE = [(-89.0, 18.0, 4.5), (-51.0, 18.0, 4.5)]
EXACT = {  # mm2
    "flange": pi / 4 * (152**2 - 60**2 - 4 * 19.05**2),
    "plate": 50 * 36 - (4 - pi) * 6**2 - (12 * 8 + pi * 4**2) - 2 * pi * 2.25**2,
    "bracket": 60 * 20 + 20 * 30 - (5 - 1) * (1 - pi / 4) * 4**2 - pi * 3**2,  # five corners out, one in
}
DEMO = ["base-gasket", "intake-gasket", "exhaust-gasket", "outlet-plate"]
PARTS = [*EXACT, *DEMO]
every_part = pytest.mark.parametrize("name", [*PARTS, "drill by this"])


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """By part name: the path of its SVG, its report entry, its polygon on the paper, and the move that put it there.

    On the paper y points up and the upper left corner is (0, 0).
    """
    kept = {}
    for job in (parse_job(JOB), read_job("demo")):
        out = tmp_path_factory.mktemp("svg")
        report = make(job, out)
        for made, data in zip(report.made, report.as_data()["parts"], strict=True):
            left, _, _, top = made.outline.bounds
            corner = MARGIN - left, -MARGIN - top
            moved = affinity.translate(made.part.solid, *corner)
            kept[data["name"]] = out / f"{data['name']}.svg", data, moved, corner
    return kept


def layers(path):
    """By layer: its shapes in mm, as svgelements reads them with the file's own units."""
    svg = svgelements.SVG.parse(path, ppi=25.4)
    groups = [group for group in svg if isinstance(group, svgelements.Group) and group.id]
    return {group.id: list(group) for group in groups}


def polygon(shape):
    """The shape with arcs finely divided."""
    pieces = []
    for segment in svgelements.Path(shape).segments():
        if isinstance(segment, svgelements.Arc):
            pieces.append(segment.npoint(np.linspace(0, 1, max(8, int(abs(segment.sweep) * 1000)), endpoint=False)))
        elif isinstance(segment, svgelements.Line):
            pieces.append([[segment.start.x, segment.start.y]])
    return shapely.Polygon(np.vstack(pieces))


def circles(path):
    """(x, y, diameter) of every circle, y up, from the upper left corner of the paper."""
    shapes = [shape for group in layers(path).values() for shape in group if isinstance(shape, svgelements.Circle)]
    return [(float(shape.cx), -float(shape.cy), 2 * float(shape.rx)) for shape in shapes]


@every_part
def test_the_paper_is_the_part_with_a_margin_and_one_unit_is_a_millimetre(files, name):
    path, data, _, _ = files[name]
    root = ElementTree.fromstring(path.read_bytes())
    svg = svgelements.SVG.parse(path, ppi=25.4)
    size = [side + 2 * MARGIN for side in data["size_mm"]]

    assert [root.get("width")[-2:], root.get("height")[-2:]] == ["mm", "mm"]
    assert root.get("viewBox") == f"0 0 {root.get('width')[:-2]} {root.get('height')[:-2]}"
    assert (float(svg.width), float(svg.height)) == pytest.approx(size, abs=DIGIT)


@every_part
def test_svgelements_measures_the_area_and_the_extent_of_the_report(files, name):
    path, data, _, _ = files[name]
    found = layers(path)
    (outside,), inside = map(polygon, found["CUT-OUTSIDE"]), [polygon(shape) for shape in found["CUT-INSIDE"]]
    area = outside.area - sum(one.area for one in inside)
    width, height = data["size_mm"]

    assert area == pytest.approx(data["area_mm2"], abs=data["cut_length_mm"] * DIGIT)
    assert area == pytest.approx(EXACT.get(name, area), abs=data["cut_length_mm"] * DIGIT)
    assert outside.bounds == pytest.approx((MARGIN, MARGIN, MARGIN + width, MARGIN + height), abs=2 * DIGIT)
    assert len(inside) == data["pierces"] - 1
    assert all(outside.contains(one) for one in inside)


@every_part
def test_no_edge_strays_from_the_part(files, name):
    path, _, solid, _ = files[name]
    edges = shapely.boundary(solid)
    shapely.prepare(edges)
    for shape in (shape for layer, shapes in layers(path).items() if layer != "MARK" for shape in shapes):
        x, y = shapely.get_coordinates(polygon(shape)).T
        away = shapely.distance(edges, shapely.points(x, -y))
        assert away.max() < STRAY, shape


@pytest.mark.parametrize(("name", "wanted", "corner"), [("flange", FLANGE, (-76, 76)), ("plate", PLATE, (-95, 48))])
def test_circles_have_their_centres_and_diameters(files, name, wanted, corner):
    found = circles(files[name][0])
    left, top = corner  # of the part in the job's own coordinates

    assert len(found) == len(wanted)
    assert_circles([(x - left + MARGIN, y - top - MARGIN, diameter) for x, y, diameter in wanted], found)


def test_every_hole_of_the_demo_is_a_circle(files):
    for spec in (spec for spec in read_job("demo").parts if spec.name in files):
        path, _, _, (dx, dy) = files[spec.name]
        holes = [(x + dx, y + dy, holes.diameter) for holes in (*spec.studs, *spec.holes) for x, y in holes.at]

        assert len(holes) > 1
        assert_circles(holes, circles(path))


def assert_circles(wanted, found):
    """Every wanted circle is among those found, place and diameter."""
    for circle in wanted:
        assert min(max(abs(a - b) for a, b in zip(circle, one, strict=True)) for one in found) < DIGIT, circle


@every_part
def test_layers_are_named_and_nothing_is_filled_or_moved(files, name):
    root = ElementTree.fromstring(files[name][0].read_bytes())
    groups = root.findall(f"{NAME}g")

    wanted = ["MARK"] * (name == "drill by this") + ["CUT-INSIDE", "CUT-OUTSIDE"]
    assert [group.get("id") for group in groups] == wanted
    assert {group.get("fill") for group in groups} == {"none"}
    assert {child.tag.removeprefix(NAME) for group in groups for child in group} <= {"path", "circle"}
    assert not any(element.get("transform") or element.get("style") for element in root.iter())


@every_part
def test_numbers_have_fixed_decimals_and_no_exponent(files, name):
    root = ElementTree.fromstring(files[name][0].read_bytes())
    flags = re.compile(r"(A\S+ \S+) 0 0 [01] ")  # rotation, large and sweep: whole numbers by the format
    texts = [flags.sub(r"\1 ", element.get("d", "")) for element in root.iter()]
    texts += [element.get(key) for element in root.iter() for key in ("cx", "cy", "r") if element.get(key)]
    texts += [root.get("width").removesuffix("mm"), root.get("height").removesuffix("mm")]
    numbers = [number for text in texts for number in re.sub("[MLAZ]", " ", text).split()]

    assert len(numbers) > 6
    assert [number for number in numbers if not re.fullmatch(r"(?!-0\.0+$)-?\d+\.\d{4,}", number)] == []
    assert len({len(number.partition(".")[2]) for number in numbers}) == 1


@pytest.mark.parametrize("name", PARTS)
def test_ink_lies_on_the_edges_and_nowhere_else(files, name):
    path, data, solid, _ = files[name]
    drawn = resvg_py.svg_to_bytes(svg_string=path.read_text(encoding="utf-8"), dpi=25.4 * PIXELS)
    ink = np.asarray(Image.open(io.BytesIO(drawn)).convert("RGBA"))[:, :, 3] > 127
    edges = shapely.boundary(solid)
    shapely.prepare(edges)
    rows, columns = np.nonzero(ink)
    x, y = (columns + 0.5) / PIXELS, -(rows + 0.5) / PIXELS
    steps = shapely.get_coordinates(shapely.segmentize(edges, 1 / PIXELS))
    across, down = steps[:, 0] * PIXELS, -steps[:, 1] * PIXELS

    assert ink.shape[::-1] == pytest.approx([(side + 2 * MARGIN) * PIXELS for side in data["size_mm"]], abs=1)
    assert shapely.dwithin(edges, shapely.points(x, y), STROKE / 2 + 1 / PIXELS).all()
    assert ink[down.astype(int), across.astype(int)].all()
    assert ink.sum() == pytest.approx(edges.length * STROKE * PIXELS**2, rel=0.05)
