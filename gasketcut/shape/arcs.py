"""A polygon's ring to lines, arcs and circles: how the true curves come back at the exit.

Run      consecutive vertices that one line or one arc can stand for.
Knot     a vertex where two runs meet.
KnownArcs    a circle or radius that the user gave: a fitted arc snaps to it if it then still passes the same test.

A run becomes an arc only if every vertex and every chord midpoint lies within ARC_FIT of it and the turn goes one way.
The midpoint is what keeps a hexagon a hexagon. The fit is by least squares on the inner vertices (radius exact to
0.1 um on our own polygons); knots are chord crossings, up to a chord error off, so they take no part in it and are
put back onto the curves that meet there. The result is tested as it will be written; what fails is written as found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, atan2, cos, hypot, inf, pi, sin, tan

import numpy as np

from gasketcut.arrays import Array
from gasketcut.plane import Point
from gasketcut.shape.circlefit import Fit, circle_through, fit_circle, off_chain, off_circle, off_line
from gasketcut.shape.loop import Circle, Contour, Loop
from gasketcut.shape.runs import FEWEST, arc_of, first_knot, runs_of, without_needless
from gasketcut.shape.slivers import Run, without_slivers
from gasketcut.tolerances import ARC_FIT

_CIRCLE_FEWEST = 8  # vertices of a whole circle
_PROJECTIONS = 12  # onto one curve and the other in turn: more than enough for the last nanometre
_SNAPPED, _AS_FOUND, _THREE_POINTS, _EDGES = range(4)  # how a run is written, see _settled_runs
_HALF = pi * (1 + 1e-6)  # a half circle is one arc, whatever the last digit says
_NEAR = 8  # vertices on either side of a knot among which it can have moved
_KNOT_MOVES = 1.0  # mm along a tangent junction, where the polygon itself leaves the place open


@dataclass(frozen=True, slots=True)
class KnownArcs:
    """Circles (centre and radius) and bare radii that the user's numbers name."""

    circles: tuple[Circle, ...] = ()
    radii: tuple[float, ...] = ()


def trace(ring: Sequence[Point] | Array, known: KnownArcs = KnownArcs(), fit: float = ARC_FIT) -> tuple[Contour, float]:
    """Return the ring as a contour of the same direction, and how far it deviates from the ring [mm].

    ring  : vertices of a simple closed polygon, shape (n, 2) [mm]; the first may be repeated at the end
    known : circles and radii to snap to
    fit   : greatest deviation from vertex or chord midpoint to an arc [mm]
    """
    points = without_needless(np.asarray(ring, dtype=float)[:, :2])
    closed = np.vstack([points, points[:1]])
    if (circle := _whole_circle(closed, known, fit)) is not None:
        return circle, off_circle(_fit_of(circle), closed)
    # From the farthest vertex, so that it does not matter where the ring happens to start.
    points = np.roll(points, -int(np.argmax(np.hypot(*(points - points.mean(axis=0)).T))), axis=0)
    start = first_knot(points, fit)
    closed = np.vstack([points[start:], points[: start + 1]])
    chains = [closed[first : last + 1] for first, last in runs_of(closed[:-1], fit)]
    runs = [Run(chain, arc_of(chain, fit) if len(chain) >= FEWEST else None) for chain in chains]
    loop, deviation = _settled_runs(without_slivers(runs, fit), known, fit)
    return _settled(loop), deviation


def _settled_runs(found: list[Run], known: KnownArcs, fit: float) -> tuple[Loop, float]:
    """Snap every run and put the knots on the curves; then take back, run by run, what leaves the tolerance.

    In turn: the snapped arc with its knots as the polygon has them; the arc through the ends and the middle of the run;
    the run edge by edge.
    """
    levels = [0] * len(found)
    while True:
        runs = [_at_level(run, level, known, fit) for run, level in zip(found, levels, strict=True)]
        knots, strays = _knots(runs, levels, fit)
        off = [
            max(_written_off(run, start, end), stray)
            for run, start, end, stray in zip(runs, knots, knots[1:] + knots[:1], strays, strict=True)
        ]
        failed = [number for number, value in enumerate(off) if value > fit and levels[number] < _EDGES]
        if not failed:
            break
        for number in failed:
            levels[number] += 1
    pieces: list[Run] = []
    places: list[Point] = []
    for run, knot, level in zip(runs, knots, levels, strict=True):
        edges = [Run(run.vertices[at : at + 2], None) for at in range(len(run.vertices) - 1)]
        pieces += edges if level == _EDGES else [run]
        places += [knot, *(_found_knot(edge) for edge in edges[1:])] if level == _EDGES else [knot]
    loop, deviation = _joined(pieces, places)
    return loop, max(deviation, *strays)


