"""Kinds of part, from job text to what is cut."""

import io
import json
from math import atan, cos, dist, pi, radians, sin

import ezdxf
import pytest
from shapely.geometry import Point

from gasketcut import JobError, parse_job
from gasketcut.output.dxf import write_dxf
from gasketcut.parts.part import outline_of
from gasketcut.shape.loop import Circle, Loop
from gasketcut.tolerances import ARC_FIT, CHORD
from tests.making import built

ROUNDING = 1e-9  # mm
HUNDREDTH = 0.01  # mm, far below what is cut

EVERY = {  # kind: the keys of a part of it
    "base": """opening = { round = 44.6 }, outline = { lobes = 6.5, ring = 4.5, fillet = 6.0 },
        studs = { at = [[-27, -22], [27, -22], [29.5, 24], [-27, 26]], size = "M5", fit = "medium" },
        port = [{ name = "transfer", at = [-22.5, 0.5], shape = { rectangle = [10, 15], corner = 2.5 } }]""",
    "intake": """studs = { at = [[-20, 0], [20, 0]], size = "M5" }, outline = { lobes = 6.5, ring = 5.5, fillet = 8 },
        port = [{ name = "intake", shape = { rectangle = [22, 13], corner = 4 } }],
        passage = [{ name = "impulse", at = [0.0, -11.0], shape = { round = 2.5 } }]""",
    "exhaust": """opening = { oval = [28, 19] }, studs = { at = [[-22, -3], [22, 3]], size = "M6" },
        outline = { hull = 5.5 }, port = [{ name = "exhaust", shape = { oval = [26.6, 17.6] } }]""",
    "flat": """outline = { round = 152 }, opening = { round = 60 },
        holes = { circle = 120.7, count = 4, diameter = "3/4 in", start = "45 deg" }""",
    "outlet": """outlet = { slot = [18, 9] }, outline = { rectangle = [50, 36], corner = 6 },
        holes = { at = [[-19, -12], [19, 12]], size = "M4" }""",
    "spacer": 'of = "intake"',
    "blank": 'of = "intake"',
}


def parts(kinds, engine=""):
    """Parts by kind, each with its keys, named for its kind."""
    specs = ", ".join(f'{{ name = "{kind}", kind = "{kind}", {keys} }}' for kind, keys in kinds.items())
    job = parse_job(f'units = "mm"\npart = [{" ".join(specs.split())}]\n{engine}')
    return {part.name: part for part in built(job)}


def part(kind, keys=None):
    return parts({kind: keys or EVERY[kind]})[kind]


def circles(one):
    return [contour for contour in outline_of(one).inner if isinstance(contour, Circle)]


def long_segments(one):
    """Lines and arcs of each contour that are longer than a few chords; an arc split in halves counts once."""
    found = []
    for contour in outline_of(one).contours:
        pieces = [] if isinstance(contour, Circle) else [piece for piece in contour.segments() if piece.chord > 0.5]
        arcs = {(round(piece.center[0], 1), round(piece.center[1], 1)) for piece in pieces if piece.bulge}
        found.append((sum(piece.bulge == 0 for piece in pieces), len(arcs)))
    return sorted(found)


def radii(contour):
    return {round(segment.radius, 5) for segment in contour.segments() if segment.bulge}


def test_a_base_gasket_with_an_unsymmetric_pattern():
    base = part("base")

    assert [hole.center for hole in base.round_holes] == [(-27, -22), (27, -22), (29.5, 24), (-27, 26)]
    assert {hole.diameter for hole in base.round_holes} == {5.5}  # M5, medium: ISO 273
    assert {hole.stud for hole in base.round_holes} == {5.0}
    # The transfer is cut 0.5 mm larger and opens into the bore: one contour with both.
    (opening,) = [contour for contour in outline_of(base).inner if not isinstance(contour, Circle)]
    assert radii(opening) == {22.3, 3.0}
    assert radii(outline_of(base).outer) == {6.5, 6.0, 26.8, 7.5}


def test_round_holes_stay_circles_with_the_users_own_numbers():
    found = circles(part("flat"))

    # All four at 45 deg and on: 60.35 cos 45 deg to every side. 3/4 in = 19.05 mm.
    places = {(round(circle.center[0], 9), round(circle.center[1], 9)) for circle in found if circle.radius < 20}
    side = round(60.35 * cos(radians(45)), 9)
    assert places == {(side, side), (-side, side), (-side, -side), (side, -side)}
    assert sorted(circle.radius for circle in found) == [9.525] * 4 + [30.0]
    assert outline_of(part("flat")).outer == Circle((0, 0), 76.0)
    assert outline_of(part("flat")).area == pytest.approx(pi / 4 * (152**2 - 60**2 - 4 * 19.05**2), abs=1e-8)


