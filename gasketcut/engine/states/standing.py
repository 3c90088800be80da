"""How high the cylinder stands, how sure that is, and what the engine is there with its +-.

Standing   thickness under the cylinder, the squish it gives, and how much higher it stands than when the engine was
           measured: least, likely, most at LEVEL.
+-         half the width at LEVEL of what is known of a figure; of a lopsided one the wider half.

Two things move a figure, each apart from the other: how high the cylinder stands (the gasket in place and the new one)
and how the readings scatter. Every figure rises or falls all the way with either, so its quantiles are its values at
their quantiles; where both move it (squish, velocity) the two halves add as the root of their squares.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot

from gasketcut.engine.squish.effects import State, read_otherwise, state_of
from gasketcut.engine.states.figures import figure_by_figure
from gasketcut.job.model import Engine
from gasketcut.length import Measured
from gasketcut.parts.stock import Range

NORMAL = 1.959963985
"""Standard deviations to either side that hold LEVEL of a normal distribution (0.975 quantile, tables agree)."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Least, likely, most at LEVEL [mm]; `scatter` is what of the squish comes from the readings alone, half its width.

    Compared with the day of the measurements the cylinder is `raised` by so much; below zero: lowered. Readings that
    contradict each other do not tell how sure they are: `is_sure` is False, and no +- is given.
    """

    fitted: Range
    squish: Range
    raised: Range
    scatter: float
    is_sure: bool = True

    @property
    def is_moved(self) -> bool:
        """Is it not sure how far the cylinder moved?"""
        return self.raised[0] < self.raised[2]


def as_measured(present: Measured, mean: Measured, *, is_sure: bool = True) -> Standing:
    """With the gasket that was in place; nothing has moved."""
    return Standing(_about(present), _about(mean), (0.0, 0.0, 0.0), NORMAL * mean.sigma, is_sure)


def as_fitted(fitted: Range, squish: Range, present: Measured, mean: Measured) -> Standing:
    """With something else under the cylinder.

    fitted : thickness of it; squish: what is left above the piston on the average, readings and all
    present, mean : gasket in place and squish when the engine was measured
    """
    old, new = NORMAL * present.sigma, fitted[1] - present.value
    raised = (new - hypot(fitted[1] - fitted[0], old), new, new + hypot(fitted[2] - fitted[1], old))
    return Standing(fitted, squish, raised, NORMAL * mean.sigma)


def state_at(engine: Engine | None, at: Standing) -> State:
    """The engine there, each figure with its +-. Raise `ValueError` if the chamber or a port does not survive it.

    At the very edge of what an engine survives (one end of the range is beyond it) no +- is given.
    """
    likely = state_of(engine, at.fitted[1], at.squish[1], at.raised[1])
    if not at.is_sure:
        return likely
    try:
        by_base = _half(likely, *(_raised(engine, at, end) if at.is_moved else likely for end in (0, 2)))
        read = [read_otherwise(engine, likely, at.squish[1] + way * at.scatter) for way in (-1, 1)]
        by_readings = _half(likely, *read)
    except ValueError:
        return likely
    found = figure_by_figure(hypot, by_base, by_readings)
    return replace(likely, plus_minus=replace(found, fitted=_wider(at.fitted), squish=_wider(at.squish)))


def _raised(engine: Engine | None, at: Standing, end: int) -> State:
    """At one end of how high the cylinder may stand; the readings as they are."""
    return state_of(engine, at.fitted[end], at.squish[1] + at.raised[end] - at.raised[1], at.raised[end])


def _half(likely: State, low: State, high: State) -> State:
    """The wider of the two halves, figure by figure."""
    return figure_by_figure(lambda middle, one, other: max(abs(one - middle), abs(other - middle)), likely, low, high)


def _wider(values: Range) -> float:
    return max(values[1] - values[0], values[2] - values[1])


def _about(length: Measured) -> Range:
    half = NORMAL * length.sigma
    return length.value - half, length.value, length.value + half
