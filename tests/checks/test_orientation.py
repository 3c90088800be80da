"""Which way up a part goes on, the nick that tells, and how the bolts press it."""

from math import hypot, pi

import ezdxf
import numpy as np
import pytest
from ezdxf import path
from shapely.geometry import Point, Polygon

from gasketcut import parse_job
from gasketcut.checks.sealing.lands import narrowest
from gasketcut.engine.stack.clamp import PROOF_MPA, bolt_force, stress_area
from gasketcut.parts.nick import APART, DIAMETER, without_nick
from gasketcut.parts.symmetry import SAME, middle_of, other_ways
from gasketcut.shape.motion import Locator, seat
from gasketcut.tolerances import CHORD
from tests.making import fit

TWO_CHORDS = 2 * CHORD


def job(
    more="", holes="", *, outline="{ rectangle = [90.0, 80.0], corner = 6.0 }", kind="flat", opening="round = 40.0"
):
    holes = holes or 'studs = { at = [[-32, -26], [32, -26], [32, 26], [-32, 26]], size = "M5" }'
    return f"""title = "Quay winch"
units = "mm"
[[stock]]
name = "paper"
thickness = 0.5
material = "cellulose-nbr"
[[stock]]
name = "plate"
thickness = 1.0
material = "steel"
[[part]]
name = "cover"
kind = "{kind}"
outline = {outline}
opening = {{ {opening} }}
{holes}
{more}
"""


def passage(x, y, diameter=6.0):
    return f'[[part.passage]]\nname = "oil"\nat = [{x}, {y}]\nshape = {{ round = {diameter} }}\n'


def checked(text, rule="mirror"):
    parts, findings = fit(parse_job(text))
    return parts[0], [one for one in findings if one.rule == rule]


# --- which way up ---


def test_a_symmetric_part_goes_on_either_way_up():
    part, (one,) = checked(job())
    assert (one.weight, one.text) == ("note", "it fits either way up")
    # A rectangle has three other ways: turned by half, and turned over about either middle line.
    assert sorted((way.mirrored, round(way.turn) % 360) for way in other_ways(part)) == [
        (False, 180), (True, 0), (True, 180)
    ]  # fmt: skip
    assert all(way.miss < SAME for way in other_ways(part))


@pytest.mark.parametrize("off", [0.1, 0.4, 0.8, 1.5])
def test_a_part_nearly_symmetric_misses_by_twice_what_it_is_off(off):
    # Two equal oil passages, one of them too high by `off`: turned over left to right each comes to lie off by as much;
    # turned over top to bottom the one on the axis comes to its own place and the other `2 off` from it.
    part, (one,) = checked(job(passage(-30.0, 0.0) + passage(30.0, off)))
    miss = {(way.mirrored, round(way.turn) % 360): way.miss for way in other_ways(part)}
    assert miss == pytest.approx({(False, 180): off, (True, 0): off, (True, 180): 2 * off}, abs=TWO_CHORDS)
    assert one.found == pytest.approx(off, abs=TWO_CHORDS)
    assert one.weight == ("warn" if off < 2.0 else "note")
    # It is seen at the rim of one of the two, which is the passage and its set-back wide.
    assert hypot(abs(one.at[0]) - 30, one.at[1] - off / 2) == pytest.approx(3.5, abs=off)


def test_a_part_that_shows_its_wrong_side_is_only_noted():
    _, (one,) = checked(job(passage(30.0, 12.0, 8.0)))
    assert one.weight == "note"
    assert one.found > 2.0


def test_studs_that_let_it_on_one_way_only():
    part, (one,) = checked(job(holes='studs = { at = [[-32, -26], [32, -26], [32, 26], [-20, 26]], size = "M5" }'))
    assert (one.weight, one.text) == ("note", "its studs let it on in one way only")
    assert other_ways(part) == ()


@pytest.mark.parametrize("off", [0.1, 0.2, 0.25, 0.3, 0.4, 0.45, 0.49, 0.55, 0.6, 0.65, 0.9, 1.5])
@pytest.mark.parametrize("diagonal", [False, True])
def test_a_wrong_way_that_needs_a_little_shift_and_turn_is_seen(off, diagonal):
    # One stud off its place: turned over, the holes still go on if a shift and a turn bring all within their play.
    places = [(-32.0, -26.0), (32.0, -26.0), (32.0 + off, 26.0 + off * diagonal), (-32.0, 26.0)]
    part, _ = checked(job(holes=f'studs = {{ at = {[list(place) for place in places]}, size = "M5" }}'))
    over = [places[1], places[0], places[3], places[2]]  # which stud each hole then goes over
    goes = seat([Locator((-x, y), 0.25) for x, y in places], over) == 0.0
    near = [way for way in other_ways(part) if way.mirrored and min(way.turn % 360, -way.turn % 360) < 3]
    assert bool(near) == goes


