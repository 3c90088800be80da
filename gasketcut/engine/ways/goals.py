"""The wants as lengths and volumes: where an edge would have to lie, how much chamber there would have to be.

Roofs of exhaust and transfer, and an intake's edge, as travel [mm]; ratios less one, of which volumes follow.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.engine.ports.timing import travel_for_duration
from gasketcut.engine.ways.point import Angles
from gasketcut.engine.ways.stand import Stand, as_trapped
from gasketcut.engine.ways.wants import Wants, named


@dataclass(frozen=True, slots=True, kw_only=True)
class Goals:
    """Each as the ends of what is wanted; empty where it is not wanted. `squish` is None where none is wanted."""

    squish: float | None = None
    exhaust: tuple[float, ...] = ()
    transfer: tuple[float, ...] = ()
    intake: tuple[float, ...] = ()
    blowdown: tuple[float, ...] = ()
    trapped: tuple[float, ...] = ()
    full: tuple[float, ...] = ()

    def chambers(self, stand: Stand, exhaust: float | None, stroke: float) -> list[float]:
        """Volumes at TDC that meet an end of a wanted ratio, for an exhaust's roof there [mm3]."""
        found = [stand.area * exhaust / more for more in self.trapped] if exhaust is not None else []
        return found + [stand.area * stroke / more for more in self.full]


def goals_of(wants: Wants, stand: Stand, angles: Angles | None) -> Goals:
    """Raise no error: what cannot be lies outside the stroke, and is no goal."""

    def ends(figure: str) -> tuple[float, ...]:
        want = named(wants, figure)
        return want.ends if want else ()

    squish = named(wants, "squish_mm")
    if angles is None:
        return Goals(squish=squish.low if squish else None)
    crank = angles.crank
    pressed = named(wants, "cranking_psi")
    ratios = [*ends("trapped"), *(as_trapped(pressed, stand).ends if pressed else ())]
    return Goals(
        squish=squish.low if squish else None,
        exhaust=tuple(travel_for_duration(one, crank, roof=True) for one in ends("exhaust_deg")),
        transfer=tuple(travel_for_duration(one, crank, roof=True) for one in ends("transfer_deg")),
        intake=tuple(travel_for_duration(one, crank, roof=False) for one in ends("intake_deg")),
        blowdown=ends("blowdown_deg"),
        trapped=tuple(one - 1 for one in ratios),
        full=tuple(one - 1 for one in ends("full")),
    )
