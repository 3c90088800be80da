"""Findings against closed forms: what hangs into a port, what stands back, how narrow the sheet gets."""

from math import acos, hypot, pi, sqrt

import pytest

from gasketcut import parse_job
from gasketcut.checks.holes import holes
from gasketcut.checks.overhang import overhang
from gasketcut.checks.sealing.lands import land_limits, lands
from gasketcut.checks.sealing.merges import merges
from gasketcut.checks.stock import on_stock
from gasketcut.profile.profiles import Profiles, read_profiles
from gasketcut.tolerances import CHORD
from tests.making import subject_of

OURS = Profiles()

two_chords = 2 * CHORD  # mm: both edges may lie a chord error inside the true curve

SHEET = """
units = "mm"
[[stock]]
name = "paper"
thickness = {thickness}
size = [{size}]
[[part]]
name = "gasket"
kind = "{kind}"
stock = "paper"
outline = {outline}
"""


def subject(more, *, kind="flat", outline="{ rectangle = [60, 50] }", thickness=0.5, size="300, 200", profiles=OURS):
    job = parse_job(SHEET.format(kind=kind, outline=outline, thickness=thickness, size=size) + more)
    return subject_of(job, profiles)


def with_port(opening, port, at="[0, 0]", **sheet):
    window = f'[[part.port]]\nname = "port"\nat = {at}\nshape = {port}\n'
    return subject(f"opening = {opening}\n{window}", kind="exhaust", **sheet)


def only(findings, rule):
    found = [finding for finding in findings if finding.rule == rule]
    assert len(found) == 1, found
    return found[0]


def crescent(radius, apart):
    """Area of a circle outside another of the same radius: the circle less the lens (plane geometry)."""
    lens = 2 * radius**2 * acos(apart / (2 * radius)) - apart / 2 * sqrt(4 * radius**2 - apart**2)
    return pi * radius**2 - lens


def area_in(finding):
    return float(finding.text.split("over ")[1].removesuffix(" mm2"))


# -- overhang --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("apart", [0.05, 0.5, 3, 9])
def test_a_round_opening_that_stands_off_its_port(apart):
    finding = only(overhang(with_port("{ round = 20 }", "{ round = 20 }", f"[{apart}, 0]")), "overhang")

    assert finding.weight == "stop"
    assert finding.found == pytest.approx(apart, abs=two_chords)
    assert area_in(finding) == pytest.approx(crescent(10, apart), abs=CHORD * 2 * pi * 10 + 0.005)  # two decimals
    assert finding.at == pytest.approx((10, 0), abs=0.5)


@pytest.mark.parametrize(
    ("opening", "port", "depth", "at"),
    [
        # A straight edge right across a round port: deepest in its middle, where no corner is. Both sides covered.
        ("{ rectangle = [40, 14] }", "{ round = 20 }", 3, None),
        ("{ rectangle = [40, 14], at = [0, 3] }", "{ round = 20 }", 6, (0, -4)),
        ("{ rectangle = [40, 14], at = [0, 4] }", "{ round = 20 }", 7, (0, -3)),
        ("{ rectangle = [22, 14] }", "{ rectangle = [22, 20] }", 3, None),
        ("{ rectangle = [22, 14], at = [0, 3] }", "{ rectangle = [22, 20] }", 6, None),
        ("{ rectangle = [20, 20] }", "{ rectangle = [22, 20] }", 1, None),
        ("{ oval = [28, 18] }", "{ oval = [28, 18.4] }", 0.2, None),
    ],
)
def test_depth_is_taken_where_the_sheet_reaches_farthest_in(opening, port, depth, at):
    finding = only(overhang(with_port(opening, port)), "overhang")

    assert finding.found == pytest.approx(depth, abs=two_chords)
    assert at is None or finding.at == pytest.approx(at, abs=0.1)


@pytest.mark.parametrize("number", range(6))
def test_a_turned_port_hangs_in_as_deep_wherever_it_lies(number):
    turn = 60 * number
    opening = f'{{ rectangle = [40, 14], turn = "{turn} deg" }}'
    port = f'[[part.port]]\nname = "port"\nturn = "{turn} deg"\nshape = {{ slot = [30, 20] }}\n'
    sheet = subject(f"opening = {opening}\n{port}", kind="exhaust")

    assert only(overhang(sheet), "overhang").found == pytest.approx(3, abs=two_chords)


def test_less_than_a_cutter_can_follow_is_no_overhang():
    # A thousandth of a millimetre is rounding, five are not.
    assert only(overhang(with_port("{ round = 20 }", "{ round = 20.002 }")), "set-back").found == 0
    assert only(overhang(with_port("{ round = 20 }", "{ round = 20.010 }")), "overhang").found == pytest.approx(
        0.005, abs=CHORD
    )


