"""Flat rings and full faces of published flange tables, from the job text to the circles in the DXF.

Sources, all read through secondary pages; the numbers are facts of the standards they name:
  ASME   B16.21 full face and flat ring, class 150: github.com/lnwchok/assem-fit, docs/public/db.xlsx, sheet GKT
         (commit 09d0e888, 2021); its bolt circles, counts and holes equal those of ASME B16.5 class 150.
  JIS    B2220 10K full face and ring: the same workbook, sheets JIS-FLG and JIS-GKT.
  PN     BS 4865-1:1989 (replaced by EN 1514-1): fastener.com.hk, BSI4865T6.htm (PN16) and BSI4865T5.htm (PN10).
  INCH   ASME B16.5 class 150: hype.news (inch columns), pdfslide.net, B16.5-2009 table 7 (mm column).
Areas and webs follow from the tables by pi/4 (OD^2 - ID^2 - n h^2), (OD - BCD - h)/2, (BCD - h - ID)/2 and
BCD sin(pi/n) - h, worked out apart from this program.
"""

from math import atan2, cos, degrees, dist, hypot, pi, radians, sin
from typing import NamedTuple

import ezdxf
import pytest
from shapely import affinity

from gasketcut import parse_job
from gasketcut.profile.profiles import Profiles
from tests.making import make

GRID = 2e-6  # mm; coordinates in the file are rounded to 1e-6
CHORDS = 0.002  # mm; a land is measured between two polygons, each up to 1 um off its circle


class Flange(NamedTuple):
    """One row in mm and mm2, `hole` in the table's own unit; None where the table has no such column."""

    name: str
    inside: float
    outside: float
    count: int
    hole: str
    circle: float
    ring: float
    area: float
    ring_area: float | None
    rim: float
    bolt: str | None = None
    web: float | None = None
    ligament: float | None = None

    @property
    def bore(self) -> float:
        """Hole diameter in mm."""
        if not self.hole.endswith("in"):
            return float(self.hole)
        top, _, bottom = self.hole.removesuffix(" in").partition("/")
        return float(top) / float(bottom or 1) * 25.4


