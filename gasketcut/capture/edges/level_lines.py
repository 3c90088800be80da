"""Lines along which a picture has one level, closed or from rim to rim.

A large picture is looked at in bands of rows, as the library holds each number in eight bytes and more: neighbouring
bands share a row, so lines that leave one go on in the next at the very same point.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.image.picture_file import Light
from gasketcut.errors import GasketError

_AT_ONCE = 6_000_000
"""Pixels of a band. Our choice: 600 dpi A4 then stays well under 1 GB."""

_FEWEST = 8
"""Points of a line that is looked at."""


def level_lines(values: Array | Light, level: float) -> list[Array]:
    """Of eight points or more, shape (n, 2), x and y; a closed one ends where it begins."""
    try:
        from contourpy import contour_generator
    except ImportError as error:
        raise GasketError("tracing needs contourpy: pip install 'gasketcut[capture]'") from error
    rows = max(2, _AT_ONCE // values.shape[1])
    found: list[Array] = []
    for first in range(0, values.shape[0] - 1, rows):
        for line in contour_generator(z=values[first : first + rows + 1]).lines(level):
            points = np.asarray(line, dtype=float)
            points[:, 1] += first
            found.append(points)
    if values.shape[0] - 1 > rows:
        closed = [line for line in found if is_closed(line)]
        found = closed + _joined([line for line in found if not is_closed(line)])
    return [line for line in found if len(line) >= _FEWEST]


def is_closed(line: Array) -> bool:
    """Ends where it begins."""
    return bool(np.hypot(*(line[0] - line[-1])) < 1e-9)


def _joined(lines: Sequence[Array]) -> list[Array]:
    """Each goes on where it ends and another begins; all have the brighter side on the same hand."""
    starting = {_key(line[0]): n for n, line in enumerate(lines)}
    follows = {n: starting.get(_key(line[-1])) for n, line in enumerate(lines)}
    begun = set(range(len(lines))) - set(follows.values())
    done: list[Array] = []
    left = set(range(len(lines)))
    for first in [*sorted(begun), *range(len(lines))]:  # those from rim to rim, then the closed ones
        if first not in left:
            continue
        chain: list[Array] = []
        here = first
        while here in left:
            left.remove(here)
            chain.append(lines[here] if not chain else lines[here][1:])
            following = follows[here]
            if following is None:
                break
            here = following
        done.append(np.vstack(chain))
    return done


def _key(point: Array) -> tuple[float, float]:
    return round(float(point[0]), 6), round(float(point[1]), 6)
