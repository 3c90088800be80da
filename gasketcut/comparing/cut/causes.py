"""What a cut part says of the tool: an offset that is the same all round, and a part that is stretched."""

from __future__ import annotations

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.cut.cut_comparison import CutComparison
from gasketcut.comparing.cut.worst_places import Strays
from gasketcut.tolerances import TWO_SIDED_95

_LEAST_OFFSET, _SPREAD = 0.02, 0.35
"""mm, and share of the offset by which the edge may wander and it still is the same all round; ours."""

_LEAST_STRETCH = 0.0008
"""Share; 0.05 mm on 60 mm. Less is no fault of a printer that anybody sets right. Our choice."""

WIDEST_KERF = 3.0
"""mm; no cutter of thin sheet takes away more, as in `[cutting]` of a job."""


def outline_offset(found: CutComparison) -> float:
    """How far the outer line lies outwards, by most of it, without what a stretch does [mm]."""
    return float(np.median(_unstretched(found, found.strays[0])))


def openings_offset(found: CutComparison) -> float | None:
    """How far the edges of holes and openings do, by most of them [mm]; None where there are none."""
    inner = [float(np.median(_unstretched(found, one))) for one in found.strays[1:]]
    return float(np.median(inner)) if inner else None


def _unstretched(found: CutComparison, one: Strays) -> Array:
    """How far out each place lies, but for the stretch."""
    if found.fit.stretch is None:
        return one.out
    result: Array = one.out - (one.way * (one.feet - found.centre)) @ np.array(found.fit.stretch)
    return result


def is_constant(found: CutComparison) -> bool:
    """Is the offset the same all round, outside and inside, and more than the picture's own uncertainty?"""
    offset, outer = found.fit.offset, _unstretched(found, found.strays[0])
    allowed = max(_LEAST_OFFSET, _SPREAD * abs(offset))
    wanders = 1.4826 * float(np.median(np.abs(outer - np.median(outer))))
    others = [outline_offset(found), *(one for one in (openings_offset(found),) if one is not None)]
    told = abs(offset) > max(_LEAST_OFFSET, TWO_SIDED_95 * found.offset_sigma)
    return told and wanders <= allowed and all(abs(one - offset) <= allowed for one in others)


def kerf_to_set(found: CutComparison, kerf: float | None) -> float | None:
    """The kerf with which the next part comes out as drawn [mm]; None where the offset is none that a kerf explains.

    kerf : that was set for this one
    """
    wanted = (kerf or 0.0) - 2 * found.fit.offset
    return wanted if is_constant(found) and 0 < wanted <= WIDEST_KERF else None


def stretch_told(found: CutComparison) -> tuple[float, float] | None:
    """By which share the part is larger along x and along y, where the picture can tell."""
    if found.fit.stretch is None:
        return None
    sure = [TWO_SIDED_95 * one for one in found.stretch_sigma]
    told = any(abs(share) > max(_LEAST_STRETCH, known) for share, known in zip(found.fit.stretch, sure, strict=True))
    return found.fit.stretch if told else None


def bars_of(stretch: tuple[float, float], bar: float = 100.0) -> tuple[float, float]:
    """What a bar of so many mm measures along x and along y on the print that it was cut by.

    >>> [round(one, 2) for one in bars_of((-0.003, 0.002))]
    [99.7, 100.2]
    """
    return bar * (1 + stretch[0]), bar * (1 + stretch[1])