ASME = [  # NPS: ID, OD, n, hole, BCD, ring OD, area, ring area, web hole-OD, web hole-ID
    Flange("nps 0.5", 21, 89, 4, "5/8 in", 60.3, 48, 5083.0, 1463.2, 6.41, web=11.71),
    Flange("nps 0.75", 27, 98, 4, "5/8 in", 69.9, 57, 6178.7, 1979.2, 6.11, web=13.51),
    Flange("nps 1", 33, 108, 4, "5/8 in", 79.4, 67, 7513.9, 2670.4, 6.36, web=15.26),
    Flange("nps 1.5", 48, 127, 4, "5/8 in", 98.4, 86, 10066.4, 3999.2, 6.36, web=17.26),
    Flange("nps 2", 60, 152, 4, "3/4 in", 120.7, 105, 14178.3, 5831.6, 6.12, web=20.83),
    Flange("nps 2.5", 73, 178, 4, "3/4 in", 139.7, 124, 19559.1, 7890.9, 9.63, web=23.82),
    Flange("nps 3", 89, 191, 4, "3/4 in", 152.4, 137, 21290.9, 8520.0, 9.77, web=22.18),
    Flange("nps 4", 114, 229, 8, "3/4 in", 190.5, 175, 28699.8, 13845.8, 9.73, web=28.72),
    Flange("nps 5", 141, 254, 8, "7/8 in", 215.9, 197, 31952.7, 14866.0, 7.94, web=26.34),
    Flange("nps 6", 168, 279, 8, "7/8 in", 241.3, 222, 35865.5, 16540.5, 7.74, web=25.54),
    Flange("nps 8", 219, 343, 8, "7/8 in", 298.5, 279, 51629.2, 23467.7, 11.14, web=28.64),
    Flange("nps 10", 273, 406, 12, "1 in", 362.0, 340, 64846.5, 32257.1, 9.30, web=31.80),
    Flange("nps 12", 324, 483, 12, "1 in", 431.8, 410, 94696.3, 49577.5, 12.90, web=41.20),
]
JIS = [  # 10K: ID, OD, n, hole, BCD, ring OD, area, ring area, web hole-OD, bolt, ligament
    Flange("15A", 22, 95, 4, "15", 70, 58, 6001.23, 2261.95, 5.00, "M12", ligament=34.497),
    Flange("20A", 28, 100, 4, "15", 75, 63, 6531.37, 2501.49, 5.00, "M12", ligament=38.033),
    Flange("25A", 35, 125, 4, "19", 90, 74, 10175.62, 3338.73, 8.00, "M16", ligament=44.640),
    Flange("32A", 43, 135, 4, "19", 100, 84, 11727.57, 4089.57, 8.00, "M16", ligament=51.711),
    Flange("40A", 49, 140, 4, "19", 105, 89, 12373.95, 4335.40, 8.00, "M16", ligament=55.246),
    Flange("50A", 61, 155, 4, "19", 120, 104, 14812.61, 5572.40, 8.00, "M16", ligament=65.853),
    Flange("65A", 77, 175, 4, "19", 140, 124, 18262.08, 7419.66, 8.00, "M16", ligament=79.995),
    Flange("80A", 90, 185, 8, "19", 150, 134, 18250.30, 7740.88, 8.00, "M16", ligament=38.403),
    Flange("100A", 115, 210, 8, "19", 175, 159, 21980.94, 9468.76, 8.00, "M16", ligament=47.970),
]
PN = [  # PN and DN: ID, OD, n, hole, BCD, OD inside the bolts, area, -, web hole-OD, ligament
    Flange("pn16 dn100", 115, 220, 8, "18", 180, 162, 25590.63, None, 11.0, ligament=50.883),
    Flange("pn16 dn125", 141, 250, 8, "18", 210, 192, 31437.13, None, 11.0, ligament=62.364),
    Flange("pn16 dn150", 169, 285, 8, "22", 240, 218, 38321.15, None, 11.5, ligament=69.844),
    Flange("pn16 dn200", 220, 340, 12, "22", 295, 273, 48217.16, None, 11.5, ligament=54.352),
    Flange("pn16 dn250", 273, 405, 12, "26", 355, 329, 63918.84, None, 12.0, ligament=65.881),
    Flange("pn16 dn300", 324, 460, 12, "26", 410, 384, 77371.14, None, 12.0, ligament=80.116),
    Flange("pn16 dn350", 356, 520, 16, "26", 470, 444, 104338.58, None, 12.0, ligament=65.692),
    Flange("pn16 dn400", 407, 580, 16, "30", 525, 495, 122797.79, None, 12.5, ligament=72.422),
    Flange("pn10 dn250", 273, 395, 12, "22", 350, 328, 59445.22, None, 11.5, ligament=68.587),
    Flange("pn10 dn300", 324, 445, 12, "22", 400, 378, 68518.92, None, 11.5, ligament=81.528),
    Flange("pn10 dn350", 356, 505, 16, "22", 460, 438, 94675.82, None, 11.5, ligament=67.742),
]
ALL = [*ASME, *JIS, *PN]
INCH = [  # NPS: OD, BCD, BCD in mm, hole, n
    ("0.5", 3.50, 2.38, 60.3, 0.62, 4), ("1.25", 4.62, 3.50, 88.9, 0.62, 4), ("2", 6.00, 4.75, 120.7, 0.75, 4),
    ("4", 9.00, 7.50, 190.5, 0.75, 8), ("6", 11.00, 9.50, 241.3, 0.88, 8), ("12", 19.00, 17.00, 431.8, 1.00, 12),
]  # fmt: skip
every_flange = pytest.mark.parametrize("flange", ALL, ids=lambda flange: flange.name)
each_tenth_at_once = pytest.mark.parametrize(
    "flange",
    [pytest.param(one, marks=() if n % 10 == 0 else pytest.mark.slow) for n, one in enumerate(ALL)],
    ids=lambda flange: flange.name,
)


def start(flange):
    """Holes stand astride the centre lines (common practice): the first is half a pitch from the x axis."""
    return 180 / flange.count


def face_text(flange, stock=""):
    holes = f'{{ circle = {flange.circle}, count = {flange.count}, diameter = "{with_unit(flange.hole)}", '
    return (
        f'[[part]]\nname = "{flange.name} face"\nkind = "flat"\n{stock}\noutline = {{ round = {flange.outside} }}\n'
        f'opening = {{ round = {flange.inside} }}\nholes = {holes}start = "{start(flange)} deg" }}\n'
    )


def ring_text(flange):
    return (
        f'[[part]]\nname = "{flange.name} ring"\nkind = "flat"\noutline = {{ round = {flange.ring} }}\n'
        f"opening = {{ round = {flange.inside} }}\n"
    )


def with_unit(hole):
    return hole if hole.endswith("in") else f"{hole} mm"


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    """Every flange as full face and as ring: by name, what the report says, the part, and the circles of its DXF."""
    out = tmp_path_factory.mktemp("flanges")
    text = 'title = "flanges"\nunits = "mm"\n' + "".join(face_text(row) + ring_text(row) for row in ALL)
    report = make(parse_job(text), out)
    data = {part["name"]: part for part in report.as_data()["parts"]}
    return {made.part.name: (data[made.part.name], made.part, circles(out / made.files[0])) for made in report.made}


