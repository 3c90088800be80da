"""What belongs together in a drawing and is not the part: dimensions, centre lines, bend lines, title block, frame.

Group   all of one such kind: how many, where the first lies, what speaks for it, and the word that leaves it out.

It is offered and never left out unasked: a part may look like anything.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.plane import Point
from gasketcut.received.faults.flaw import Flaw

GROUPS = {
    "dimensions": "dimensions",
    "centre-lines": "centre lines",
    "bend-lines": "bend lines",
    "title-block": "a title block",
    "frame": "a frame",
}
"""Kind and word of `--drop`, and how it is called in a sentence."""


@dataclass(frozen=True, slots=True)
class Group:
    """What looks like one kind of thing that is not cut.

    count : how many dimensions, lines or blocks
    at    : where the first lies, in the file's own coordinates
    says  : what speaks for it
    drop  : the value of `--drop` that leaves it out
    flaws : faults that are there only because of it
    """

    kind: str
    count: int
    at: Point
    says: str
    drop: str
    flaws: tuple[Flaw, ...] = ()
