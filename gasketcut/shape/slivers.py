"""Runs, and the tiny edges between them that booleans and offsets leave behind."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gasketcut.arrays import Array
from gasketcut.shape.circlefit import Fit, off_circle
from gasketcut.shape.runs import CROSSING, FEWEST, arc_of

SLIVER = 0.5
"""mm; a few edges together shorter than this may be leftovers of a boolean."""


@dataclass(frozen=True, slots=True)
class Run:
    """Vertices that one line (`arc` is None) or one arc stands for."""

    vertices: Array
    arc: Fit | None

    @property
    def ccw(self) -> bool:
        """Which way an arc turns: as its ends and its middle do."""
        a, b, c = self.vertices[0], self.vertices[len(self.vertices) // 2], self.vertices[-1]
        return bool((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) > 0)


def without_slivers(runs: list[Run], fit: float) -> list[Run]:
    """Runs that are one, made one; and a few tiny edges beside an arc, left behind by booleans and offsets, as its own.

    An edge between two arcs that touch lies across the place where they do: it is shared out there.
    """
    kept: list[Run] = []
    left = list(runs)
    while left:
        run = left.pop(0)
        before, after = (kept[-1] if kept else None), (left[0] if left else None)
        if before and (whole := _one_arc(before, run, fit)):
            kept[-1] = whole
        elif not _is_sliver(run):
            kept.append(run)
        elif before and before.arc and off_circle(before.arc, run.vertices) <= fit:
            kept[-1] = Run(np.vstack([before.vertices, run.vertices[1:]]), before.arc)
        elif after and after.arc and off_circle(after.arc, run.vertices) <= fit:
            left[0] = Run(np.vstack([run.vertices[:-1], after.vertices]), after.arc)
        elif before and after and (touch := _touch(before, run, after)) is not None:
            kept[-1] = Run(np.vstack([before.vertices, touch]), before.arc)
            left[0] = Run(np.vstack([touch, after.vertices]), after.arc)
        else:
            kept.append(run)
    return kept


def _one_arc(a: Run, b: Run, fit: float) -> Run | None:
    """Two neighbours that lie on one circle, as one run."""
    if a.arc is None or b.arc is None or abs(a.arc.radius - b.arc.radius) > 100 * fit:
        return None
    vertices = np.vstack([a.vertices, b.vertices[1:]])
    arc = arc_of(vertices, fit)
    return Run(vertices, arc) if arc else None


def _is_sliver(run: Run) -> bool:
    length = float(np.sum(np.hypot(*np.diff(run.vertices, axis=0).T)))
    return run.arc is None and len(run.vertices) < FEWEST and length < SLIVER


def _touch(before: Run, edge: Run, after: Run) -> Array | None:
    """The place on an edge between two arcs that lies on both, or None."""
    if before.arc is None or after.arc is None or len(edge.vertices) != 2:
        return None
    places = edge.vertices[0] + np.linspace(0, 1, 41)[1:-1, None] * (edge.vertices[1] - edge.vertices[0])
    off = [np.abs(np.hypot(*(places - (arc.x, arc.y)).T) - arc.radius) for arc in (before.arc, after.arc)]
    worst = np.maximum(*off)
    best = int(np.argmin(worst))
    return places[best] if worst[best] <= 2 * CROSSING else None
