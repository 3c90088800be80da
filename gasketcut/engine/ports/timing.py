"""When ports open and close, and what moving the cylinder or the port's edge does to that.

Roof port     exhaust, transfer, boost: the crown uncovers it on the way down; it is open around BDC.
Intake        piston-ported: the skirt uncovers its floor on the way up; it is open around TDC.
Opens         degrees after TDC for a roof port, before TDC for an intake.
Raised        a cylinder that stands higher (a thicker gasket) opens a roof port earlier and longer, an intake later and
              shorter: the piston stands lower against it.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.engine.ports.crank import Crank
from gasketcut.job.model import Engine, PortTiming


@dataclass(frozen=True, slots=True)
class Timing:
    """One port as it opens now: degrees, degrees, mm; by the crown after TDC, else by the skirt, before it."""

    opens: float
    duration: float
    travel: float
    by_crown: bool

    def _repr_svg_(self) -> str:
        """The port's ring as a notebook shows it."""
        from gasketcut.output.picture import as_svg  # a value that shows itself asks the writer, and nothing else does
        from gasketcut.pages.charts.rings import ring_of

        return as_svg(ring_of(self)).decode()


def travel_of(port: PortTiming, crank: Crank, deck: float = 0.0) -> float | None:
    """Piston travel at which the port opens [mm], from `travel`, else `depth`, else `opens`, else `duration`.

    deck : how far the crown's edge stands below the deck at TDC [mm]: a depth from the deck is more than the travel
    """
    if port.travel is not None:
        return port.travel
    if port.depth is not None:
        return port.depth - deck
    if port.opens is not None:
        return float(crank.travel(port.opens if port.is_by_crown else -port.opens))
    if port.duration is not None:
        return travel_for_duration(port.duration, crank, roof=port.is_by_crown)
    return None


def timing_at(travel: float, crank: Crank, *, roof: bool) -> Timing:
    """Opening and duration of a port whose edge lies at that travel.

    Source: geometry. Example: stroke 57, rod 110, 33.0 mm is 177.0 degrees (a forum's worked case).

    >>> round(timing_at(33.0, Crank(57.0, 110.0), roof=True).duration, 1)
    177.0
    """
    after, before = crank.after(travel), crank.before(travel)
    if roof:
        return Timing(after, 360 - after - before, travel, by_crown=True)
    return Timing(before, after + before, travel, by_crown=False)


def timed_ports(engine: Engine, crank: Crank, raised: float) -> dict[str, Timing]:
    """Each port that the piston opens, by name, with the cylinder so much higher [mm]: every edge comes nearer to TDC.

    Raise `ValueError` where one leaves the stroke.
    """
    found = {}
    for port in engine.ports:
        travel = travel_of(port, crank, engine.deck)
        if travel is not None and port.is_by_piston:
            if not 0 <= travel - raised < crank.full_travel:
                raise ValueError(
                    f"with this gasket port '{port.name}' would open {travel - raised:.2f} mm below TDC, "
                    f"outside the stroke of {crank.full_travel:.2f} mm"
                )
            found[port.name] = timing_at(travel - raised, crank, roof=port.is_by_crown)
    return found


def travel_for_duration(duration: float, crank: Crank, *, roof: bool) -> float:
    """The travel at which a port's edge has to lie to be open for that many degrees [mm]."""
    return crank.travel_between(360 - duration if roof else duration)


def heights_of(port: PortTiming, crank: Crank | None, deck: float) -> tuple[float | None, float | None]:
    """Roof and floor of the window below the deck [mm], each as far as it is known or follows.

    Without a crank an angle says nothing of a height; what is measured in mm still does. How far the skirt reaches down
    on an intake's side is not known, so neither does the angle at which that opens.
    """
    if not port.is_by_crown:
        floor = port.floor if port.floor is not None else port.depth
        return (floor - port.height if floor is not None and port.height is not None else None), floor
    travel = travel_of(port, crank, deck) if crank else port.travel
    roof = travel + deck if travel is not None else port.depth
    floor = port.floor
    if floor is None and roof is not None and port.height is not None:
        floor = roof + port.height
    return roof, floor
