"""Time-area: how much of a port stands open for how long, and the speed at which that is what a handbook asks for.

Window      as one looks into it: straight across, with its corners and the bar in its middle; `count` of them.
Angle-area  the open area integrated over the crank's turn [mm2 deg].
Time-area   the same over time [s mm2]: N revolutions a minute are 6 N degrees a second.
Specific    time-area for each cc swept [s/m]; s mm2/cc is s/m, a handbook's s cm2/cc times 100.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf, pi
from typing import TYPE_CHECKING

import numpy as np

from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.timing import Timing
from gasketcut.engine.squish.compression import swept_cc
from gasketcut.job.model import Engine, PortTiming

if TYPE_CHECKING:
    from numpy.typing import NDArray

_STEPS = 400  # of Simpson's rule in each stretch without a kink: 1e-6 of the area, where round corners begin


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Windows that open together, lengths in mm.

    height  along the bore; None: as far as the piston goes
    corner  radius of the corners, bridge: width of the bar, which runs over the whole height
    share   of the area between these sides that is open: a traced window is seldom what its sides give
    """

    width: float
    height: float | None
    corner: float = 0.0
    bridge: float = 0.0
    count: int = 1
    share: float = 1.0

    def open_area(self, opened: NDArray[np.float64], most: float = inf) -> NDArray[np.float64]:
        """Area of all windows [mm2] of which so many mm are open, counted from the edge that opens first.

        most : how far the piston opens them [mm]: their height, where that is not known

        Source: geometry; what a corner of radius r takes from the first y mm is r y less a piece of its circle.
        """
        height = most if self.height is None else self.height
        radius = min(self.corner, self.width / 2, height / 2)
        y = np.clip(opened, 0.0, height)
        corners = _corners(np.minimum(y, radius), radius)
        if radius > 0:
            corners = corners + (2 - pi / 2) * radius**2 - _corners(np.minimum(height - y, radius), radius)
        area: NDArray[np.float64] = ((self.width - self.bridge) * y - corners) * self.share * self.count
        return area


def _corners(y: NDArray[np.float64], radius: float) -> NDArray[np.float64]:
    """What two corners take from the first y mm [mm2], up to the radius."""
    if radius <= 0:
        return np.zeros_like(y)
    left = radius - y
    circle: NDArray[np.float64] = radius**2 * np.arccos(np.clip(left / radius, -1, 1)) - left * np.sqrt(
        np.maximum(radius**2 - left**2, 0.0)
    )
    return 2 * radius * y - circle


def window_of(port: PortTiming) -> Window | None:
    """The port's windows; None where neither a width nor, beside the height, an area is known.

    Of a window whose area and height alone are known the mean width counts.
    """
    if port.width is not None:
        sides = port.sides_mm2
        share = port.area_mm2 / sides if port.area_mm2 is not None and sides else 1.0
        return Window(
            width=port.width,
            height=port.height,
            corner=port.corner,
            bridge=port.bridge,
            count=port.count,
            share=share,
        )
    if port.area_mm2 is None or port.height is None:
        return None
    return Window(width=port.area_mm2 / port.height, height=port.height, count=port.count)


