"""The engine as work on its ports leaves it: from there on no sum knows of the work.

Taken off   metal off the edge that times a port (a roof, or an intake's floor), and off its sides. The base stays out
            of this: how high the cylinder stands is said where the engine is worked out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from gasketcut.engine.ports.crank import crank_of
from gasketcut.engine.ports.timing import travel_of
from gasketcut.job.model import Engine, PortTiming, window_area


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOff:
    """mm off the edge that times the port, and mm added to the width of its window."""

    port: str
    removed: float = 0.0
    widened: float = 0.0


def with_work(engine: Engine, changes: Iterable[TakenOff]) -> Engine:
    """The engine with those ports as they will be: edge as `travel` alone, width, height, floor and area.

    Raise `ValueError` for work that the port, the bore or the stroke does not allow, or two pieces of it on one port.
    """
    ports = {port.name: port for port in engine.ports}
    done: set[str] = set()
    for one in changes:
        if one.port in done:
            raise ValueError(f"there are two pieces of work on port '{one.port}'; write remove and widen in one")
        if one.port not in ports:
            raise ValueError(f"work on port '{one.port}' needs [engine] with stroke, rod and that port")
        done.add(one.port)
        ports[one.port] = _worked(ports[one.port], engine, one)
    return replace(engine, ports=tuple(ports.values()))


def edge_of(engine: Engine, port: PortTiming) -> float:
    """Travel at which the port opens as it was measured [mm]; raise `ValueError` where the job does not say enough."""
    crank = crank_of(engine)
    if crank is None:
        raise ValueError(f"work on port '{port.name}' needs [engine] with stroke, rod and that port")
    if not port.is_by_piston:
        raise ValueError(f"no edge of the piston times port '{port.name}', so there is none to work on in the bore")
    travel = travel_of(port, crank, engine.deck)
    if travel is None:
        raise ValueError(f"port '{port.name}' has no opens, travel, depth or duration")
    return travel


def _worked(port: PortTiming, engine: Engine, work: TakenOff) -> PortTiming:
    if not work.removed and not work.widened:
        return port
    crank, travel = crank_of(engine), edge_of(engine, port)
    edge = travel - work.removed if port.is_by_crown else travel + work.removed
    if crank is not None and not 0 < edge < crank.full_travel:
        raise ValueError(f"taking {work.removed:.2f} mm off port '{port.name}' brings its edge out of the stroke")
    width = None if port.width is None else port.width + work.widened
    if width is not None and engine.bore is not None and width >= engine.bore:
        raise ValueError(f"port '{port.name}' would be {width:.2f} mm wide in a bore of {engine.bore:g} mm")
    return replace(
        port,
        opens=None,
        duration=None,
        depth=None,
        travel=edge,
        width=width,
        height=None if port.height is None else port.height + work.removed,
        floor=_floor(port, work),
        area_mm2=_area(port, work),
    )


def _floor(port: PortTiming, work: TakenOff) -> float | None:
    """A roof port keeps its floor; an intake's is the edge that moved, and its `depth` leads to it too."""
    if port.is_by_crown:
        return port.floor
    floor = port.floor if port.floor is not None else port.depth
    return None if floor is None else floor + work.removed


def _area(port: PortTiming, work: TakenOff) -> float | None:
    """A stated area and what is cut off beside it [mm2]; None where the sides do not say how much that is."""
    if port.area_mm2 is None:
        return None
    if port.width is not None and port.height is None and not work.widened:
        return port.area_mm2 + (port.width - port.bridge) * work.removed
    old = port.sides_mm2
    if old is None or port.width is None or port.height is None:
        return None
    new = window_area(port.width + work.widened, port.height + work.removed, port.corner, port.bridge)
    return None if new is None else port.area_mm2 + new - old