@pytest.mark.parametrize(
    ("shape", "depth"), [("{ round = 6 }", 3), ("{ slot = [9, 4] }", 2), ("{ oval = [8, 5] }", 2.5)]
)
def test_a_port_that_is_covered_altogether(shape, depth):
    finding = only(overhang(with_port("{ round = 20 }", shape, "[18, 0]")), "overhang")

    assert finding.found == pytest.approx(depth, abs=two_chords)
    assert finding.at == pytest.approx((18, 0), abs=3)


def test_a_port_that_reaches_over_the_outside_edge_is_named_covered_or_not():
    # Half of it lies beyond the edge at x = 30; the half on the sheet is covered to its middle.
    covered = list(overhang(with_port("{ round = 20 }", "{ round = 6 }", "[30, 0]")))
    assert only(covered, "overhang").found == pytest.approx(3, abs=two_chords)
    assert only(covered, "passage").weight == "stop"

    cut = '[[part.port]]\nname = "port"\nat = [30, 0]\nshape = { round = 6 }\ncut = true\n'
    assert [finding.rule for finding in overhang(subject(cut, kind="exhaust"))] == ["passage"]


def test_a_port_off_the_sheet_is_named():
    assert only(overhang(with_port("{ round = 20 }", "{ round = 6 }", "[50, 0]")), "passage").weight == "stop"


# -- set-back --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("back", [0, 0.25, 0.5, 1.5])
@pytest.mark.parametrize(
    "shape", ["{{ round = {0} }}", "{{ rectangle = [{0}, {0}], corner = 3 }}", "{{ slot = [{0}, {0}] }}"]
)
def test_set_back_all_round(shape, back):
    finding = only(overhang(with_port(shape.format(20 + 2 * back), shape.format(20))), "set-back")

    assert finding.weight == "note"
    assert finding.found == pytest.approx(back, abs=two_chords)


def test_set_back_is_taken_between_corners_too():
    # A roof whose ridge comes down to 1 mm above the middle of the port's upper edge; its corners have more room.
    roof = "{ points = [[-15, -10], [15, -10], [15, 10], [0, 6], [-15, 10]] }"
    finding = only(overhang(with_port(roof, "{ rectangle = [20, 10] }")), "set-back")

    assert finding.found == pytest.approx(1, abs=1e-9)
    assert finding.at == pytest.approx((0, 5), abs=1e-6)


def test_too_far_back_is_worth_a_look():
    finding = only(overhang(with_port("{ round = 24 }", "{ round = 20 }")), "set-back")

    assert (finding.weight, finding.found) == ("warn", pytest.approx(2, abs=two_chords))


@pytest.mark.parametrize("set_back", [0.2, 0.5, 1.0])
def test_a_port_cut_by_the_part_itself_stands_back_by_the_set_back(set_back):
    port = '[[part.port]]\nname = "transfer"\nshape = { rectangle = [10, 14], corner = 2.5 }\n'
    finding = only(overhang(subject(f"set_back = {set_back}\n{port}", kind="base")), "set-back")

    assert finding.found == pytest.approx(set_back, abs=two_chords)


# -- holes -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("places", "says"),
    [
        ("[[0, 0], [20, 0]]", []),
        ("[[0, 0], [40, 0]]", ["the hole at (40, 0) lies off the sheet"]),
        ("[[28, 0]]", ["the hole at (28, 0) breaks out of the sheet's edge"]),
        ("[[0, 0], [5.4, 0]]", ["the hole at (0, 0) and the hole at (5.4, 0) run into each other"]),
        ("[[0, 0], [5.6, 0]]", []),
        ("[[0, 0], [0, 0]]", ["the hole at (0, 0) and the hole at (0, 0) run into each other"]),
        ("[[13, 0], [-20, 0]]", ["the opening and the hole at (13, 0) run into each other"]),
    ],
)
def test_holes_off_the_sheet_over_its_edge_and_into_each_other(places, says):
    opening = "opening = { round = 22, at = [0, 0] }\n" if "13" in places else ""
    sheet = subject(f"{opening}holes = {{ at = {places}, diameter = 5.5 }}\n")
    found = [*holes(sheet), *merges(sheet)]

    assert [finding.text for finding in found] == says
    assert {finding.weight for finding in found} <= {"stop"}
    assert all(finding.at is not None for finding in found)


@pytest.mark.parametrize("opening", ["{ round = 9, at = [60, 0] }", "{ slot = [9, 4], at = [0, -60] }"])
def test_an_opening_off_the_sheet_is_not_lost_in_silence(opening):
    found = list(holes(subject(f"opening = {opening}\n")))

    assert [(finding.weight, "off the sheet" in finding.text) for finding in found] == [("stop", True)]


def test_windows_may_open_into_the_bore_where_the_job_says_so():
    transfer = '[[part.port]]\nname = "transfer"\nat = [-20, 0]\nshape = { rectangle = [10, 14] }\n'
    sheet = "opening = { round = 40 }\n" + transfer

    assert list(merges(subject(sheet + 'joins = ["bore"]\n', kind="base"))) == []
    assert [finding.weight for finding in merges(subject(sheet, kind="base"))] == ["stop"]