def angle_area(crank: Crank, window: Window, edge: float, *, by_crown: bool, until: float | None = None) -> float:
    """The open area integrated over the turn [mm2 deg].

    edge  : travel at which the port opens [mm]: of a roof, or of an intake's floor
    until : degrees after TDC at which to stop counting (for blowdown), or None for the whole opening

    Source: definition (a tuner's handbook); worked checks stand in the tests.
    """
    full = crank.full_travel
    most = full - edge if by_crown else edge
    stays = window.height is not None and window.height < most
    open_at = edge + (window.height or 0.0) if by_crown else edge - (window.height or 0.0)
    if by_crown:
        first, last = crank.after(edge), 360 - crank.before(edge)
        kinks = [crank.after(open_at), 360 - crank.before(open_at)] if stays else []
    else:
        first, last = -crank.before(edge), crank.after(edge)
        kinks = [-crank.before(open_at), crank.after(open_at)] if stays else []
    last = last if until is None else until
    stretches = [first, *(turn for turn in kinks if first < turn < last), last]

    def opened(turn: NDArray[np.float64]) -> NDArray[np.float64]:
        travel = crank.travel(turn)
        return window.open_area(travel - edge if by_crown else edge - travel, most)

    weights = np.ones(_STEPS + 1)
    weights[1:-1:2], weights[2:-1:2] = 4, 2
    return sum(
        float(np.sum(weights * opened(np.linspace(start, end, _STEPS + 1)))) * (end - start) / _STEPS / 3
        for start, end in pairwise(stretches)
        if end > start
    )


def time_area(angle_area_mm2_deg: float, rpm: float) -> float:
    """Time-area [s mm2] of an angle-area."""
    return angle_area_mm2_deg / (6 * rpm)


def specific_time_area(time_area_s_mm2: float, swept_cc: float) -> float:
    """Time-area for each cc swept [s/m]."""
    return time_area_s_mm2 / swept_cc


@dataclass(frozen=True, slots=True)
class TimeArea:
    """Of all windows of a port at the job's speed: time-area [s mm2], and for each cc [s/m]; None without a speed.

    at_one_rpm  for each cc at one revolution a minute, which is known without a speed
    """

    kind: str
    whole: float | None
    specific: float | None
    at_one_rpm: float

    def rpm_at(self, specific: float) -> float:
        """The speed at which the specific time-area is that [s/m]: the faster, the less time."""
        return self.at_one_rpm / specific


def time_area_of(
    engine: Engine, crank: Crank, port: PortTiming, edge: float, until: float | None = None
) -> TimeArea | None:
    """Of a port with its edge at that travel [mm]; None where its window or the bore is not known."""
    window, swept = window_of(port), swept_cc(engine)
    if window is None or swept is None or edge < 0:
        return None
    area = angle_area(crank, window, edge, by_crown=port.is_by_crown, until=until)
    whole = None if engine.rpm is None else time_area(area, engine.rpm)
    specific = None if whole is None else specific_time_area(whole, swept)
    return TimeArea(port.kind, whole, specific, specific_time_area(time_area(area, 1.0), swept))


def time_areas(engine: Engine, crank: Crank | None, timed: dict[str, Timing]) -> dict[str, TimeArea]:
    """Of every port that the piston opens, by name; `timed` is how they stand."""
    if crank is None:
        return {}
    found = {
        port.name: time_area_of(engine, crank, port, timed[port.name].travel)
        for port in engine.ports
        if port.name in timed and port.is_by_piston
    }
    return {name: area for name, area in found.items() if area is not None}


def blowdown_area(engine: Engine, crank: Crank | None, timed: dict[str, Timing]) -> TimeArea | None:
    """Of the exhaust until the first transfer opens, which every exhaust port adds to; None where that is not known."""
    opened = [timed[port.name].opens for port in engine.ports if port.is_transfer and port.name in timed]
    if crank is None or not opened:
        return None
    until = min(opened)
    found = [
        time_area_of(engine, crank, port, timed[port.name].travel, max(until, timed[port.name].opens))
        for port in engine.ports
        if port.is_exhaust and port.name in timed
    ]
    known = [area for area in found if area is not None]
    return together(tuple(known)) if known and len(known) == len(found) else None


def together(areas: tuple[TimeArea, ...]) -> TimeArea:
    """Of several ports of one engine, as the first one's kind."""
    first = areas[0]
    return TimeArea(
        first.kind,
        _sum([one.whole for one in areas]),
        _sum([one.specific for one in areas]),
        sum(one.at_one_rpm for one in areas),
    )


def _sum(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) if len(known) == len(values) else None
