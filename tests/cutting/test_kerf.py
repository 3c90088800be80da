"""Kerf: which way the path moves, by how much, what is lost, and that the cut leaves the part as drawn."""

from math import pi, sin, sqrt, tan

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from gasketcut import parse_job
from gasketcut.cutting.cutter import cutter_for
from gasketcut.cutting.path.kerf import kerf_lost, kerf_of, kerf_suffix, kerf_words, kerfed
from gasketcut.job.cutting import CuttingSpec
from gasketcut.output.dxf import write_dxf
from gasketcut.output.proof.dxf import prove_dxf
from gasketcut.parts.part import outline_of
from gasketcut.profile.profiles import Profiles
from gasketcut.shape.loop import Circle, Loop
from gasketcut.tolerances import ARC_FIT
from tests.making import built

ROUNDING = 1e-9  # mm
TRACED = 3 * ARC_FIT  # mm: the part's own outline, its offset and the path's outline
KERFS = st.floats(0.02, 1.0)


def part(keys):
    (one,) = built(parse_job(f'units = "mm"\npart = [{{ name = "tray", kind = "flat", {keys} }}]'))
    return one


def cut_path(one, kerf):
    return outline_of(kerfed(one, kerf, outline_of(one)))


def lost_of(one, kerf):
    return list(kerf_lost(one, kerf, outline_of(one)))


def size(bounds):
    return bounds[2] - bounds[0], bounds[3] - bounds[1]


