"""Centre lines by their look alone: two lines square to each other through the middle of a circle, all ends free."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gasketcut.received.groups.recognised import Recognised, counted
from gasketcut.received.groups.strokes import TOUCH, Strokes
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.not_cut import NotCut

_SQUARE = np.sin(np.radians(1.0))
_MOST_CIRCLES = 2000


def crosses_of(lines: Sequence[DrawnLine], _: Sequence[NotCut], strokes: Strokes) -> Recognised | None:
    """All such crosses, those of four lines with a gap in the middle too, or None."""
    loose = np.flatnonzero(strokes.free.all(axis=1))
    circles = [line.circle for line in lines if line.circle is not None][:_MOST_CIRCLES] if len(loose) > 1 else []
    found: set[int] = set()
    marked = 0
    for circle in circles:
        middle = np.array(circle.center)
        near = strokes.near(middle, 1.05 * circle.radius)
        near = near[np.isin(near, loose)]
        off = middle - strokes.ends[near, 0]
        along = strokes.along[near]
        through = near[np.abs(off[:, 0] * along[:, 1] - off[:, 1] * along[:, 0]) <= TOUCH + 0.002 * circle.radius]
        ways = strokes.along[through]
        square = (np.abs(ways @ ways.T) <= _SQUARE).any(axis=1) if len(through) else np.zeros(0, dtype=bool)
        marked += bool(square.any())
        found.update(through[square].tolist())
    if not found:
        return None
    numbers = frozenset(lines[strokes.owner[one]].number for one in found)
    x, y = strokes.ends[min(found)].mean(axis=0).tolist()
    says = f"{counted((len(numbers), 'line'))} square to each other through the middle of {counted((marked, 'circle'))}"
    return Recognised("centre-lines", numbers, len(numbers), (x, y), says)