# -- lands and webs --------------------------------------------------------------------------------------------


def widths(sheet, rule):
    return [finding for finding in lands(sheet) if finding.rule == rule and finding.weight != "note"]


@pytest.mark.parametrize("web", [0.3, 0.99, 1.4, 1.98])
def test_the_web_between_two_round_holes(web):
    (finding,) = widths(subject(f"holes = {{ at = [[0, 0], [{5.5 + web}, 0]], diameter = 5.5 }}\n"), "web")

    assert finding.found == pytest.approx(web, abs=two_chords)
    assert finding.weight == ("stop" if web < 1 else "warn")
    assert finding.at == pytest.approx((2.75 + web / 2, 0), abs=0.01)
    assert "the hole at (0, 0) and the hole at" in finding.text


@pytest.mark.parametrize("land", [0.4, 1.2, 1.9])
def test_the_land_from_a_hole_to_the_round_outside(land):
    # A bore off the middle of a disc: least land = R - r - distance of the middles.
    off = 25 - 20 - land
    (finding,) = widths(subject(f"opening = {{ round = 40, at = [0, {off}] }}\n", outline="{ round = 50 }"), "land")

    assert finding.found == pytest.approx(land, abs=two_chords)
    assert finding.at == pytest.approx((0, 25 - land / 2), abs=0.01)


@pytest.mark.parametrize(
    ("one", "other", "at", "turn", "web"),
    [
        ("{ slot = [30, 8] }", "{ slot = [30, 8] }", "[0, 9.2]", 0, 1.2),
        # A slot's straight side against a round end.
        ("{ slot = [30, 8] }", "{ slot = [20, 6] }", "[3, 15.2]", 90, 15.2 - 10 - 4),
        ("{ rectangle = [20, 8] }", "{ round = 6 }", "[13, 7.5]", 0, hypot(3, 3.5) - 3),
        ("{ oval = [30, 16] }", "{ oval = [30, 16] }", "[0, 17.5]", 0, 1.5),
        ("{ oval = [30, 16] }", "{ oval = [30, 16] }", "[31.5, 0]", 0, 1.5),
    ],
)
def test_webs_all_the_way_round_slots_and_ovals(one, other, at, turn, web):
    window = f'[[part.port]]\nname = "second"\nat = {at}\nturn = "{turn} deg"\nshape = {other}\n'
    sheet = subject(f"set_back = 0\nopening = {one}\n{window}", kind="base", outline="{ rectangle = [120, 80] }")
    (finding,) = widths(sheet, "web")

    assert finding.found == pytest.approx(web, abs=two_chords)


def test_wide_enough_is_left_alone():
    sheet = subject("opening = { round = 20 }\nholes = { at = [[20, 0]], diameter = 5.5 }\n")

    assert [finding for finding in lands(sheet) if finding.weight != "note"] == []


def test_limits_come_from_the_profile_and_the_thickness():
    assert land_limits(subject("opening = { round = 20 }\n").part, OURS.sheets) == (2.0, 1.0)
    assert land_limits(subject("opening = { round = 20 }\n", thickness=1.5).part, OURS.sheets) == (2.0, 1.5)
    assert land_limits(subject("opening = { round = 20 }\n", thickness=3.0).part, OURS.sheets) == (3.0, 3.0)


def test_limits_of_a_profile_beside_the_job_come_first(tmp_path):
    (tmp_path / "sheets.toml").write_text("[land]\nwarn = 6.0\nstop = 4.0\n", encoding="utf-8")
    mine = read_profiles(tmp_path)
    sheet = subject("opening = { round = 40 }\n", profiles=mine)  # 5 mm of land above and below

    assert land_limits(sheet.part, mine.sheets) == (6.0, 4.0)
    assert [finding.weight for finding in lands(sheet) if finding.weight != "note"] == ["warn"]


# -- stock -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("outline", "size", "fits"),
    [
        ("{ rectangle = [90, 60] }", "100, 70", True),
        ("{ rectangle = [60, 90] }", "100, 70", True),  # turned by 90 deg
        ("{ rectangle = [90, 60] }", "90, 60", True),
        ("{ rectangle = [90, 71] }", "100, 70", False),
        ("{ rectangle = [101, 20] }", "100, 70", False),
        ("{ round = 70 }", "70, 200", True),
        ("{ round = 70.1 }", "70, 200", False),
    ],
)
def test_a_part_goes_on_its_sheet_or_not(outline, size, fits):
    found = list(on_stock(subject("opening = { round = 10 }\n", outline=outline, size=size)))

    assert [finding.weight for finding in found] == ([] if fits else ["stop"])


def test_no_sheet_is_a_note():
    job = parse_job('units = "mm"\n[[part]]\nname = "g"\nkind = "flat"\noutline = { round = 20 }\n')
    assert only(on_stock(subject_of(job)), "stock").weight == "note"
