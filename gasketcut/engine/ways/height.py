"""How a cylinder comes to be lowered or raised by so much: by its gasket, by its base, by a spacer, or two of them.

Step     a stack that the job's sheets allow, with its likely thickness when clamped. Without a sheet that may go under
         the cylinder any thickness can be had.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gasketcut.engine.stack.choices import Choice, Layer
from gasketcut.engine.ways.settings import LEAST

LEAST_BESIDE = 0.1
"""mm; for less nobody makes a spacer, or sets up a lathe when a gasket has come that near. Our choice."""

SAME = 1e-9
"""mm; a stack that differs by less is the one in place."""


@dataclass(frozen=True, slots=True)
class Step:
    """How thick it is when clamped [mm], sealant and all; the choice of the job's sheets that it is, if it is one."""

    fitted: float
    choice: Choice | None = None

    @property
    def layers(self) -> tuple[Layer, ...]:
        return self.choice.layers if self.choice else ()


@dataclass(frozen=True, slots=True)
class Height:
    """What is done for it [mm]: the gasket that lies there afterwards (None: as before), off the base, a spacer."""

    gasket: Step | None = None
    base: float = 0.0
    spacer: float = 0.0


def heights(lowered: float, present: float, may: Sequence[str], steps: Sequence[Step]) -> Iterator[Height]:
    """Every way to lower the cylinder by exactly that; a raise is below zero."""
    if abs(lowered) <= SAME:
        yield Height()
        return
    if "base cut" in may and lowered > LEAST:
        yield Height(base=lowered)
    if "spacer" in may and lowered <= -LEAST_BESIDE:
        yield Height(spacer=-lowered)
    if "gasket" not in may:
        return
    wanted = present - lowered
    stacks = sorted(steps, key=lambda one: one.fitted) if steps else [Step(wanted)] if wanted >= -SAME else [Step(0.0)]
    stacks = [one for one in stacks if abs(one.fitted - present) > SAME]
    yield from (Height(one) for one in stacks if abs(one.fitted - wanted) <= SAME)
    thicker = [one for one in stacks if one.fitted > wanted + LEAST]
    thinner = [one for one in stacks if one.fitted < wanted - LEAST]
    if "base cut" in may and thicker:
        # A base is not cut to go without a gasket where one can be had.
        least = next((one for one in thicker if one.layers), thicker[0])
        if least.fitted - wanted >= LEAST_BESIDE:
            yield Height(least, base=least.fitted - wanted)
    if "spacer" in may and (sealing := [one for one in thinner if one.layers]):
        most = sealing[-1]
        if wanted - most.fitted >= LEAST_BESIDE:
            yield Height(most, spacer=wanted - most.fitted)


def reached_by(present: float, steps: Sequence[Step]) -> list[float]:
    """How far the cylinder is lowered by each stack."""
    return [present - one.fitted for one in steps]