def circles(file):
    """(x, y, diameter) of every entity about the middle of the largest; an entity that is no circle fails."""
    found = [(entity.dxf.center, entity.dxf.radius) for entity in ezdxf.readfile(file).modelspace()]
    middle, _ = max(found, key=lambda one: one[1])
    return sorted(((c.x - middle.x, c.y - middle.y, 2 * r) for c, r in found), key=lambda one: one[2])


def holes_of(flange, found):
    return [one for one in found if abs(one[2] - flange.bore) < 1e-3]


@every_flange
def test_area_of_the_full_face_is_the_tabulated_one(job, flange):
    last_digit = 0.1 if flange in ASME else 0.01

    data, _, _ = job[f"{flange.name} face"]

    assert data["area_mm2"] == pytest.approx(flange.area, abs=last_digit / 2 + 1e-4)
    exact = pi / 4 * (flange.outside**2 - flange.inside**2 - flange.count * flange.bore**2)
    assert data["area_mm2"] == pytest.approx(exact, abs=1e-4)


@every_flange
def test_area_of_the_ring_is_the_tabulated_one(job, flange):
    data, _, found = job[f"{flange.name} ring"]

    assert [diameter for _, _, diameter in found] == pytest.approx([flange.inside, flange.ring], abs=GRID)
    assert data["area_mm2"] == pytest.approx(pi / 4 * (flange.ring**2 - flange.inside**2), abs=1e-4)
    if flange.ring_area is not None:
        assert data["area_mm2"] == pytest.approx(flange.ring_area, abs=0.05 if flange in ASME else 0.005 + 1e-4)


@every_flange
def test_holes_are_counted_and_lie_on_the_bolt_circle(job, flange):
    data, part, found = job[f"{flange.name} face"]

    assert data["pierces"] == flange.count + 2
    assert len(part.solid.interiors) == flange.count + 1
    assert len(found) == flange.count + 2
    assert [diameter for _, _, diameter in found[-2:]] == pytest.approx([flange.inside, flange.outside], abs=GRID)
    holes = holes_of(flange, found)
    assert len(holes) == flange.count
    for x, y, diameter in holes:
        assert 2 * hypot(x, y) == pytest.approx(flange.circle, abs=2 * GRID)
        assert diameter == pytest.approx(flange.bore, abs=GRID)
    turns = sorted(degrees(atan2(y, x)) % 360 for x, y, _ in holes)
    wanted = [start(flange) + 360 / flange.count * number for number in range(flange.count)]
    assert turns == pytest.approx(wanted, abs=1e-5)


@every_flange
def test_turning_by_one_hole_changes_nothing(job, flange):
    _, part, found = job[f"{flange.name} face"]
    pitch = 360 / flange.count
    c, s = cos(radians(pitch)), sin(radians(pitch))

    for x, y, diameter in found:
        turned = (c * x - s * y, s * x + c * y, diameter)
        assert min(dist(turned, other) for other in found) < 4 * GRID
    edges = part.solid.length  # between two polygons of one shape lies at most a chord error along every edge
    assert part.solid.symmetric_difference(affinity.rotate(part.solid, pitch, (0, 0))).area < edges * CHORDS / 2


@every_flange
def test_no_hole_stands_on_a_centre_line(job, flange):
    _, _, found = job[f"{flange.name} face"]
    clear = flange.circle / 2 * sin(pi / flange.count)

    for x, y, _ in holes_of(flange, found):
        assert min(abs(x), abs(y)) > clear - 2 * GRID
        assert min(dist((-x, y), other[:2]) for other in found) < 2 * GRID


@every_flange
def test_ligament_between_neighbours_is_the_tabulated_one(job, flange):
    _, _, found = job[f"{flange.name} face"]
    holes = sorted((degrees(atan2(y, x)), x, y) for x, y, _ in holes_of(flange, found))
    gaps = [dist(a[1:], b[1:]) - flange.bore for a, b in zip(holes, holes[1:] + holes[:1], strict=True)]

    assert gaps == pytest.approx([flange.circle * sin(pi / flange.count) - flange.bore] * flange.count, abs=4 * GRID)
    if flange.ligament is not None:
        assert gaps == pytest.approx([flange.ligament] * flange.count, abs=0.0005 + 4 * GRID)


