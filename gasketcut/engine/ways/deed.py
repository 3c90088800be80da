"""What a builder does to the engine, one thing after another, and what is measured before the next.

Order      of the work: what gives clearance comes before what takes it, so that piston and head are at no time nearer
           than at the end; heights before edges, as an edge is marked with the cylinder where it will stay; the bowl
           last, by burette. Our choice.
Gentle     how far it can be taken back: a gasket is changed in an hour, a cut base never. Our choice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gasketcut.engine.stack.choices import Layer

DeedKind = Literal["gasket", "spacer", "raise", "lower", "widen", "bowl", "band cut", "base cut", "head cut"]

GENTLE: dict[DeedKind, int] = {
    "gasket": 0, "spacer": 1, "raise": 2, "lower": 2, "widen": 2, "bowl": 3, "band cut": 4, "base cut": 5,
    "head cut": 5,
}  # fmt: skip
"""Easiest to take back first."""

What = Literal["squish", "opens", "width", "chamber"]


@dataclass(frozen=True, slots=True)
class Measure:
    """What to measure once it is done, and what it should then be: mm, deg after (an intake: before) TDC, or cc; None
    where the job does not say enough."""

    what: What
    value: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """mm taken off or added; of a gasket the thickness that lies there afterwards; cc of a bowl.

    layers : of the gasket, where the job's own sheets make it
    """

    does: DeedKind
    measure: Measure
    port: str | None = None
    mm: float | None = None
    cc: float | None = None
    layers: tuple[Layer, ...] = ()

    @property
    def word(self) -> str:
        """As it stands in the name of a way."""
        return self.port or self.does
