"""Crank angle and piston travel, exactly, for any rod and any offset of the wrist pin.

Throw    half the stroke that the maker gives: the radius of the crank pin's circle.
TDC      where the piston stands highest. With an offset that is not where the crank pin does; a degree wheel is set to
         zero at TDC, so every angle here counts from it.
Travel   how far the piston stands below TDC [mm].
After    on the way down, before: on the way up. Without an offset the two are alike.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import asin, atan2, degrees, floor, sqrt
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from gasketcut.job.model import Engine

if TYPE_CHECKING:
    from numpy.typing import NDArray

Numbers = TypeVar("Numbers", float, "NDArray[np.float64]")


@dataclass(frozen=True, slots=True)
class Crank:
    """A slider-crank: stroke, rod between its centres, pin offset [mm], positive toward the side of the down stroke."""

    stroke: float
    rod: float
    offset: float = 0.0

    def __post_init__(self) -> None:
        if self.rod - abs(self.offset) <= self.throw:
            raise ValueError(f"a rod of {self.rod:g} mm cannot turn on a throw of {self.throw:g} mm")

    @property
    def throw(self) -> float:
        return self.stroke / 2

    @property
    def tdc(self) -> float:
        """Crank angle at TDC, from the bore axis [rad]."""
        return asin(self.offset / (self.rod + self.throw))

    @property
    def full_travel(self) -> float:
        """From TDC to BDC [mm]; the stroke itself when there is no offset."""
        return sqrt((self.rod + self.throw) ** 2 - self.offset**2) - sqrt((self.rod - self.throw) ** 2 - self.offset**2)

    @property
    def bdc(self) -> float:
        """Degrees after TDC at which the piston stands lowest; 180 when there is no offset."""
        return 180.0 + float(np.degrees(asin(self.offset / (self.rod - self.throw)) - self.tdc))

    def travel(self, degrees: Numbers) -> Numbers:
        """Travel [mm] at an angle after TDC [deg]; negative angles are before TDC.

        x = h(TDC) - h(TDC + a), h(t) = r cos t + sqrt(L^2 - (r sin t - e)^2), written as products so that nothing is
        lost near TDC. Source: the law of Pythagoras on crank, rod and bore.

        Example, a tuner's handbook (quoted and worked in a forum): stroke 60, rod 120, 18.84 deg is 2.0 mm.

        >>> round(float(Crank(60.0, 120.0).travel(18.84)), 2)
        2.0
        """
        r, rod, e, first = self.throw, self.rod, self.offset, self.tdc
        half = np.radians(degrees) / 2
        last = first + 2 * half
        sine = np.sin(half)
        rise = 2 * r * np.sin(first + half) * sine
        side0, side1 = r * np.sin(first) - e, r * np.sin(last) - e
        roots = np.sqrt(rod**2 - side0**2) + np.sqrt(rod**2 - side1**2)
        result: Numbers = rise + 2 * r * np.cos(first + half) * sine * (side0 + side1) / roots
        return result

    def speed(self, degrees: Numbers) -> Numbers:
        """Change of travel with the angle [mm/rad]."""
        r, rod, e = self.throw, self.rod, self.offset
        turn = self.tdc + np.radians(degrees)
        side = r * np.sin(turn) - e
        result: Numbers = r * np.sin(turn) + side * r * np.cos(turn) / np.sqrt(rod**2 - side**2)
        return result

    def after(self, travel: float) -> float:
        """Degrees after TDC at which the piston has come down by `travel` [mm], exact to 1e-9.

        Within 0.1 deg of BDC the travel itself says no more: its last digit is worth up to 1e-6 deg there.

        Raise `ValueError` outside the stroke.

        >>> round(Crank(57.0, 110.0).after(31.5), 2)
        88.48
        """
        return self._angle(travel, side=1)

    def before(self, travel: float) -> float:
        """Degrees before TDC at which the piston still stands `travel` [mm] below it, on the way up."""
        return self._angle(travel, side=-1)

    def travel_between(self, degrees: float) -> float:
        """The travel that the piston passes twice with so many degrees round TDC in between [mm]."""
        low, high = 0.0, self.full_travel
        for _ in range(80):  # halving: the two strokes differ under an offset, so there is no closed form
            middle = (low + high) / 2
            if self.after(middle) + self.before(middle) < degrees:
                low = middle
            else:
                high = middle
        return (low + high) / 2

    def travel_marks(self) -> Iterator[tuple[float, float, float]]:
        """Travel [mm] and its turns after and before TDC (negative): every mm of the stroke, below 5 mm every half."""
        for half in range(1, 2 * floor(self.full_travel + 1e-9) + 1):
            travel = half / 2
            if half % 2 == 0 or travel < 5:
                yield travel, self.after(travel), -self.before(travel)

    def stop_turns(self, between: float) -> tuple[float, float]:
        """Readings after and before TDC at a stop whose readings are `between` degrees apart, with the wheel set true.

        Half and half without a pin offset; with one the stop is the travel whose two angles add up to that.

        >>> Crank(40.0, 80.0).stop_turns(60.0)
        (30.0, 30.0)
        """
        if self.offset == 0:
            return between / 2, between / 2
        travel = self.travel_between(between)
        return self.after(travel), self.before(travel)

    def _angle(self, travel: float, *, side: int) -> float:
        full = self.full_travel
        if not -1e-9 * full <= travel <= full * (1 + 1e-12):
            raise ValueError(f"a travel of {travel:.3f} mm lies outside the stroke of {full:.3f} mm")
        if travel <= 0:
            return 0.0
        r, rod, e = self.throw, self.rod, self.offset
        top, low = sqrt((rod + r) ** 2 - e**2), sqrt((rod - r) ** 2 - e**2)
        height = top - travel
        away = sqrt(height**2 + e**2)
        # The half-angle form of the law of cosines. Its differences rod + r - away and away - (rod - r) are written as
        # products with what is left to either dead centre, so that nothing is lost near them.
        straight = travel * (top + height) / (rod + r + away) * (rod + away - r)
        folded = max(full - travel, 0.0) * (height + low) / (away + rod - r) * (away + r + rod)
        swing = 2 * atan2(sqrt(straight), sqrt(folded))
        return abs(degrees(atan2(e, height) + side * swing - self.tdc))


def crank_of(engine: Engine) -> Crank | None:
    """The crank, if stroke and rod are known."""
    return Crank(engine.stroke, engine.rod, engine.pin_offset) if engine.stroke and engine.rod else None
