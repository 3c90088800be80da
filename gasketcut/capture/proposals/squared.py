"""What lines and arcs of an outline may be meant to be: radii alike or round, edges parallel or square."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, degrees, dist, hypot, pi, radians, sin

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import Curve, Line
from gasketcut.capture.edges.fitted_edge import FittedEdge, refit_edge
from gasketcut.capture.proposals.offers import NEAR, Proposal, round_value
from gasketcut.shape.circlefit import Fit

_ALIKE = 0.25
"""mm between radii that may be meant to be one: a short arc leaves its radius uncertain. Our choice."""

_SQUARE = 0.4
"""Degrees by which an edge may be off. Our choice."""


def outline_proposals(outline: FittedEdge, sigma: float, number: int) -> list[Proposal]:
    """Offered for an outline of runs; `holes` then are numbers of its curves."""
    if outline.runs is None:
        return []
    found = []
    for group in _groups(outline.runs.curves):
        radii = [_radius(outline.runs.curves[n]) for n in group]
        mean = float(np.mean(radii))
        if len(group) > 1:
            text = f"{len(group)} arcs of radius {min(radii):.3f} to {max(radii):.3f} mm: all {mean:.3f}"
            found.append(Proposal("equal-radii", text, tuple(group), mean, part=number))
        value, name = round_value(mean)
        if 1e-9 < abs(value - mean) <= NEAR + 2 * sigma * mean:
            found.append(Proposal("round-radius", f"radius {mean:.3f} mm: {name}", tuple(group), value, part=number))
    lines = [n for n, curve in enumerate(outline.runs.curves) if isinstance(curve, Line)]
    if len(lines) > 1:
        way = _main_way(outline, lines)
        off = {n: _off_square(outline.runs.curves[n], way) for n in lines}
        near = tuple(n for n in lines if abs(off[n]) <= _SQUARE)
        worst = max((abs(off[n]) for n in near), default=0.0)
        if len(near) > 1 and worst > 1e-6:
            text = f"{len(near)} edges are parallel or square to each other within {worst:.2f} deg: exactly so"
            found.append(Proposal("square", text, near, way, part=number))
    return found


def with_accepted(outline: FittedEdge, ring: Array, accepted: list[Proposal]) -> FittedEdge:
    """The outline with the curves that were accepted: an arc keeps the point in its middle, a line its own middle."""
    if outline.runs is None or not accepted:
        return outline
    curves: list[Curve] = list(outline.runs.curves)
    for one in accepted:
        for n in one.holes:
            curve, middle = curves[n], outline.runs.middles[n]
            if one.value is None:
                continue
            if isinstance(curve, Fit) and one.kind in ("equal-radii", "round-radius"):
                away = hypot(curve.x - middle[0], curve.y - middle[1])
                share = one.value / away
                x, y = middle[0] + (curve.x - middle[0]) * share, middle[1] + (curve.y - middle[1]) * share
                curves[n] = Fit(x, y, one.value)
            elif isinstance(curve, Line) and one.kind == "square":
                turn = radians(degrees(atan2(curve.dy, curve.dx)) - _off_square(curve, one.value))
                curves[n] = replace(curve, dx=cos(turn), dy=sin(turn))
    return refit_edge(outline, ring, curves)


def _radius(curve: Curve) -> float:
    return curve.radius if isinstance(curve, Fit) else 0.0


def _groups(curves: tuple[Curve, ...]) -> list[list[int]]:
    order = sorted((n for n, curve in enumerate(curves) if isinstance(curve, Fit)), key=lambda n: _radius(curves[n]))
    groups: list[list[int]] = []
    for n in order:
        if groups and _radius(curves[n]) - _radius(curves[groups[-1][0]]) <= _ALIKE:
            groups[-1].append(n)
        else:
            groups.append([n])
    return groups


def _main_way(outline: FittedEdge, lines: list[int]) -> float:
    """Direction to which most of the edges' length is parallel or square [deg, 0 to 90]."""
    assert outline.runs is not None
    joints = outline.runs.joints()
    total = 0j
    for n in lines:
        curve = outline.runs.curves[n]
        assert isinstance(curve, Line)
        length = dist(joints[n], joints[(n + 1) % len(joints)])
        total += length * np.exp(4j * atan2(curve.dy, curve.dx))  # a quarter of a turn is the same
    return float(np.angle(total)) / 4 * 180 / pi % 90


def _off_square(curve: Curve, way: float) -> float:
    """Degrees from the nearest of the four directions."""
    assert isinstance(curve, Line)
    return (degrees(atan2(curve.dy, curve.dx)) - way + 45) % 90 - 45