# --- the nick ---

NEARLY = passage(-30.0, 0.0) + passage(30.0, 0.7)
NICKED = {
    "nearly symmetric": job("nick = true\n" + NEARLY),
    "a lobed one": job("nick = true\n" + NEARLY, outline="{ lobes = 7.0, ring = 12.0, fillet = 6.0 }"),
    "two studs": job("nick = true\n" + passage(-18.0, 16.0), 'studs = { at = [[-32, 0], [32, 0]], size = "M6" }'),
    "six in a ring": job("nick = true\n" + passage(0.0, 26.0),
                         'studs = { circle = 70.0, count = 6, size = "M5" }', outline="{ round = 88.0 }"),
}  # fmt: skip


@pytest.mark.parametrize("name", NICKED)
def test_the_nick_lies_on_the_edge_and_tells_every_wrong_way(name):
    part, (one,) = checked(NICKED[name])
    assert part.outer.exterior.distance(Point(part.nick)) < TWO_CHORDS
    assert (one.weight, one.at) == ("note", part.nick)
    bite = part.outer.area - Polygon(part.solid.exterior).area
    assert bite == pytest.approx(pi * DIAMETER**2 / 8, rel=0.15)  # about half of it, by the bend of the edge
    plain = without_nick(part)
    wrong = [way for way in other_ways(plain) if way.miss > SAME]
    assert wrong
    for way in wrong:
        assert way.applied(Point(part.nick), middle_of(part)).distance(Point(part.nick)) > APART


@pytest.mark.parametrize("name", NICKED)
def test_the_nick_takes_nothing_from_the_narrowest_land(name):
    part, _ = checked(NICKED[name])
    assert narrowest(part).width == pytest.approx(narrowest(without_nick(part)).width, abs=TWO_CHORDS)
    plain, _ = checked(NICKED[name].replace("nick = true", "nick = false"))
    assert plain.nick is None
    assert without_nick(part).solid.symmetric_difference(plain.solid).area < 0.05


def test_a_part_that_goes_any_way_gets_no_nick():
    part, (one,) = checked(job("nick = true"))
    assert part.nick is None
    assert one.text == "it fits either way up"


def test_the_nick_survives_in_the_dxf(made, tmp_path):
    made(NICKED["nearly symmetric"])
    part, _ = checked(NICKED["nearly symmetric"])
    drawn = ezdxf.readfile(tmp_path / "out" / "cover.dxf").modelspace().query("LWPOLYLINE")
    loops = [np.array([(p.x, p.y) for p in path.make_path(one).flattening(0.0005)]) for one in drawn]
    outer = max((Polygon(loop) for loop in loops), key=lambda shape: shape.area)
    left, low, *_ = outer.bounds
    x0, y0, *_ = part.outer.bounds
    at = Point(part.nick[0] - x0 + left, part.nick[1] - y0 + low)
    # Nothing is left within its radius, and the edge comes just that near.
    assert outer.distance(at) == pytest.approx(DIAMETER / 2, abs=0.003)
    assert outer.area == pytest.approx(Polygon(part.solid.exterior).area, abs=0.2)


@pytest.mark.parametrize("kind", ["spacer", "blank"])
def test_a_copy_has_the_nick_that_its_finding_speaks_of(kind):
    text = NICKED["nearly symmetric"] + f'[[part]]\nname = "copy"\nkind = "{kind}"\nof = "cover"\n'
    parts, findings = fit(parse_job(text))
    copy = next(part for part in parts if part.name == "copy")
    said = [one for one in findings if one.part == "copy" and "the nick in its edge" in one.text]
    cut = copy.nick is not None and copy.solid.distance(Point(copy.nick)) > DIAMETER / 2 - TWO_CHORDS
    assert bool(said) == (kind == "spacer")  # a blank without passages fits either way up
    assert cut == (copy.nick is not None)