def _at_level(run: Run, level: int, known: KnownArcs, fit: float) -> Run:
    if run.arc is None or level == _EDGES:
        return Run(run.vertices, None)
    if level == _THREE_POINTS:
        middle = run.vertices[len(run.vertices) // 2]
        return Run(run.vertices, circle_through(run.vertices[0], middle, run.vertices[-1]))
    return Run(run.vertices, _snapped(run, known, fit))


# -- whole circles ---------------------------------------------------------------------------------------------


def _whole_circle(closed: Array, known: KnownArcs, fit: float) -> Circle | None:
    points = closed[:-1]
    if len(points) < _CIRCLE_FEWEST:
        return None
    reach = np.hypot(*(points - points.mean(axis=0)).T)
    if reach.max() > 1.5 * reach.min():  # cheap: most rings are no circle
        return None
    fitted = fit_circle(points)
    if fitted is None:
        return None
    candidates = [circle for circle in known.circles if _near(circle, fitted, fit)]
    candidates += [Circle((fitted.x, fitted.y), radius) for radius in (*_near_radii(fitted, known, fit), fitted.radius)]
    for circle in candidates:
        if off_circle(_fit_of(circle), closed) <= fit and _goes_round_once(closed, circle):
            return circle
    return None


def _goes_round_once(closed: Array, circle: Circle) -> bool:
    angles = np.unwrap(np.arctan2(closed[:, 1] - circle.center[1], closed[:, 0] - circle.center[0]))
    steps = np.diff(angles)
    return bool(np.all(steps > 0) or np.all(steps < 0)) and abs(abs(angles[-1] - angles[0]) - 2 * pi) < 1e-6


# -- snapping --------------------------------------------------------------------------------------------------


def _snapped(run: Run, known: KnownArcs, fit: float) -> Fit | None:
    """A known circle, or else a known radius, if the run passes the test with it too."""
    if run.arc is None:
        return None
    candidates = [_fit_of(circle) for circle in known.circles if _near(circle, run.arc, fit)]
    candidates += [_with_radius(run, radius) for radius in _near_radii(run.arc, known, fit)]
    return next((arc for arc in candidates if off_circle(arc, run.vertices) <= fit), run.arc)


def _near(circle: Circle, fitted: Fit, fit: float) -> bool:
    away = hypot(circle.center[0] - fitted.x, circle.center[1] - fitted.y)
    # A short arc leaves its centre open along its middle: there radius and centre move together.
    return away <= 100 * fit and abs(circle.radius - fitted.radius) <= 100 * fit


def _near_radii(fitted: Fit, known: KnownArcs, fit: float) -> list[float]:
    near = [radius for radius in set(known.radii) if abs(radius - fitted.radius) <= 100 * fit]
    return sorted(near, key=lambda radius: abs(radius - fitted.radius))


def _with_radius(run: Run, radius: float) -> Fit:
    """Keep the middle of the arc in place and change the radius."""
    arc = run.arc
    assert arc is not None
    x, y = run.vertices[len(run.vertices) // 2] - (arc.x, arc.y)
    shift = (arc.radius - radius) / hypot(x, y)
    return Fit(arc.x + float(x) * shift, arc.y + float(y) * shift, radius)


# -- knots -----------------------------------------------------------------------------------------------------


def _found_knot(run: Run) -> Point:
    return float(run.vertices[0][0]), float(run.vertices[0][1])


def _knots(runs: list[Run], levels: list[int], fit: float) -> tuple[list[Point], list[float]]:
    """Each knot on both curves that meet there, at a tangent junction of two arcs on the line of their centres; and how
    far that is off the polygon. A knot stays as found where that would be too far, or where a run asks for it."""
    knots, strays = [], []
    for number, after in enumerate(runs):
        before, knot = runs[number - 1], _found_knot(after)
        stray = 0.0
        if levels[number] == levels[number - 1] == _SNAPPED and (before.arc or after.arc):
            moved = _tangent_point(before.arc, after.arc, knot) if before.arc and after.arc else None
            moved = moved or _projected(knot, [arc for arc in (before.arc, after.arc) if arc])
            away = _stray(before, after, knot, moved)
            knot, stray = (moved, away) if away <= fit else (knot, 0.0)
        knots.append(knot)
        strays.append(stray)
    return knots, strays


def _stray(before: Run, after: Run, found: Point, moved: Point) -> float:
    """How far moving the knot takes it off the polygon, or leaves the polygon's own corner off the curves."""
    apart = hypot(found[0] - moved[0], found[1] - moved[1])
    to_polygon = off_chain(moved, np.vstack([before.vertices[-_NEAR:], after.vertices[1:_NEAR]]))
    to_curves = apart
    for run, near, sign in ((before, before.vertices[-2], 1.0), (after, after.vertices[1], -1.0)):
        along = sign * ((moved[0] - near[0]) * (found[0] - moved[0]) + (moved[1] - near[1]) * (found[1] - moved[1]))
        if sign * along <= 0 and run.arc is not None:  # the corner lies beside this curve, not beyond its end
            radial = abs(hypot(found[0] - run.arc.x, found[1] - run.arc.y) - run.arc.radius)
            to_curves = min(to_curves, radial)
    return max(to_polygon, to_curves)


def _tangent_point(a: Fit, b: Fit, knot: Point) -> Point | None:
    apart = hypot(b.x - a.x, b.y - a.y)
    if apart < 1e-6 or min(abs(apart - a.radius - b.radius), abs(apart - abs(a.radius - b.radius))) > ARC_FIT:
        return None
    x, y = (b.x - a.x) / apart * a.radius, (b.y - a.y) / apart * a.radius
    places = [(a.x + x, a.y + y), (a.x - x, a.y - y)]
    best = min(places, key=lambda place: hypot(place[0] - knot[0], place[1] - knot[1]))
    return best if hypot(best[0] - knot[0], best[1] - knot[1]) <= _KNOT_MOVES else None


def _projected(knot: Point, arcs: list[Fit]) -> Point:
    """Onto the curves where they cross, unless that is farther off than chords can have put the knot."""
    x, y = knot
    for _ in range(_PROJECTIONS if len(arcs) > 1 else 1):
        for arc in arcs:
            away = hypot(x - arc.x, y - arc.y)
            x, y = arc.x + (x - arc.x) / away * arc.radius, arc.y + (y - arc.y) / away * arc.radius
    return (x, y) if hypot(x - knot[0], y - knot[1]) <= 2 * ARC_FIT else knot


# -- as it will be written -------------------------------------------------------------------------------------


def _joined(runs: list[Run], knots: list[Point]) -> tuple[Loop, float]:
    """The loop and its deviation; an arc of more than half a circle is split in its middle."""
    points: list[Point] = []
    bulges: list[float] = []
    worst = 0.0
    for run, start, end in zip(runs, knots, knots[1:] + knots[:1], strict=True):
        worst = max(worst, _written_off(run, start, end))
        points.append(start)
        if run.arc is None:
            bulges.append(0.0)
        elif (sweep := _sweep(run, start, end)) <= _HALF:
            bulges.append(_bulge(run, start, end, sweep))
        else:
            middle = _middle(run, start, sweep)
            points.append(middle)
            bulges += [_bulge(run, start, middle, sweep / 2), _bulge(run, middle, end, sweep / 2)]
    return Loop(tuple(points), tuple(bulges)), worst


def _sweep(run: Run, start: Point, end: Point) -> float:
    """Turn from knot to knot in radians, always positive."""
    arc = run.arc
    assert arc is not None
    a, b = atan2(start[1] - arc.y, start[0] - arc.x), atan2(end[1] - arc.y, end[0] - arc.x)
    return (b - a) % (2 * pi) if run.ccw else (a - b) % (2 * pi)


def _bulge(run: Run, start: Point, end: Point, sweep: float) -> float:
    """The bulge that gives exactly the arc's radius between two knots."""
    arc = run.arc
    assert arc is not None
    half = min(1.0, hypot(end[0] - start[0], end[1] - start[1]) / (2 * arc.radius))
    # asin is blind near half a circle; there the sweep itself is the better measure.
    turn = asin(half) if sweep < 0.9 * pi else sweep / 2
    bulge = min(1.0, tan(turn / 2))
    return bulge if run.ccw else -bulge


def _written_off(run: Run, start: Point, end: Point) -> float:
    """How far the run's vertices and chord midpoints lie off the segment, or the two, between the knots."""
    if run.arc is None:
        return off_line(run.vertices)
    sweep = _sweep(run, start, end)
    if abs(sweep - _sweep(run, _point(run.vertices[0]), _point(run.vertices[-1]))) > 1.0:
        return inf  # the knots have passed each other: the arc would go the long way round
    if sweep <= _HALF:
        return _off_arc(run, start, end, sweep, run.vertices)
    middle = _middle(run, start, sweep)
    spokes = np.hypot(run.vertices[:, 0] - middle[0], run.vertices[:, 1] - middle[1])
    halfway = min(max(int(np.argmin(spokes)), 1), len(run.vertices) - 2)
    first, last = run.vertices[: halfway + 1], run.vertices[halfway:]
    return max(_off_arc(run, start, middle, sweep / 2, first), _off_arc(run, middle, end, sweep / 2, last))


def _off_arc(run: Run, start: Point, end: Point, sweep: float, vertices: Array) -> float:
    bulge = _bulge(run, start, end, sweep)
    (x0, y0), (x1, y1) = start, end
    offset = (1 - bulge * bulge) / (4 * bulge)
    radius = hypot(x1 - x0, y1 - y0) * (1 + bulge * bulge) / (4 * abs(bulge))
    return off_circle(Fit((x0 + x1) / 2 - (y1 - y0) * offset, (y0 + y1) / 2 + (x1 - x0) * offset, radius), vertices)


def _middle(run: Run, start: Point, sweep: float) -> Point:
    """Where an arc of more than half a circle is split."""
    arc = run.arc
    assert arc is not None
    turn = atan2(start[1] - arc.y, start[0] - arc.x) + (sweep if run.ccw else -sweep) / 2
    return arc.x + arc.radius * cos(turn), arc.y + arc.radius * sin(turn)


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])


