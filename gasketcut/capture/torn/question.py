"""What may be torn, as a question with a number; the sheet of the trace has a picture to each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gasketcut.arrays import Array
from gasketcut.plane import Point


@dataclass(frozen=True, slots=True)
class Question:
    """Nothing is done about it unless the user says so.

    part    : by its place among the parts
    kind    : an edge that is ragged, or a piece that is missing
    at      : a place in it, about the middle of the part [mm]
    reach   : how far it goes from there [mm]
    offered : the edges that would take its place, each of shape (n, 2)
    do      : what to write to have them
    """

    number: int
    part: int
    kind: Literal["torn", "missing"]
    text: str
    at: Point
    reach: float
    offered: tuple[Array, ...]
    do: tuple[str, ...]
