"""Names of what is found in a part: in columns from the left, each from the top, whatever the scale is."""

from __future__ import annotations

from collections.abc import Sequence

from gasketcut.plane import Point

_COLUMN = 1 / 400
"""Of the part's size: what lies no further right than this from its neighbour stands in one column with it. A share and
no length, so that the same picture has the same letters by every scale. Our choice."""


def from_the_left(places: Sequence[Point], size: float) -> list[int]:
    """The order of the places, by number.

    size : of the part, in the places' unit
    """
    order = sorted(range(len(places)), key=lambda n: places[n])
    columns: list[list[int]] = []
    for n in order:
        if columns and places[n][0] - places[columns[-1][-1]][0] <= _COLUMN * size:
            columns[-1].append(n)
        else:
            columns.append([n])
    return [n for column in columns for n in sorted(column, key=lambda n: -places[n][1])]


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ...

    >>> letter(0), letter(25), letter(26)
    ('A', 'Z', 'AA')
    """
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
