"""What belongs together in a drawing and is not the part: dimensions, centre lines, bend lines, title block, frame.

Group   all of one such kind: how many, where the first lies, what speaks for it, and the word that leaves it out.

It is offered and never left out unasked: a part may look like anything.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.plane import Point
from gasketcut.received.faults.flaw import Flaw

GROUPS = {
    "dimensions": "dimension",
    "centre-lines": "centre line",
    "bend-lines": "bend line",
    "title-block": "title block",
    "frame": "frame",
}
"""Kind and word of `--drop`, and what one of it is called."""


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

    @property
    def called(self) -> str:
        """How many of what."""
        return f"{self.count} {GROUPS[self.kind]}{'' if self.count == 1 else 's'}"
