"""The bore's wall laid flat: every window at its place, old and new, and what the wall says of it."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.engine.ports.crank import crank_of
from gasketcut.engine.ports.events import work_of
from gasketcut.engine.ports.port_change import chord_share, pin_margin
from gasketcut.engine.ports.unrolled import NotDrawn, OnWall, circumference, on_wall, seam
from gasketcut.engine.squish.result import SquishResult
from gasketcut.errors import Fault, GasketError, IncompleteError, Lack
from gasketcut.job.model import Engine, Job


@dataclass(frozen=True, slots=True, kw_only=True)
class BoreWall:
    """Windows, ports left out and why, where the wall is cut open [deg], how much higher the cylinder will stand [mm].

    ring_pin  where the ring's pin stands [deg]; crown : below the deck at TDC [mm]
    """

    bore: float
    width: float
    windows: tuple[OnWall, ...]
    left_out: tuple[NotDrawn, ...]
    seam: float
    raised: float
    ring_pin: float | None
    crown: float
    exhausts: frozenset[str]
    chord_shares: dict[str, tuple[float, float]]
    pin_margins: dict[str, tuple[float, ...]]

    @property
    def lowest(self) -> float:
        """How far below the deck the lowest window reaches [mm]."""
        return max(one.floor for window in self.windows for one in (window.old, window.new) if one is not None)


def bore_wall(job: Job, squish: SquishResult | None) -> BoreWall:
    """The wall of the job; raise `IncompleteError` with what to add if there is no bore or no window to draw."""
    name, engine = job.called(), job.engine
    if engine is None or engine.bore is None:
        words = "has no [engine], so no bore; add [engine] with the line bore = 44.0 (yours), and ports"
        if engine is not None:
            words = "[engine] has no bore; add the line bore = 44.0 (yours)"
        raise IncompleteError(name, (Fault(0, "", Lack("engine.bore", words)),))
    bore = engine.bore
    moved = squish.moved if squish is not None else 0.0
    windows, left_out = on_wall(engine, crank_of(engine), work_of(job, squish), moved)
    if not windows:
        words = "[engine] has no ports; add [engine.ports] with width, height and centre"
        lacks = [Fault(one.line, "", Lack(f"engine.ports.{one.name}", f"port '{one.name}': add {'; '.join(one.add)}"))
                 for one in left_out]  # fmt: skip
        raise IncompleteError(name, tuple(lacks) or (Fault(0, "", Lack("engine.ports", words)),))
    highest = min(one.roof for window in windows for one in (window.old, window.new) if one is not None)
    if highest < 0:
        raise GasketError(
            f"{name}: a port's roof comes out {-highest:.2f} mm above the deck; check depth, travel and deck"
        )
    return BoreWall(
        bore=bore,
        width=circumference(bore),
        windows=windows,
        left_out=left_out,
        seam=seam(windows, bore, engine.ring_pin),
        raised=moved,
        ring_pin=engine.ring_pin,
        crown=engine.deck,
        exhausts=frozenset(port.name for port in engine.ports if port.is_exhaust),
        chord_shares={one.old.name: _shares(one, bore) for one in windows},
        pin_margins={one.old.name: _margins(one, engine) for one in windows},
    )


def _shares(one: OnWall, bore: float) -> tuple[float, float]:
    """Of the bore that the chord takes, old and new."""
    return chord_share(one.old.chord, bore), chord_share((one.new or one.old).chord, bore)


def _margins(one: OnWall, engine: Engine) -> tuple[float, ...]:
    """From the ring's pin to the window's nearer edge [mm], old and new; nothing where no pin is said."""
    port = next(port for port in engine.ports if port.name == one.old.name)
    both = [pin_margin(engine, port, window.chord) for window in (one.old, one.new) if window is not None]
    return tuple(margin for margin in both if margin is not None)
