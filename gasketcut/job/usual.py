"""Where the numbers of small two-strokes lie, so that a slip of the unit or the point is seen; nothing is assumed.

Usual   least and most of a key, and whose word that is.
Sure    the keys that the job vouches for: `sure = ["engine.bore"]`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gasketcut.finding import Finding
from gasketcut.length import IN, both

PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class Usual:
    """From `low` to `high`, in mm, degrees or as `unit` says; `source` stands behind it."""

    low: float
    high: float
    unit: Literal["mm", "deg", "rpm", "ratio", "of the stroke", "of the bore", "of its width"] = "mm"
    source: str = PRACTICE


USUAL: dict[str, Usual] = {
    "engine.bore": Usual(20.0, 100.0),
    "engine.stroke": Usual(15.0, 100.0),
    "engine.rod": Usual(1.2, 2.5, "of the stroke"),
    "engine.rpm": Usual(2000.0, 20000.0, "rpm"),
    "engine.chamber_cc": Usual(5.0, 16.0, "ratio"),
    "engine.deck": Usual(-3.0, 3.0),
    "squish.solder": Usual(0.4, 4.0),
    "squish.readings": Usual(0.2, 3.0),
    "squish.measured": Usual(0.2, 3.0),
    "squish.target": Usual(0.2, 3.0),
    "squish.gasket_present": Usual(0.0, 3.0),
    "stock.thickness": Usual(0.03, 5.0),
    "part.studs": Usual(2.5, 14.0),
    "part.roof": Usual(0.5, 3.0, "of its width"),
    "part.size": Usual(8.0, 400.0),
}
"""By key. Wide on purpose: only a slip lies outside, not a rare engine."""

ROD_ALONE = Usual(25.0, 220.0)
"""Of a rod beside which no stroke is known."""

OPEN_FOR = {
    "exhaust": Usual(120.0, 200.0, "deg"),
    "transfer": Usual(90.0, 140.0, "deg"),
    "piston-port": Usual(100.0, 200.0, "deg"),
}
"""For how long a port is open, by its kind; the key is that of its opening, engine.ports.exhaust.opens."""

WIDE = {
    "exhaust": Usual(0.2, 0.75, "of the bore"),
    "transfer": Usual(0.08, 0.75, "of the bore"),
    "piston-port": Usual(0.2, 0.8, "of the bore"),
}
"""Chord of a window against the bore, by kind; engine.ports.exhaust.width."""


def unusual(key: str, says: str, value: float, usual: Usual) -> Finding | None:
    """The question to ask, or None where the value is a usual one.

    says : the value in words
    """
    if usual.low <= value <= usual.high:
        return None
    return Finding(
        rule="unusual",
        weight="warn",
        part=None,
        text=f"{says}; usual is {_range(usual)} ({usual.source}){_slip(value, usual)}",
        do=f'check the number and its unit; if it is right, write sure = ["{key}"] at the top of the job',
        found=value,
        wanted=usual.low if value < usual.low else usual.high,
        unit="mm" if usual.unit == "mm" else "deg" if usual.unit == "deg" else "ratio",
    )


def _range(usual: Usual) -> str:
    if usual.unit == "mm":
        return f"{both(usual.low)} to {both(usual.high)}"
    return (
        f"{usual.low:g} to {usual.high:g} {usual.unit}" if usual.unit != "ratio" else f"{usual.low:g} to {usual.high:g}"
    )


def _slip(value: float, usual: Usual) -> str:
    """What would make it a usual one."""
    slips = []
    if usual.low <= value / 10 <= usual.high or usual.low <= value * 10 <= usual.high:
        slips.append("is the decimal point in its place")
    if usual.unit == "mm" and usual.low <= value / IN <= usual.high:
        slips.append("is the number in mm, and not in inches")
    if usual.unit == "mm" and usual.low <= value * IN <= usual.high:
        slips.append("is the number in inches, and not in mm")
    return f"; {', or '.join(slips)}?" if slips else ""
