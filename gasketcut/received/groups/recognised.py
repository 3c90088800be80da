"""What the recognisers hand back: which things are taken for what, and why."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.plane import Point


@dataclass(frozen=True, slots=True)
class Recognised:
    """`numbers` of the things drawn, `count` of dimensions, lines or blocks, the place of the first [mm]."""

    kind: str
    numbers: frozenset[int]
    count: int
    at: Point
    says: str


def counted(*counts: tuple[int, str]) -> str:
    """What there is of each, in words.

    >>> counted((2, "arrowhead"), (0, "text"), (1, "line"))
    '2 arrowheads, 1 line'
    """
    return ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts if count)
