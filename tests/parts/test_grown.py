"""A port after it has been ground: closed forms of what grows, of what is taken, and of how deep it is."""

from math import pi

import pytest
import shapely

from gasketcut.parts.words import Oval, Placed, Points, Rectangle, Round, Slot
from gasketcut.parts.words.grown import Grown
from gasketcut.shape import outlines
from gasketcut.shape.arcs import trace
from gasketcut.shape.depths import depths, steps
from gasketcut.shape.loop import Circle
from gasketcut.tolerances import CHORD

OFF = 2 * CHORD  # mm; two polygons, each up to a chord off its curve
SHARE = 2e-4  # of an area; a chord's sagitta round the edges of ports of 10 mm and more


@pytest.mark.parametrize("by", [0.1, 0.762, 3.0])
def test_a_round_port_ground_all_round_is_a_round_port(by):
    placed = Placed(Grown(Round(19.4), all_round=by), (1.0, -2.0), 30.0)

    assert placed.circle() == Circle((1.0, -2.0), 9.7 + by)
    contour, _ = trace(shapely.get_coordinates(placed.polygon().exterior)[:-1], placed.known())
    assert isinstance(contour, Circle)
    assert contour.radius == pytest.approx(9.7 + by, abs=1e-9)
    assert contour.center == pytest.approx((1.0, -2.0), abs=1e-9)


@pytest.mark.parametrize(
    ("shape", "around"),
    [
        (Rectangle(22.0, 13.0, 4.0), 2 * (22 + 13) - 8 * 4 + 2 * pi * 4),
        (Slot(20.0, 8.0), 2 * 12 + pi * 8),
        (Rectangle(22.0, 13.0), 2 * (22 + 13)),
    ],
)
def test_metal_taken_all_round_is_perimeter_times_depth_and_the_corners(shape, around):
    by, old = 0.8, shape.polygon()
    taken = Grown(shape, all_round=by).polygon().difference(old).area

    assert taken == pytest.approx(around * by + pi * by**2, rel=2e-3)  # Steiner's formula, of any convex shape


@pytest.mark.parametrize("shape", [Rectangle(22.0, 13.0, 4.0), Round(19.4), Oval(26.0, 17.0), Slot(20.0, 8.0)])
def test_widened_and_raised_a_shape_sweeps_its_height_and_width(shape):
    left, low, right, high = shape.polygon().bounds
    wide = Grown(shape, widened=3.0).polygon()
    tall = Grown(shape, raised=1.5).polygon()

    assert wide.area - shape.polygon().area == pytest.approx(3.0 * (high - low), rel=1e-3)
    assert tall.area - shape.polygon().area == pytest.approx(1.5 * (right - left), rel=1e-3)
    assert wide.bounds == pytest.approx((left - 1.5, low, right + 1.5, high), abs=OFF)
    assert tall.bounds == pytest.approx((left, low, right, high + 1.5), abs=OFF)


def test_a_widened_rectangle_is_the_wider_rectangle():
    assert Grown(Rectangle(22.0, 13.0, 4.0), widened=3.0).polygon().symmetric_difference(
        Rectangle(25.0, 13.0, 4.0).polygon()
    ).area == pytest.approx(0.0, abs=1e-6)


def test_a_port_with_a_bay_sweeps_each_of_its_edges():
    ell = Points(((0.0, 0.0), (20.0, 0.0), (20.0, 6.0), (8.0, 6.0), (8.0, 14.0), (0.0, 14.0)))
    tall = Grown(ell, raised=2.0).polygon()

    # It passes over 2 mm above each of its upper edges: 8 and 12 mm long.
    assert tall.area == pytest.approx(ell.polygon().area + 2.0 * 20.0, abs=1e-9)
    assert outlines.swept(ell.polygon(), (0.0, 0.0)).equals(ell.polygon())


def test_moved_inward_too_far_nothing_is_left():
    assert Grown(Round(19.4), all_round=-9.71).is_gone
    assert not Grown(Round(19.4), all_round=-9.6).is_gone


@pytest.mark.parametrize("shape", [Round(19.4), Rectangle(22.0, 13.0, 4.0), Slot(20.0, 8.0)])
def test_ground_all_round_it_is_as_deep_everywhere(shape):
    found = depths(shape.polygon(), Grown(shape, all_round=0.762).polygon())

    assert [one.turn for one in found] == list(range(0, 360, 30))
    assert [one.mm for one in found] == pytest.approx([0.762] * 12, abs=OFF)


def test_raised_it_is_deep_above_and_nowhere_else():
    found = {
        one.turn: one for one in depths(Rectangle(22, 13).polygon(), Grown(Rectangle(22, 13), raised=1.2).polygon())
    }

    assert found[90].mm == pytest.approx(1.2, abs=1e-9)
    assert found[90].end == pytest.approx((0.0, 7.7), abs=1e-9)
    assert [found[turn].mm for turn in (0, 180, 270)] == [0.0, 0.0, 0.0]


def test_steps_between_two_round_windows_are_the_difference_of_their_radii():
    ten, nine = Round(20.0).polygon(), Round(18.0).polygon()

    assert [one.mm for one in steps(ten, nine)] == pytest.approx([1.0] * 12, abs=OFF)  # in the way
    assert [one.mm for one in steps(nine, ten)] == pytest.approx([-1.0] * 12, abs=OFF)  # a pocket
    assert [one.mm for one in steps(ten, ten)] == [0.0] * 12


def test_a_step_of_windows_off_each_other_is_that_far_on_one_side():
    found = {one.turn: one.mm for one in steps(Round(20.0).polygon(), Placed(Round(20.0), (-0.5, 0.0)).polygon())}

    assert (found[0], found[180]) == pytest.approx((0.5, -0.5), abs=OFF)
