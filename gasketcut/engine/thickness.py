"""Which base gasket gives the squish that is wanted.

Bare      the clearance with no gasket at all: measured less what was in place.
Needed    the fitted thickness that would give the target exactly: target less bare.
Band      from the user's floor to the user's ceiling; a choice counts if its likely squish lies within.
Choice    a stack of sheets with its fitted thickness and the squish it gives, each a range [least, likely, most].
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Any

from gasketcut.engine.readings import Squish, squish_of
from gasketcut.engine.sheet import fitted_thickness
from gasketcut.job.model import Job, Range, SquishSpec, Stock
from gasketcut.length import both

LAYERS = 3
"""Sheets in one stack. More slip on each other and leak (common practice)."""

HALF_BAND = 0.10
"""mm either side of the target when the job names no floor or ceiling. Our choice."""


@dataclass(frozen=True, slots=True)
class Layer:
    """So many sheets of one stock."""

    stock: str
    count: int


@dataclass(frozen=True, slots=True)
class Choice:
    """A stack, how thick it is when clamped and the squish it gives [mm]."""

    layers: tuple[Layer, ...]
    fitted: Range
    squish: Range

    @property
    def sheets(self) -> int:
        return sum(layer.count for layer in self.layers)

    @property
    def words(self) -> str:
        """The stack as a person says it."""
        return " + ".join(f"{layer.count} x {layer.stock}" for layer in self.layers) or "no gasket"


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """The answer. `choices` are sorted best first; `best` is None if no stack lands in the band."""

    squish: Squish
    present: float
    bare: float
    target: float
    band: tuple[float, float]
    needed: float
    choices: tuple[Choice, ...]
    best: Choice | None
    verdict: str

    def as_data(self) -> dict[str, Any]:
        """Plain data for the report."""
        return {
            "mean_mm": round(self.squish.mean.value, 4),
            "least_mm": round(self.squish.least, 4),
            "most_mm": round(self.squish.most, 4),
            "bare_mm": round(self.bare, 4),
            "target_mm": round(self.target, 4),
            "needed_fitted_mm": round(self.needed, 4),
            "verdict": self.verdict,
            "choices": [_choice(choice) for choice in self.choices],
        }


def thickness_of(job: Job) -> Thickness | None:
    """The answer for the job, or None if it has no `[squish]`."""
    spec = job.squish
    if spec is None:
        return None
    squish = squish_of(spec)
    bare = squish.mean.value - spec.gasket_present.value
    band = _band(spec)
    choices = sorted(
        (_choice_of(stack, bare, job) for stack in _stacks(job.stock)), key=lambda one: _rank(one, spec.target)
    )
    best = next((choice for choice in choices if band[0] <= choice.squish[1] <= band[1]), None)
    return Thickness(
        squish=squish,
        present=spec.gasket_present.value,
        bare=bare,
        target=spec.target,
        band=band,
        needed=spec.target - bare,
        choices=tuple(choices),
        best=best,
        verdict=_verdict(bare, spec.target, band, best),
    )


def _band(spec: SquishSpec) -> tuple[float, float]:
    low = spec.least if spec.least is not None else max(0.0, spec.target - HALF_BAND)
    return low, spec.most if spec.most is not None else max(2 * spec.target - low, spec.target)


def _stacks(stock: tuple[Stock, ...]) -> Iterator[tuple[tuple[Stock, int], ...]]:
    """All stacks of up to LAYERS sheets, none included."""
    for counts in product(*(range(min(sheet.sheets, LAYERS) + 1) for sheet in stock)):
        if sum(counts) <= LAYERS:
            yield tuple((sheet, count) for sheet, count in zip(stock, counts, strict=True) if count)


def _choice_of(stack: tuple[tuple[Stock, int], ...], bare: float, job: Job) -> Choice:
    beside = job.source.parent if job.source else None
    ranges = [(fitted_thickness(sheet, beside).range, count) for sheet, count in stack]
    low, likely, high = (sum(one[at] * count for one, count in ranges) for at in range(3))
    layers = tuple(Layer(sheet.name, count) for sheet, count in stack)
    return Choice(layers, (low, likely, high), (bare + low, bare + likely, bare + high))


def _rank(choice: Choice, target: float) -> tuple[float, int]:
    return round(abs(choice.squish[1] - target), 4), choice.sheets


def _verdict(bare: float, target: float, band: tuple[float, float], best: Choice | None) -> str:
    if best is not None:
        kind = "delete" if not best.layers else "sheet" if best.sheets == 1 else "stack"
        low, likely, high = best.squish
        return f"{kind}: {best.words} gives a squish of {both(likely)}, {low:.2f} to {high:.2f} mm"
    if bare > band[1]:
        return f"machine: no gasket does it; take off {both(bare - target)} at the base"
    return f"spacer: no gasket does it; needs a spacer of {both(target - bare)}"


def _choice(choice: Choice) -> dict[str, Any]:
    return {
        "layers": [{"stock": layer.stock, "count": layer.count} for layer in choice.layers],
        "fitted_mm": [round(value, 4) for value in choice.fitted],
        "squish_mm": [round(value, 4) for value in choice.squish],
    }
