"""Equal holes of a part: studs, dowels and plain ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gasketcut.checked import Checked, Margin, Problem, Size
from gasketcut.plane import Point

DRY_THREAD = 0.2
"""Torque coefficient of a dry thread, counted where the job says none (a fastener chart's notes)."""


@dataclass(frozen=True, slots=True)
class Holes(Checked):
    """Equal holes.

    diameter   of a round hole, or the width of a slot
    stud       diameter of what goes through, if it is known
    length     over all, of a slot lying in the direction `turn`; None for a round hole
    tolerance  how far the stud itself may stand off its place, any way [mm]
    face       of which face of the metal they are; None: they are the sheet's own and are cut
    torque_nm  of each bolt, with its torque coefficient k
    measured   names of holes in `[measure]` whose places these are; `at` then comes from there
    """

    at: tuple[Point, ...]
    diameter: Size
    stud: Size | None = None
    size: str | None = None
    length: Size | None = None
    turn: float = 0.0
    tolerance: Margin = 0.0
    face: str | None = None
    torque_nm: float | None = None
    k: float = DRY_THREAD
    measured: tuple[str, ...] = ()

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        if self.stud is not None and self.stud > self.diameter:
            yield None, f"a stud of {self.stud:g} mm does not go through a hole of {self.diameter:g} mm"
        if self.length is not None and self.length < self.diameter:
            yield "slot", f"its length {self.length:g} is below its width {self.diameter:g}; write [length, width]"