@pytest.mark.parametrize(
    ("words", "diameter"),
    # ISO 273: M6 fine 6.4, medium 6.6, coarse 7.0. ASME B18.2.8: 1/4 normal 0.281 in.
    [('size = "M6", fit = "fine"', 6.4), ('size = "M6"', 6.6), ('size = "M6", fit = "coarse"', 7.0),
     ('size = "1/4"', 7.1374), ("diameter = 6.05", 6.05), ('diameter = "1/4 in"', 6.35),
     ('size = "M6", diameter = 6.3', 6.3)],
)  # fmt: skip
def test_holes_by_size_and_fit_or_by_diameter(words, diameter):
    found = circles(part("flat", f"outline = {{ round = 40 }}, holes = {{ at = [[0, 3], [5, -7.5]], {words} }}"))
    assert {circle.center for circle in found} == {(0, 3), (5, -7.5)}
    assert {circle.radius for circle in found} == {diameter / 2}


def test_a_bolt_circle_about_its_own_centre():
    holes = 'holes = { circle = 20, count = 3, centre = [4, -2], start = "90 deg", diameter = 3 }'
    found = circles(part("flat", f"outline = {{ round = 60 }}, {holes}"))
    wanted = [(4 + 10 * cos(radians(turn)), -2 + 10 * sin(radians(turn))) for turn in (90, 210, 330)]

    assert all(min(dist(circle.center, place) for place in wanted) < ROUNDING for circle in found)
    assert len({circle.center for circle in found}) == 3


def test_ports_and_passages_are_cut_larger_where_there_is_no_opening():
    # 0.5 mm set-back all round: 23 x 14 with corners of 4.5, and a passage of 3.5 mm that stays a circle.
    intake = part("intake")
    (opening,) = [contour for contour in outline_of(intake).inner if not isinstance(contour, Circle)]
    assert opening.area == pytest.approx(23 * 14 - (4 - pi) * 4.5**2, abs=ARC_FIT * opening.length)
    assert Circle((0.0, -11.0), 1.75) in circles(intake)


def test_a_port_under_an_opening_is_checked_and_not_cut():
    (opening,) = part("exhaust").openings
    assert opening.bounds == pytest.approx((-14, -9.5, 14, 9.5), abs=CHORD)
    assert [metal.name for metal in part("exhaust").flange_openings] == ["exhaust"]


