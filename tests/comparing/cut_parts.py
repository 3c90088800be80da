"""A gasket as it was cut: its edges as a picture would show them, wrong by what a test says."""

from __future__ import annotations

import numpy as np
from shapely import affinity
from shapely.geometry import Polygon, box

from gasketcut.comparing.cut.cut_edges import CutEdge, CutEdges
from gasketcut.comparing.edges import evenly
from gasketcut.comparing.placing import Placing
from gasketcut.shape.loop import Circle, Outline
from tests.comparing.parts import outline, rounded_plate

STEP = 0.07  # mm between the places of an edge, as at 300 dpi
GASKET = outline(rounded_plate(60.0, 64.0, 9.0).moved(-30.0, -32.0), Circle((0.0, 0.0), 23.0),
                 *(Circle((x, y), r) for x, y, r in
                   ((-23.5, -25.5, 2.75), (23.5, -25.5, 2.75), (23.5, 25.5, 2.75), (-23.5, 25.5, 2.0))))  # fmt: skip
"""All but symmetric: one hole is narrower than the other three."""


JOB = """
title = "cut right?"
units = "mm"
[[stock]]
name = "paper"
thickness = 0.5
[[part]]
name = "carb-gasket"
kind = "intake"
stock = "paper"
outline = { rectangle = [60.0, 64.0], corner = 9.0 }
opening = { round = 46.0 }
studs = [{ at = [[-23.5, -25.5], [23.5, -25.5], [23.5, 25.5]], diameter = 5.5, stud_diameter = 5.0 }]
holes = [{ at = [[-23.5, 25.5]], diameter = 4.0 }]
absent = ["oil", "water", "impulse", "drain", "dowel"]
[[part.port]]
name = "intake"
shape = { round = 44.0 }
face = "cylinder"
"""
"""The same gasket as a part of a job."""


def cut_as(drawn: Outline, *, offset=0.0, stretch=(0.0, 0.0), moved=None, notch=None, tab=None, left_out=(), more=(),
           placing=Placing(), noise=0.003, scale=0.0004, seed=1):  # fmt: skip
    """`moved` by the number of the hole; `notch` and `tab` boxes taken off and added; `left_out` numbers of holes that
    were not cut, `more` circles that nobody drew; `placing` takes the drawing to the picture."""
    chance = np.random.default_rng(seed)
    moved = moved or {}

    def edge(shape):
        ring = np.array(shape.exterior.coords)[:-1]
        ring = evenly(ring, max(24, round(shape.exterior.length / STEP)))
        return placing(ring + chance.normal(0, noise, ring.shape))

    def stretched(shape):
        return affinity.scale(shape, 1 + stretch[0], 1 + stretch[1], origin=(0, 0))

    outer = stretched(Polygon(drawn.outer.flattened(0.0005))).buffer(offset, quad_segs=128)
    outer = outer.difference(box(*notch)) if notch else outer
    outer = outer.union(box(*tab)) if tab else outer
    inner = []
    for number, hole in enumerate(drawn.inner):
        if number in left_out:
            continue
        dx, dy = moved.get(number, (0.0, 0.0))
        shape = stretched(Polygon(hole.flattened(0.0005))).buffer(-offset, quad_segs=128)
        ring = edge(affinity.translate(shape, dx, dy))
        inner.append(_seen(ring, round_=isinstance(hole, Circle)))
    inner += [_seen(edge(Polygon(one.flattened(0.0005))), round_=True) for one in more]
    return CutEdges(CutEdge(edge(outer)), tuple(inner), np.diag([scale**2, scale**2, 0.0]), 0.005, 0.0)


def _seen(ring, *, round_):
    if not round_:
        return CutEdge(ring)
    shape = Polygon(ring)
    middle = shape.centroid
    radius = float(np.hypot(*(ring - (middle.x, middle.y)).T).mean())
    return CutEdge(ring, Circle((float(middle.x), float(middle.y)), radius), 0.004)
