"""Curves, and many short lines, become arcs within the tolerance: measured against the curve itself, finely sampled."""

import io
from math import cos, pi, sin

import ezdxf
import numpy as np
import pytest
from ezdxf.math import BSpline, rational_bspline_from_arc
from shapely import LineString, Point, Polygon

from gasketcut.output.mended import mended_dxf
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend
from gasketcut.shape.loop import Circle, Loop
from tests.received.customers import turning
from tests.received.drawn import circle, dxf, line, polyline, square

FINE = 1e-5
"""mm; how finely results are flattened to be measured."""


def apart(contour, samples):
    """Greatest distance between the contour and the closed curve given by fine samples, both ways."""
    ours, theirs = Polygon(contour.flattened(FINE)).exterior, LineString([*samples, samples[0]])
    there = max(ours.distance(Point(p)) for p in samples[:: max(1, len(samples) // 4000)])
    mine = np.array(contour.flattened(0.0005))
    back = max(theirs.distance(Point(p)) for p in mine[:: max(1, len(mine) // 4000)])
    return max(there, back)


def written(add):
    document = ezdxf.new("R2000", units=4)
    add(document.modelspace())
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def samples_of(curve, count=40_000):
    ts = np.union1d(np.linspace(0, curve.max_t, count), np.unique(np.array(curve.knots())))
    return [(p.x, p.y) for p in curve.points(ts)][:-1]


@pytest.mark.parametrize("fit", [0.005, 0.02, 0.1])
@pytest.mark.parametrize("ratio", [0.9, 0.6, 0.2, 0.03])
@pytest.mark.parametrize("lines", [None, 20_000, 1_500])
def test_ellipses_become_arcs_within_fit(ratio, fit, lines):
    if lines is None:
        data = written(lambda msp: msp.add_ellipse((3, 4), (40, 0), ratio))
    else:
        data = dxf(polyline(*[(x + 3, y + 4) for x, y in turning(lines, 0, 0, 40, 40 * ratio)]))
    result = mend(data, "mm", fit=fit)
    ((contour, _),) = result.closed
    t = np.linspace(0, 2 * pi, 40_000, endpoint=False)
    samples = list(zip((3 + 40 * np.cos(t)).tolist(), (4 + 40 * ratio * np.sin(t)).tolist(), strict=True))
    chord = 0.0 if lines is None else 40 * (1 - cos(pi / lines))

    assert result.inspection.verdict == "mend"
    assert 4 <= len(contour.points) < 120
    assert apart(contour, samples) <= fit + chord + FINE
    said = [one.text for one in result.changes if one.kind in ("fit", "curve-as-lines")]
    assert len(said) == 1
    assert inspect(mended_dxf(result, "t", fit), fit=fit).verdict == "ready"


def test_an_ellipse_of_20_000_lines_is_said_with_its_deviation():
    found = inspect(dxf(polyline(*turning(20_000, 0, 0, 40, 24))), "mm")

    (flaw,) = found.flaws
    assert flaw.kind == "curve-as-lines"
    assert flaw.text.startswith("a curve as 20000 short lines; 17 lines and arcs lie within 0.0")


def kinked():
    """Four cubic curves end to end, smooth within and with a corner at each joint."""
    corners = [(0, 0), (60, 5), (70, 45), (-5, 50)]
    control = []
    for (x, y), (u, v) in zip(corners, corners[1:] + corners[:1], strict=True):
        dx, dy = u - x, v - y
        control += [
            (x, y),
            (x + dx / 3 + dy / 8, y + dy / 3 - dx / 8),
            (x + 2 * dx / 3 + dy / 9, y + 2 * dy / 3 - dx / 9),
        ]
    knots = [0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4, 4]
    return corners, BSpline([*control, corners[0]], order=4, knots=knots)


@pytest.mark.parametrize("fit", [0.005, 0.02])
def test_a_spline_with_kinks_is_split_at_them(fit):
    corners, curve = kinked()
    data = written(lambda msp: msp.add_spline(dxfattribs={"flags": 1}).apply_construction_tool(curve))
    ((contour, _),) = mend(data, "mm", fit=fit).closed
    samples = samples_of(curve)

    assert apart(contour, samples) <= fit + FINE
    assert len(contour.points) < 60
    for corner in corners:
        assert min(np.hypot(x - corner[0], y - corner[1]) for x, y in contour.points) < fit / 2


def test_many_short_lines_between_true_arcs_and_lines_become_arcs():
    """A plate with one wavy side of 600 lines, one true arc, and true lines."""
    wave = [(100 * k / 600, 5 * sin(2 * pi * k / 300)) for k in range(600)]
    rest = [(100, 0, 0.0), (100, 50, 0.4), (0, 50, 0.0)]
    data = dxf(polyline(*[(x, y, 0.0) for x, y in wave], *rest), circle(50, 25, 6))
    result = mend(data, "mm")
    contour = max((one for one, _ in result.closed), key=lambda one: one.area)
    (given,) = [one.contour for one in result.inspection.closed if isinstance(one.contour, Loop)]

    assert len(contour.points) < 100
    assert apart(contour, given.flattened(0.0005)) <= 0.02 + FINE
    true = next(one.radius for one in given.segments() if one.bulge)
    assert max(contour.segments(), key=lambda one: abs(one.bulge) * one.chord).radius == pytest.approx(true, abs=1e-6)


def test_a_rough_line_stays_as_it_is():
    rng = np.random.default_rng(3)
    ring = [
        (r * cos(2 * pi * k / 400), r * sin(2 * pi * k / 400)) for k, r in enumerate(rng.uniform(28, 32, 400).tolist())
    ]
    found = inspect(dxf(polyline(*ring)), "mm")

    assert [flaw.kind for flaw in found.flaws] == []
    assert found.smooth[0].contour.points == found.closed[0].contour.points


def test_a_comb_of_many_true_edges_stays_as_it_is():
    teeth = [p for k in range(40) for p in ((2 * k, 0), (2 * k, 5), (2 * k + 1, 5), (2 * k + 1, 0))]
    found = inspect(dxf(polyline(*teeth, (80, 0), (80, -9), (0, -9))), "mm")

    assert found.flaws == ()


# -- splines that are lines and arcs ---------------------------------------------------------------------------------


def add_spline(msp, curve):
    msp.add_spline().apply_construction_tool(curve)


def straight(start, end, degree=1):
    points = [tuple(a + (b - a) * k / degree for a, b in zip(start, end, strict=True)) for k in range(degree + 1)]
    return BSpline(points, order=degree + 1)


@pytest.mark.parametrize("degree", [1, 3])
def test_a_slot_of_splines_keeps_its_area(degree):
    """Lines and half circles, all as splines: 30 long between centres, 8 wide."""

    def add(msp):
        add_spline(msp, straight((0, 0), (30, 0), degree))
        add_spline(msp, rational_bspline_from_arc((30, 4), 4, -90, 90))
        add_spline(msp, straight((30, 8), (0, 8), degree))
        add_spline(msp, rational_bspline_from_arc((0, 4), 4, 90, 270))

    found = inspect(written(add), "mm")
    (one,) = found.smooth

    assert [flaw.kind for flaw in found.flaws if flaw.kind != "gap-rounding"] == ["spline"] * 4
    assert one.contour.area == pytest.approx(240 + 16 * pi, rel=1e-9)
    assert found.verdict == "mend"


def test_a_whole_circle_as_a_spline_or_an_ellipse_is_a_circle():
    def add(msp):
        add_spline(msp, rational_bspline_from_arc((5, 6), 7, 0, 360))
        msp.add_ellipse((40, 6), (0, 3), 1.0)

    found = inspect(written(add), "mm")
    circles = sorted((one.contour for one in found.smooth), key=lambda one: one.radius)

    assert all(isinstance(one, Circle) for one in circles)
    assert [one.radius for one in circles] == pytest.approx([3.0, 7.0], abs=1e-9)
    assert [one.center for one in circles] == [pytest.approx((40, 6)), pytest.approx((5, 6))]


@pytest.mark.parametrize("below", [False, True])
def test_a_piece_of_a_round_ellipse_is_its_arc(below):
    document = ezdxf.new("R2000", units=4)
    more = {"extrusion": (0, 0, -1)} if below else {}
    ellipse = document.modelspace().add_ellipse((3, 4), (6, 2), 1.0, 0.3, 2.1, dxfattribs=more)
    stream = io.StringIO()
    document.write(stream)
    found = inspect(stream.getvalue().encode(), "mm")
    (one,) = found.open
    along = LineString([p for s in one.segments for p in (*s.points(FINE), s.end)])

    for point in ellipse.vertices(np.linspace(0.3, 2.1, 50)):
        assert along.distance(Point(point.x, point.y)) < 1e-4
    assert one.segments[0].radius == pytest.approx(40**0.5)


def test_a_cubic_that_only_looks_like_an_arc_is_traced_close_to_its_curve():
    k = 0.5522847498
    quarter = [(10, 0), (10, 10 * k), (10 * k, 10), (0, 10)]
    turned = quarter
    control = [quarter[0]]
    for _ in range(4):
        control += turned[1:]
        turned = [(-y, x) for x, y in turned]
    curve = BSpline(control, order=4, knots=[0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4, 4])
    found = inspect(written(lambda msp: add_spline(msp, curve)), "mm")

    assert isinstance(found.smooth[0].contour, Circle)
    assert found.smooth[0].contour.radius == pytest.approx(10.0, abs=0.003)
    assert apart(found.smooth[0].contour, samples_of(curve, 4000)) < 0.006


def test_arcs_next_to_free_curves_keep_their_numbers():
    """A plate with one free side; its rounded corners are snapped to the circles that they are."""

    def add(msp):
        msp.add_line((0, 0), (70, 0))
        msp.add_arc((70, 10), 10, 270, 360)
        msp.add_line((80, 10), (80, 50))
        msp.add_spline([(80, 50), (60, 55), (40, 48), (20, 54), (0, 50)])
        msp.add_line((0, 50), (0, 0))

    found = inspect(written(add), "mm")
    radii = [one.radius for one in found.smooth[0].contour.segments() if one.bulge and abs(one.radius - 10) < 0.5]

    assert radii == [pytest.approx(10.0, abs=1e-6)]


def test_nothing_is_traced_that_needs_no_tracing():
    found = inspect(dxf(square(0, 0, 20), line(40.0, 0.0, 50.0, 0.0)), "mm")

    assert found.smooth[0].contour == found.closed[0].contour
    assert found.smooth[0].off == 0.0