def _fit_of(circle: Circle) -> Fit:
    return Fit(circle.center[0], circle.center[1], circle.radius)


def _settled(loop: Loop) -> Loop:
    """Start at the lowest of the leftmost vertices, so that the same shape always gives the same file."""
    first = min(range(len(loop.points)), key=lambda at: (round(loop.points[at][0], 6), round(loop.points[at][1], 6)))
    return Loop(loop.points[first:] + loop.points[:first], loop.bulges[first:] + loop.bulges[:first])


# -- what the user's numbers name ------------------------------------------------------------------------------


def corner_radii(corner: float, grow: float) -> KnownArcs:
    """Radii of rounded corners, outward and inward ones, after every edge has moved outward by `grow`."""
    return KnownArcs((), tuple(radius for radius in (corner + grow, abs(corner - grow), abs(grow)) if radius > 0))


def loop_radii(points: tuple[Point, ...], bulges: tuple[float, ...], grow: float) -> tuple[float, ...]:
    """Radii of the arcs of a loop after every edge has moved outward by `grow`, to either side."""
    radii = {round(one.radius, 9) for one in Loop(points, bulges).segments() if one.bulge}
    return tuple(sorted(radius + side * grow for radius in radii for side in (1, -1)))


def merged(known: Sequence[KnownArcs]) -> KnownArcs:
    """All circles and radii together."""
    circles = tuple(circle for one in known for circle in one.circles)
    return KnownArcs(circles, tuple(radius for one in known for radius in one.radii))
