"""What is wanted of the engine, as figures that a way reaches or misses.

Figure   one number of the engine by its key: `squish_mm`, `exhaust_deg`, `trapped` and so on.
Want     a figure from least to most; both alike where one value is wanted.
Off      how far a reached figure lies outside [same unit], above zero: too much.
Missed   the sum over all wants of how far each is off, counted in what a builder notices of it: so one want is given up
         for the others, as one does at the bench, and not a little of each. Our choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from gasketcut.engine.assumptions import NOTICED
from gasketcut.job.wanted import Wanted

FIGURES = (
    "squish_mm", "exhaust_deg", "transfer_deg", "intake_deg", "blowdown_deg", "trapped", "full", "cranking_psi",
    "chamber_cc",
)  # fmt: skip
"""In the order in which they are shown."""

OF_KEY = {
    "exhaust": "exhaust_deg",
    "transfer": "transfer_deg",
    "intake": "intake_deg",
    "blowdown": "blowdown_deg",
    "trapped": "trapped",
    "full": "full",
    "cranking_psi": "cranking_psi",
}
"""The figure of each key of `[wanted]`."""

MET = 1e-9
"""Of a wanted figure, as a share: nearer is met."""


@dataclass(frozen=True, slots=True)
class Want:
    """A figure from least to most."""

    figure: str
    low: float
    high: float

    @property
    def ends(self) -> tuple[float, ...]:
        """Least and most, or the one value."""
        return (self.low,) if self.low == self.high else (self.low, self.high)

    def off(self, reached: float) -> float:
        """How far it lies outside: above zero too much, below too little, 0 where it is met."""
        away = reached - self.low if reached < self.low else max(reached - self.high, 0.0)
        return 0.0 if abs(away) <= MET * max(1.0, abs(self.low)) else away

    def share(self, reached: float) -> float:
        """How far it is off, in what a builder notices."""
        return abs(self.off(reached)) / NOTICED[self.figure]


Wants = tuple[Want, ...]


def wants_of(wanted: Wanted, squish: float) -> Wants:
    """The squish that is wanted [mm] first, then what `[wanted]` says."""
    said = [Want(OF_KEY[name], *between) for name, between in wanted.figures.items()]
    return (Want("squish_mm", squish, squish), *said)


def named(wants: Iterable[Want], figure: str) -> Want | None:
    """The want of that figure."""
    return next((one for one in wants if one.figure == figure), None)


def missed(wants: Wants, reached: Mapping[str, float]) -> dict[str, float]:
    """What is off, by figure: reached less wanted."""
    return {one.figure: off for one in wants if (off := one.off(reached[one.figure]))}
