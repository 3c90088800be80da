"""The sheet that is photographed under a part: dots of known place round a free middle, and two bars to measure.

Dots    6 mm wide, 12 mm apart, two rows round the edge; at three corners 10 mm, at the fourth 8 mm, so that it is known
        which way up and round the picture was taken.
Frame   x to the right, y up, the corner dot at the lower left is (0, 0). It goes on A4 and Letter alike.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.plane import Point

PITCH, DOT, LARGE, SMALL = 12.0, 6.0, 10.0, 8.0
COLUMNS, ROWS, DEEP = 16, 22, 2
SIZE = ((COLUMNS - 1) * PITCH, (ROWS - 1) * PITCH)
"""From the first to the last dot [mm]."""

BAR = 100.0
BARS = (((40.0, 30.0), (40.0 + BAR, 30.0)), ((30.0, 76.0), (30.0, 76.0 + BAR)))
"""Where the bars lie: one along, one across."""

FREE = (36.0, 36.0, SIZE[0] - 24.0, SIZE[1] - 24.0)
"""Left, low, right, high of the middle in which the part lies; what is elsewhere belongs to the sheet."""


@dataclass(frozen=True, slots=True)
class Dot:
    """Its place and its width [mm]."""

    at: Point
    width: float


def dots() -> tuple[Dot, ...]:
    """All of them, row by row."""
    corners = {(0, 0): LARGE, (COLUMNS - 1, 0): LARGE, (0, ROWS - 1): LARGE, (COLUMNS - 1, ROWS - 1): SMALL}
    return tuple(
        Dot((column * PITCH, row * PITCH), corners.get((column, row), DOT))
        for row in range(ROWS)
        for column in range(COLUMNS)
        if column < DEEP or row < DEEP or column >= COLUMNS - DEEP or row >= ROWS - DEEP
    )