@each_tenth_at_once
def test_the_check_finds_every_land_and_web_with_its_width(tmp_path, flange):
    # A sheet thicker than every web: each is then narrower than the sheet allows, and the check has to give its width.
    sheet = '[[stock]]\nname = "slab"\nthickness = 200\n'
    text = 'title = "webs"\nunits = "mm"\n' + sheet + face_text(flange, 'stock = "slab"')

    report = make(parse_job(text), tmp_path / "out")

    stops = [finding for finding in report.findings if finding.weight == "stop"]
    lands = sorted((finding for finding in stops if finding.rule == "land"), key=lambda one: one.found)
    webs = [finding for finding in stops if finding.rule == "web"]
    to_inside = [finding.found for finding in webs if "opening" in finding.text]
    between = sorted(finding.found for finding in webs if "opening" not in finding.text)[: flange.count]
    inner = (flange.circle - flange.bore - flange.inside) / 2
    ligament = flange.circle * sin(pi / flange.count) - flange.bore
    printed = CHORDS + 0.005  # the tables above have two decimals here

    assert not (tmp_path / "out").exists()
    assert [one.found for one in lands[:-1]] == pytest.approx([flange.rim] * flange.count, abs=printed)
    assert lands[-1].found == pytest.approx((flange.outside - flange.inside) / 2, abs=CHORDS)
    assert to_inside == pytest.approx([inner] * flange.count, abs=CHORDS)
    assert to_inside == pytest.approx([flange.web if flange.web else inner] * flange.count, abs=printed)
    assert between == pytest.approx([ligament] * flange.count, abs=CHORDS)
    middle = (flange.circle + flange.bore) / 2 + flange.rim / 2
    assert [hypot(*one.at) for one in lands[:-1]] == pytest.approx([middle] * flange.count, abs=printed)


@pytest.mark.parametrize("flange", JIS, ids=lambda flange: flange.name)
def test_a_jis_ring_touches_the_bolts(job, flange):
    # JIS: ring OD = BCD - nominal bolt, exactly; the ring lies centred between its bolts.
    _, _, ring = job[f"{flange.name} ring"]
    _, _, face = job[f"{flange.name} face"]

    outside = ring[-1][2] / 2
    gaps = [
        hypot(x, y) - Profiles().fasteners.size(flange.bolt).diameter / 2 - outside
        for x, y, _ in holes_of(flange, face)
    ]

    assert gaps == pytest.approx([0.0] * flange.count, abs=2 * GRID)


@pytest.mark.parametrize("flange", PN, ids=lambda flange: flange.name)
def test_a_pn_gasket_inside_the_bolts_touches_the_holes(job, flange):
    # BS 4865-1: OD inside the bolt circle = BCD - hole, exactly.
    _, ring, _ = job[f"{flange.name} ring"]
    _, face, found = job[f"{flange.name} face"]

    gaps = [hypot(x, y) - d / 2 - ring.outer.bounds[2] for x, y, d in holes_of(flange, found)]

    assert gaps == pytest.approx([0.0] * flange.count, abs=2 * GRID)
    assert ring.solid.difference(face.solid).area < ring.solid.length * CHORDS


@pytest.mark.parametrize(("nps", "outside", "circle", "circle_mm", "hole", "count"), INCH)
def test_the_same_drilling_from_a_job_in_inches(tmp_path, nps, outside, circle, circle_mm, hole, count):
    text = f"""title = "inch"\nunits = "in"\n[[part]]\nname = "nps {nps}"\nkind = "flat"
outline = {{ round = {outside} }}\nholes = {{ circle = {circle}, count = {count}, diameter = {hole} }}\n"""

    report = make(parse_job(text), tmp_path)

    *holes, rim = circles(tmp_path / report.made[0].files[0])
    assert rim[2] == pytest.approx(outside * 25.4, abs=GRID)
    assert len(holes) == count
    for x, y, diameter in holes:
        assert diameter == pytest.approx(hole * 25.4, abs=GRID)
        assert 2 * hypot(x, y) == pytest.approx(circle_mm, abs=0.2)  # two decimals: 2.38 in stands for 2 3/8 in
    assert report.as_data()["parts"][0]["size_mm"] == pytest.approx([outside * 25.4] * 2, abs=1e-4)


def test_a_blind_disc_without_any_hole_is_drawn_too(tmp_path):
    text = 'title = "blind"\nunits = "mm"\n[[part]]\nname = "disc"\nkind = "flat"\noutline = { round = 152 }\n'

    report = make(parse_job(text), tmp_path)

    assert report.as_data()["parts"][0]["area_mm2"] == pytest.approx(pi / 4 * 152**2, abs=1e-4)
    assert circles(tmp_path / "disc.dxf") == [(0.0, 0.0, 152.0)]
