"""What a muffler's openings let through, against the exhaust port's window.

Stage      openings side by side; their areas add. The last one, into the open, is the outlet.
Effective  of stages one behind the other: as orifices with the same coefficient, 1/A^2 adds (orifice equation: the
           pressure drop goes with the square of the velocity). Never more than the narrowest stage.
Mark       what somebody noted of a muffler with one outlet, by the outlet's share of the port: so it is the outlet that
           is held against it. Of the effective area nobody posted anything; it is told and not judged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt

from gasketcut.job.topend import MufflerSpec, Screen, Stage
from gasketcut.profile.outlet import Mark, OutletRules, ScreenRule


@dataclass(frozen=True, slots=True)
class Same:
    """Openings of the same area: one round hole, n of them, an oval and a slot of the given ratio [mm]."""

    round_mm: float
    several: tuple[tuple[int, float], ...]
    oval: tuple[float, float]
    slot: tuple[float, float]


@dataclass(frozen=True, slots=True)
class ScreenNeed:
    """Open share of the weave, open area needed, gross area needed and its diameter as one disc [mm2, mm].

    has_enough  None where nobody said how much screen there is
    rule        the published one, with whom it is for
    """

    open_share: float
    open_mm2: float
    gross_mm2: float
    disc_mm: float
    has_enough: bool | None
    too_coarse: bool
    too_thin: bool
    rule: ScreenRule


@dataclass(frozen=True, slots=True)
class Muffler:
    """Areas of the stages and together [mm2], the shares of the port [%], and what is marked below and above the
    outlet's."""

    port_mm2: float
    stages: tuple[tuple[str, float], ...]
    effective_mm2: float
    effective_percent: float
    outlet_percent: float
    below: Mark | None
    above: Mark | None
    same: Same
    screen: ScreenNeed | None


def stage_area(stage: Stage) -> float:
    """Of all its openings together [mm2]."""
    one = stage.area_mm2 if stage.area_mm2 is not None else stage.shape.area if stage.shape is not None else 0.0
    return one * stage.count


def side_by_side(stages: Sequence[Stage]) -> tuple[tuple[str, float], ...]:
    """What the gas passes one after the other, by name, with the area of all that lies beside each other [mm2]."""
    found: list[tuple[str, float]] = []
    for stage in stages:
        name, area = stage.name, stage_area(stage)
        if stage.beside and found:
            before = found.pop()
            name, area = f"{before[0]} and {name}", before[1] + area
        found.append((name, area))
    return tuple(found)


def in_series(areas: Sequence[float]) -> float:
    """The one opening that lets as much through as these one behind the other.

    >>> round(in_series([100.0, 100.0]), 2)
    70.71
    """
    return 1 / sqrt(sum(1 / area**2 for area in areas))


def same_area(area: float, ratio: float = 1.5) -> Same:
    """Openings with that area; ratio is length / width of oval and slot.

    >>> round(same_area(0.8 * 203.83).round_mm, 2)
    14.41
    """
    oval = sqrt(4 * area / (pi * ratio))
    slot = sqrt(area / (ratio - 1 + pi / 4))
    several = tuple((count, sqrt(4 * area / (pi * count))) for count in (2, 3, 4, 6))
    return Same(sqrt(4 * area / pi), several, (oval * ratio, oval), (slot * ratio, slot))


def screen_need(screen: Screen, port_mm2: float, rule: ScreenRule) -> ScreenNeed:
    """How much screen the port needs by the published rule; open share (o / (o + w))^2 of a square weave.

    >>> round(screen_need(Screen(0.584, 0.330), 203.83, ScreenRule(0.584, 0.330, 125.0)).gross_mm2, 1)
    624.1
    """
    share = (screen.opening / (screen.opening + screen.wire)) ** 2
    needed = rule.open_percent / 100 * port_mm2
    gross = needed / share
    return ScreenNeed(
        open_share=share,
        open_mm2=needed,
        gross_mm2=gross,
        disc_mm=sqrt(4 * gross / pi),
        has_enough=None if screen.gross_mm2 is None else screen.gross_mm2 >= gross,
        too_coarse=screen.opening > rule.opening + 1e-9,
        too_thin=screen.wire < rule.wire - 1e-9,
        rule=rule,
    )


def muffler_of(spec: MufflerSpec, port_mm2: float, rules: OutletRules) -> Muffler:
    """The muffler against a port of that area [mm2]."""
    stages = side_by_side(spec.stages)
    effective = in_series([area for _, area in stages]) if stages else 0.0
    outlet = stages[-1][1] if stages else 0.0
    percent = 100 * outlet / port_mm2
    known = rules.marks
    return Muffler(
        port_mm2=port_mm2,
        stages=stages,
        effective_mm2=effective,
        effective_percent=100 * effective / port_mm2,
        outlet_percent=percent,
        below=next((mark for mark in reversed(known) if mark.percent <= percent), None),
        above=next((mark for mark in known if mark.percent > percent), None),
        same=same_area(outlet or port_mm2),
        screen=screen_need(spec.screen, port_mm2, rules.screen) if spec.screen else None,
    )