# --- how hard the bolts press it, and how far apart they stand ---


@pytest.mark.parametrize(
    ("size", "pitch", "k", "torque"),
    [
        (4.0, 0.7, 0.2, 3.06),  # BT-3: K 0.2 at 0.75 of class 8.8's proof load; bolt makers' tables give 3.0 and 3.1
        (5.0, 0.8, 0.2, 6.17),  # BT-4: 5.9 and 6.1
        (6.0, 1.0, 0.2, 10.44),  # BT-5: 10 and 10.4
        (4.0, 0.7, 0.15, 2.30),  # BT-6: lubricated
        (5.0, 0.8, 0.15, 4.63),
        (6.0, 1.0, 0.15, 7.83),
    ],
)
def test_the_force_of_a_bolt(size, pitch, k, torque):
    # T = K d F. Proof loads of ISO 898-1: 5100, 8230 and 11600 N; three quarters of them.
    proof = {4.0: 5100.0, 5.0: 8230.0, 6.0: 11600.0}[size]
    assert bolt_force(torque, size, k) == pytest.approx(0.75 * proof, rel=0.003)  # torques in hundredths
    assert PROOF_MPA["8.8"] * stress_area(size, pitch) == pytest.approx(proof, rel=0.01)


def clamped(torque, k="", stock="paper", outline="{ rectangle = [60.0, 40.0] }"):
    studs = f'studs = {{ at = [[-24, -14], [24, -14], [24, 14], [-24, 14]], size = "M5", torque_nm = {torque}{k} }}'
    return job(f'stock = "{stock}"', studs, outline=outline, opening="rectangle = [30.0, 20.0]")


def test_four_m5_on_a_gasket_press_as_worked_out():
    # BT-7: 5.9 N m on M5 at K 0.2 is 5900 N; BT-10: four of them, 23.6 kN, on 1200 mm2 are 19.7 MPa.
    assert bolt_force(5.9, 5.0, 0.20) == pytest.approx(5900, abs=1)
    assert 4 * bolt_force(5.9, 5.0, 0.20) / 1200 == pytest.approx(19.7, abs=0.05)
    # Through the job: 60 x 40 less 30 x 20 less four holes of 5.5 mm (ISO 273 medium).
    part, (one,) = checked(clamped(5.9), "clamp")
    area = 60 * 40 - 30 * 20 - 4 * pi * 5.5**2 / 4
    assert part.solid.area == pytest.approx(area, rel=1e-4)
    assert one.found == pytest.approx(23600 / area, rel=1e-4)
    assert one.weight == "note"
    assert (one.wanted, "above the 6.89 MPa" in one.text) == (6.89, True)  # ASTM F36 procedure G


@pytest.mark.parametrize(("torque", "word"), [(1.0, "below"), (3.0, "above")])
def test_the_clamp_stress_is_held_against_the_sheets_test(torque, word):
    _, (one,) = checked(clamped(torque, ", k = 0.15"), "clamp")
    assert one.found == pytest.approx(4 * torque / (0.15 * 0.005) / (1800 - pi * 5.5**2), rel=1e-4)
    assert f"{word} the 6.89 MPa" in one.text


def test_without_a_torque_nothing_is_said_of_the_clamp():
    assert checked(job('stock = "paper"', 'studs = { circle = 60.0, count = 4, size = "M5" }'), "clamp")[1] == []


@pytest.mark.parametrize(("stock", "spans"), [("paper", [70.0]), ("plate", [])])
def test_a_span_too_wide_for_the_sheet(stock, spans):
    studs = 'studs = { at = [[-35, -26], [35, -26], [35, 20], [-35, 20]], size = "M5" }'
    _, found = checked(job(f'stock = "{stock}"', studs), "clamp")
    assert [one.found for one in found] == pytest.approx(spans)
    for one in found:
        assert (one.weight, one.wanted) == ("note", 60.0)
        assert one.at[0] == pytest.approx(0.0)
        assert abs(one.at[1] + 3) == pytest.approx(23.0)


def test_the_span_goes_round_and_not_across():
    # Four on a circle of 80: neighbours 56.6 mm apart; across it would be 80.
    _, found = checked(job('stock = "paper"', 'studs = { circle = 80.0, count = 4, size = "M5", start = "45 deg" }',
                           outline="{ round = 100.0 }"), "clamp")  # fmt: skip
    assert found == []
