"""Which faults are there only because of a group: those that vanish without it, each with the group nearest to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from gasketcut.arrays import Array
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.groups.group import Group
from gasketcut.received.groups.recognised import Recognised
from gasketcut.received.reading.drawn_lines import DrawnLines
from gasketcut.received.reading.plane import Plane

_ENDS = ("open", "branch")
"""Faults of an end: that of a line of the group, not a line that another one crosses there."""


def groups_of(recognised: Sequence[Recognised], plane: Plane) -> tuple[Group, ...]:
    """As they are handed out, with places in the file's own numbers."""
    return tuple(Group(one.kind, one.count, plane.back(one.at), one.says, one.kind) for one in recognised)


def explained(
    recognised: Sequence[Recognised],
    groups: Sequence[Group],
    found: DrawnLines,
    plane: Plane,
    flaws: Sequence[Flaw],
    without: Sequence[Flaw],
) -> tuple[Group, ...]:
    """The groups with their faults.

    flaws   : of the drawing as it is
    without : of the drawing without all these groups
    """
    left = Counter((flaw.kind, flaw.at) for flaw in without)
    gone = []
    for flaw in flaws:
        if left[flaw.kind, flaw.at] > 0:
            left[flaw.kind, flaw.at] -= 1
        elif flaw.at is not None:
            gone.append(flaw)
    if not gone:
        return tuple(groups)
    places = np.array(shapely.points(np.array([plane(*flaw.at) for flaw in gone if flaw.at is not None])))
    of_ends = np.array([flaw.kind in _ENDS for flaw in gone])
    off = np.array([_distances(one, found, places, of_ends) for one in recognised])
    nearest = np.argmin(off, axis=0).tolist()
    return tuple(
        replace(group, flaws=tuple(flaw for flaw, one in zip(gone, nearest, strict=True) if one == n))
        for n, group in enumerate(groups)
    )


def _distances(one: Recognised, found: DrawnLines, places: NDArray[np.object_], of_ends: NDArray[np.bool_]) -> Array:
    lines = [line for line in found.lines if line.number in one.numbers]
    drawn = [
        shapely.LineString([*(point for edge in line.segments for point in edge.points(0.005)), line.segments[-1].end])
        for line in lines
    ]
    points = [point for other in found.others if other.number in one.numbers for point in other.points]
    ends = [end for line in lines for end in (line.segments[0].start, line.segments[-1].end)]
    whole = shapely.GeometryCollection([*drawn, shapely.MultiPoint(points)])
    tips = shapely.MultiPoint(ends or points)
    result: Array = np.where(of_ends, shapely.distance(tips, places), shapely.distance(whole, places))
    return result