@pytest.mark.parametrize(
    ("cut", "area"), [("false", 0), ("true", pi / 4 * 9**2), ("{ slot = [12, 6] }", 36 + 9 * pi), (None, pi / 4 * 9**2)]
)
def test_what_is_cut_for_a_port_can_be_said(cut, area):
    said = f", cut = {cut}" if cut else ""
    port = f'{{ name = "port", at = [3, 1], shape = {{ round = 8 }}{said} }}'
    sheet = part("base", f"outline = {{ round = 40 }}, port = [{port}]")
    assert outline_of(sheet).area == pytest.approx(400 * pi - area, abs=CHORD)
    assert len(sheet.flange_openings) == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("opening = { round = 20 }\noutline = { round = 20 }", "nothing of the sheet is left"),
        ("opening = { rectangle = [70, 4] }\noutline = { round = 60 }", "falls into 2 pieces"),
        ('studs = { at = [[-60, 0], [60, 0]], size = "M6" }\nopening = { round = 20 }\n'
         "outline = { lobes = 6, ring = 4, fillet = 2 }", "do not meet"),
        ("outline = { hull = 3 }", "give the outline a shape"),
        ("outline = { points = [[0, 0], [9, 9], [9, 0], [0, 9]] }", "crossing"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_a_fault_with_the_line_of_the_part(words, says):
    with pytest.raises(JobError, match=says) as caught:
        built(parse_job(f'units = "mm"\n\n\n[[part]]\nname = "p"\nkind = "flat"\n{words}\n'))
    assert [fault.line for fault in caught.value.faults] == [4]


def test_a_spacer_is_cut_like_its_original_and_a_leak_test_pad_has_only_its_outline_and_stud_holes():
    found = parts({kind: EVERY[kind] for kind in ("spacer", "blank", "intake")})  # the original may come last
    spacer, pad, intake = map(outline_of, found.values())
    assert spacer == intake
    assert pad.outer == intake.outer
    assert pad.inner == (Circle((-20.0, 0.0), 2.75), Circle((20.0, 0.0), 2.75))
    assert found["blank"].flange_openings == ()
    assert outline_of(part("blank", "outline = { round = 40 }, opening = { round = 9 }")).inner == ()


def crooked(turn, is_mirrored):
    """A base gasket without any symmetry, mirrored left to right and then turned about the origin."""

    def at(x, y):
        x, (c, s) = (-x if is_mirrored else x), (cos(radians(turn)), sin(radians(turn)))
        return f"[{x * c - y * s}, {x * s + y * c}]"

    own = turn + (-20 if is_mirrored else 20)
    port = f'at = {at(-21, 4)}, turn = "{own} deg", shape = {{ rectangle = [8, 14], corner = 2 }}'
    oil = f'at = {at(21, -12)}, turn = "{own} deg", shape = {{ slot = [7, 3] }}'
    return part("base", f"""opening = {{ round = 40, at = {at(1, 2)} }}, port = [{{ {port} }}], passage = [{{ {oil} }}],
        studs = {{ at = [{at(-27, -22)}, {at(27, -20)}, {at(29, 24)}], size = "M5" }},
        outline = {{ lobes = 6.5, ring = 4.5, fillet = 6 }}""")  # fmt: skip


@pytest.mark.parametrize("is_mirrored", [False, True])
@pytest.mark.parametrize("turn", range(0, 360, 47))
def test_a_part_drawn_turned_or_mirrored_is_the_same_part(turn, is_mirrored):
    plain, other = crooked(0, False), crooked(turn, is_mirrored)
    here, there = outline_of(plain), outline_of(other)
    # Where two arcs touch, an edge of up to a chord or two may be a line of its own or part of either: it is seen in
    # the count only.
    assert long_segments(other) == long_segments(plain)
    assert len(other.round_holes) == len(plain.round_holes) == 3
    assert there.area == pytest.approx(here.area, abs=CHORD * here.cut_length)
    assert there.cut_length == pytest.approx(here.cut_length, abs=HUNDREDTH)
    loops = [contour for contour in there.contours if isinstance(contour, Loop)]
    assert min(segment.chord for loop in loops for segment in loop.segments()) > HUNDREDTH


def area_of(dxf):
    """Net area in square drawing units, by the bulges alone: chords by the surveyor's formula, and their segments."""
    net = 0.0
    for entity in ezdxf.read(io.StringIO(dxf.decode("ascii").replace("\r\n", "\n"))).modelspace():
        if entity.dxftype() == "CIRCLE":
            area = pi * entity.dxf.radius**2
        else:
            area, points = 0.0, entity.get_points("xyb")
            for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
                turn = 4 * atan(bulge)
                radius = dist((x0, y0), (x1, y1)) * (1 + bulge**2) / (4 * abs(bulge)) if bulge else 0.0
                area += (x0 * y1 - x1 * y0) / 2 + radius**2 / 2 * (turn - sin(turn))
        net += abs(area) * (1 if entity.dxf.layer == "CUT-OUTSIDE" else -1)
    return net


@pytest.mark.parametrize("kind", ["base", "intake", "exhaust", "flat", "outlet"])
@pytest.mark.parametrize(("units", "mm"), [("mm", 1.0), ("in", 25.4)])
def test_the_area_of_the_file_is_that_of_the_polygon(kind, units, mm):
    one = part(kind)
    outline = outline_of(one)
    area = area_of(write_dxf(one, outline, units=units)) * mm**2
    assert area == pytest.approx(outline.area, abs=1e-5 * outline.cut_length)  # numbers of six decimals
    assert area == pytest.approx(one.solid.area, abs=CHORD * outline.cut_length)


@pytest.mark.parametrize(("unit", "mm"), [(4, 1.0), (1, 25.4), (5, 10.0)])
def test_a_shape_from_a_drawing_in_its_own_units(unit, mm, made, tmp_path):
    document = ezdxf.new(units=unit)
    corners = [(-10, -4, 0), (10, -4, 1), (10, 4, 0), (-10, 4, 1)]
    document.modelspace().add_lwpolyline([(x / mm, y / mm, b) for x, y, b in corners], format="xyb", close=True)
    document.saveas(tmp_path / "slot.dxf")
    shape = '{ file = "slot.dxf", at = [30, 20], turn = "90 deg" }'
    made(f'units = "mm"\npart = [{{ name = "p", kind = "flat", outline = {{ round = 99 }}, opening = {shape} }}]\n')
    (found,) = json.loads((tmp_path / "out/report.json").read_text())["parts"]

    assert found["area_mm2"] == pytest.approx(pi / 4 * 99**2 - (160 + 16 * pi), abs=0.05)


def outlet(words, more="outline = { rectangle = [60, 60] }"):
    engine = '[engine]\nbore = 44.0\nports.exhaust = { opens = "103 deg", area_mm2 = 203.83 }\n'
    return parts({"outlet": f"outlet = {words}, {more}"}, engine)["outlet"]


def test_the_posted_outlet():
    # Posted case of a 50 cc saw with a traced port of 203.83 mm2: 12 mm is 55.5 % of it; for 80 % the poster went to
    # 14.5 mm, geometry says 14.41.
    twelve, eighty = outlet("{ round = 12 }"), outlet("{ percent = 80 }")
    assert circles(twelve)[0].area / 203.83 == pytest.approx(0.555, abs=5e-4)
    assert 2 * circles(eighty)[0].radius == pytest.approx(14.41, abs=5e-3)
    assert 2 * circles(eighty)[0].radius == eighty.round_holes[0].diameter  # its own number, not one found by tracing


@pytest.mark.parametrize("form", ['"round"', '"oval", ratio = 1.6', '"slot", ratio = 2'])
@pytest.mark.parametrize("several", ["", ", count = 3, circle = 34"])
def test_outlets_by_percent_have_that_share_together(form, several):
    found = outline_of(outlet(f"{{ percent = 80, form = {form}{several} }}")).inner

    assert len(found) == (3 if several else 1)
    assert sum(contour.area for contour in found) == pytest.approx(0.8 * 203.83, abs=0.05)


def test_several_outlets_stand_on_their_circle_from_the_top():
    found = circles(outlet("{ round = 6, count = 4, circle = 30 }"))
    assert {(round(x, 9), round(y, 9)) for x, y in (one.center for one in found)} == {
        (0, 15),
        (-15, 0),
        (0, -15),
        (15, 0),
    }
    assert {one.radius for one in found} == {3.0}


def centres(sheet):
    """Middles of the crosses: each is a level and an upright line through the same place."""
    arms = [(line.start, line.end) for (line,) in sheet.marks]
    lines = [((x0 + x1) / 2, (y0 + y1) / 2) for (x0, y0), (x1, y1) in arms]
    assert all(dist(*pair) < ROUNDING for pair in zip(lines[::2], lines[1::2], strict=True))
    return lines[::2]


@pytest.mark.parametrize("shape", ["round = 14.41", "round = 12", "round = 8", "slot = [30, 6]", "slot = [24, 12]",
                                   "oval = [20, 10]", "rectangle = [16, 12], corner = 3"])  # fmt: skip
@pytest.mark.parametrize("drill", [2, 3, 4, 5])
def test_chain_drilling_stays_inside_the_opening_and_holes_do_not_run_into_each_other(shape, drill):
    sheet = outlet(f"{{ {shape} }}", f'form = "template", drill = {drill}')
    edge, places = sheet.solid.interiors[0], centres(sheet)

    assert sheet.drill
    for place in places:
        assert not sheet.solid.contains(Point(place))
        assert edge.distance(Point(place)) >= drill / 2 - CHORD
    # A chain, so that what is left between two holes can be snapped or sawn; a hole alone stands in the middle.
    webs = [min(dist(one, other) - drill for other in places if other != one) for one in places if len(places) > 1]
    assert all(-ROUNDING <= web <= drill for web in webs)
    assert len(places) > 1 or dist(places[0], (0, 0)) < CHORD


def test_a_template_needs_no_outline_and_leaves_sheet_to_hold_it_by():
    sheet = outlet("{ round = 14, count = 2, circle = 30 }", 'form = "template"')
    assert min(sheet.outer.exterior.distance(Point(hole.center)) for hole in circles(sheet)) >= 7 + 15 - 2 * CHORD


def test_a_drill_larger_than_the_opening_is_refused():
    with pytest.raises(JobError, match="drill"):
        outlet("{ round = 5 }", 'form = "template", drill = 6')