def loop_size(contour):
    xs, ys = zip(*contour.flattened(), strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def cut_out(path, kerf):
    """What a beam as wide as the kerf leaves standing when its middle follows the path."""
    sheet = Polygon(path.outer.flattened(1e-4), [hole.flattened(1e-4) for hole in path.inner])
    return sheet.buffer(-kerf / 2, quad_segs=64)


def farthest(one, other):
    """The greatest distance from the edge of either to the edge of the other; vertices stand dense enough."""
    rings = [shapely.segmentize(shape.boundary, 0.05) for shape in (one, other)]
    return max(shapely.distance(shapely.points(shapely.get_coordinates(a)), b).max() for a, b in (rings, rings[::-1]))


SQUARE = "outline = { rectangle = [40.0, 40.0] }"
ROUND = "outline = { round = 40.0 }"
BLOCK = "outline = { rectangle = [20.0, 10.0] }"


# -- the sign: what two cutting services print (snijlab.nl, ponoko.com), for a kerf of 0.2 mm -----------------------


@pytest.mark.parametrize(("keys", "wanted"), [(SQUARE, (40.2, 40.2)), (ROUND, (40.2, 40.2)), (BLOCK, (20.2, 10.2))])
def test_the_outside_is_drawn_larger(keys, wanted):
    assert size(cut_path(part(keys), 0.2).bounds) == pytest.approx(wanted, abs=ROUNDING)


@pytest.mark.parametrize(("diameter", "wanted"), [(40.0, 39.8), (10.0, 9.8)])
def test_a_round_hole_is_drawn_smaller_and_stays_a_circle(diameter, wanted):
    (hole,) = cut_path(part(f"outline = {{ round = 60 }}, opening = {{ round = {diameter} }}"), 0.2).inner

    assert isinstance(hole, Circle)
    assert 2 * hole.radius == pytest.approx(wanted, abs=ROUNDING)


def test_a_square_opening_is_drawn_smaller():
    (hole,) = cut_path(part("outline = { round = 80 }, opening = { rectangle = [40.0, 40.0] }"), 0.2).inner
    assert loop_size(hole) == pytest.approx((39.8, 39.8), abs=ROUNDING)


@pytest.mark.parametrize(("keys", "wanted"), [(SQUARE, 39.8), (f"{ROUND}, opening = {{ round = 20 }}", 39.8)])
def test_left_as_it_is_drawn_the_part_comes_out_too_small_and_its_hole_too_large(keys, wanted):
    left = cut_out(outline_of(part(keys)), 0.2)

    assert size(left.bounds) == pytest.approx((wanted, wanted), abs=ARC_FIT)
    for hole in left.interiors:
        assert size(hole.bounds) == pytest.approx((20.2, 20.2), abs=ARC_FIT)


# -- what is left of the sheet ------------------------------------------------------------------------------------

LOBED = """opening = { oval = [28, 19] }, studs = { at = [[-22, -3], [22, 3]], size = "M6" },
    outline = { lobes = 7.0, ring = 5.0, fillet = 8.0 }"""
BAY = """outline = { points = [[0, 0], [40, 0], [40, 30], [24, 30], [24, 12], [16, 12], [16, 30], [0, 30]] },
    holes = { at = [[8, 8], [32, 8]], diameter = 4.2 }"""


@pytest.mark.parametrize("keys", [LOBED, SQUARE, f"{SQUARE}, opening = {{ slot = [20, 6] }}"])
@pytest.mark.parametrize("kerf", [0.08, 0.15, 0.76])
def test_the_cut_leaves_the_part_as_it_was_drawn(keys, kerf):
    one = part(" ".join(keys.split()))
    assert farthest(cut_out(cut_path(one, kerf), kerf), one.solid) < TRACED


@pytest.mark.parametrize("kerf", [0.08, 0.76])
def test_in_an_inner_corner_the_beams_own_radius_stays(kerf):
    # From the tip of a right angle to a circle of half the kerf in it: r (sqrt 2 - 1).
    one = part(" ".join(BAY.split()))
    left = farthest(cut_out(cut_path(one, kerf), kerf), one.solid)
    assert left == pytest.approx(kerf / 2 * (sqrt(2) - 1), abs=TRACED)


@pytest.mark.parametrize("kerf", [0.1, 0.76])
def test_the_grown_part_is_written_and_proved_as_any_other(kerf):
    nominal = part(" ".join(LOBED.split()))
    one = kerfed(nominal, kerf, outline_of(nominal))
    path = outline_of(one)

    assert prove_dxf(write_dxf(one, path), one, path, "mm") < ARC_FIT + 1e-4
    assert size(path.bounds) > size(outline_of(nominal).bounds)
    assert [hole.diameter for hole in one.round_holes] == [
        pytest.approx(6.6 - kerf, abs=ROUNDING)
    ] * 2  # ISO 273: M6 medium


def test_arcs_come_back_with_their_radii_moved_by_half_the_kerf():
    one = part(f"{SQUARE.replace('] }', '], corner = 6.0 }')}, opening = {{ rectangle = [20.0, 12.0], corner = 3.0 }}")
    path = cut_path(one, 0.3)
    (opening,) = path.inner

    def radii(loop):
        return [round(segment.radius, 6) for segment in loop.segments() if segment.bulge]

    assert isinstance(path.outer, Loop)
    assert (radii(path.outer), radii(opening)) == ([6.15] * 4, [2.85] * 4)


def test_a_path_has_no_more_segments_than_the_part():
    one = part(" ".join(LOBED.split()))
    nominal, path = outline_of(one), cut_path(one, 0.1)

    for own, moved in zip(nominal.contours, path.contours, strict=True):
        if isinstance(own, Loop):
            assert 4 < len(moved.points) <= len(own.points)


@given(side=st.floats(5, 200), kerf=KERFS)
def test_a_grown_square_has_the_area_of_steiners_formula(side, kerf):
    # A convex shape grown by r: A + P r + pi r^2.
    path = cut_path(part(f"outline = {{ rectangle = [{side}, {side}] }}"), kerf)
    assert path.area == pytest.approx(side**2 + 4 * side * kerf / 2 + pi * kerf**2 / 4, abs=4 * side * ARC_FIT)


@given(outer=st.floats(20, 200), share=st.floats(0.1, 0.8), kerf=KERFS)
def test_a_ring_stays_two_circles(outer, share, kerf):
    path = cut_path(part(f"outline = {{ round = {outer} }}, opening = {{ round = {outer * share} }}"), kerf)

    assert path.outer == Circle((0.0, 0.0), pytest.approx(outer / 2 + kerf / 2, abs=ROUNDING))
    assert path.inner == (Circle((0.0, 0.0), pytest.approx(outer * share / 2 - kerf / 2, abs=ROUNDING)),)


def test_no_kerf_is_the_part_itself():
    one = part(SQUARE)
    assert kerfed(one, 0.0, outline_of(one)) == one


# -- what is lost -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("diameter", "lost"), [(0.14, True), (0.15, True), (0.16, False), (3.0, False)])
def test_a_hole_no_wider_than_the_kerf_is_lost(diameter, lost):
    one = part(f"{SQUARE}, holes = {{ at = [[3, -4], [9, 9]], diameter = {diameter} }}")
    found = lost_of(one, 0.15)

    assert [(finding.rule, finding.weight) for finding in found] == [("kerf", "stop")] * 2 * lost
    assert [finding.at for finding in found] == [(3, -4), (9, 9)] * lost
    assert all((finding.found, finding.wanted) == (diameter, 0.15) for finding in found)
    assert len(cut_path(one, 0.15).inner) == (0 if lost else 2)


@pytest.mark.parametrize(("width", "lost"), [(0.74, True), (0.78, False)])
def test_a_slot_narrower_than_the_kerf_is_lost(width, lost):
    one = part(f"{SQUARE}, opening = {{ slot = [20, {width}] }}")

    assert [finding.weight for finding in lost_of(one, 0.76)] == ["stop"] * lost
    assert len(cut_path(one, 0.76).inner) == 1 - lost


def test_an_opening_with_a_neck_narrower_than_the_kerf_falls_into_two():
    low = "[-9, -3], [-3, -3], [-3, -0.2], [3, -0.2], [3, -3], [9, -3]"
    high = "[9, 3], [3, 3], [3, 0.2], [-3, 0.2], [-3, 3], [-9, 3]"
    (found,) = lost_of(part(f"{SQUARE}, opening = {{ points = [{low}, {high}] }}"), 0.5)
    assert (found.weight, "falls into 2 cuts" in found.text) == ("stop", True)


@pytest.mark.parametrize(("slit", "short"), [(0.3, 10.0), (0.7, None)])
def test_a_slit_in_the_edge_that_the_cut_does_not_enter(slit, short):
    # The path closes over a slit 10 mm deep; where it is entered, the path ends half a kerf before its end.
    half = slit / 2
    edge = f"[[-20, 0], [20, 0], [20, 20], [{half}, 20], [{half}, 10], [-{half}, 10], [-{half}, 20], [-20, 20]]"
    found = lost_of(part(f"outline = {{ points = {edge} }}"), 0.5)

    assert [finding.weight for finding in found] == ([] if short is None else ["warn"])
    for finding in found:
        assert finding.found > short - 0.5
        assert finding.at == (pytest.approx(0, abs=half), 10)


def test_a_sharp_tip_is_worth_a_word_only_where_the_cut_stays_far_off():
    # The path ends half a kerf / sin(half the angle) short of a tip: more than two kerfs from about 29 deg down.
    def tip(angle):
        wide = 12 * tan(angle / 2 * pi / 180)
        return part(f"{SQUARE}, opening = {{ points = [[0, 8], [{wide}, -4], [-{wide}, -4]] }}")

    assert lost_of(tip(40), 0.4) == []
    (found,) = lost_of(tip(20), 0.4)
    assert found.found == pytest.approx(0.2 / sin(10 * pi / 180), abs=1e-6)
    assert found.at == (0, 8)


# -- who says how wide --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("given_kerf", "wanted"), [(None, None), ("profile", 0.2), (0.11, 0.11), (0.0, 0.0)])
def test_nothing_is_applied_unless_asked_for_and_the_users_own_counts(given_kerf, wanted):
    cutter = cutter_for("co2", None, Profiles().cutters)
    assert kerf_of(CuttingSpec(process="co2", kerf=given_kerf), cutter) == wanted


@pytest.mark.parametrize(
    ("kerf", "words", "suffix"),
    [
        (0.15, "kerf applied 0.15 mm", "-kerf-0.15mm"),
        (0.2, "kerf applied 0.2 mm", "-kerf-0.2mm"),
        (0.004 * 25.4, "kerf applied 0.1016 mm", "-kerf-0.1016mm"),
        (None, "nominal size, no kerf applied", ""),
        (0.0, "nominal size, no kerf applied", ""),  # a knife takes nothing away
    ],
)
def test_file_and_name_say_what_was_applied(kerf, words, suffix):
    assert (kerf_words(kerf), kerf_suffix(kerf)) == (words, suffix)


def test_a_diagonal_square_hole_keeps_its_corners():
    # Inward, corners stay sharp: each vertex moves half a kerf times the square root of two.
    (hole,) = cut_path(part(f'{ROUND}, opening = {{ rectangle = [10, 10], turn = "45 deg" }}'), 0.2).inner

    assert len(hole.points) == 4
    assert loop_size(hole) == pytest.approx((9.8 * sqrt(2), 9.8 * sqrt(2)), abs=1e-6)
