"""`[engine.ports]` of a job file, as frozen values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import pi
from typing import Literal

from gasketcut.checked import Checked, Count, Degrees, Duration, FromTdc, Margin, Problem, Size, SquareMillimetres
from gasketcut.described import OUTLET, STENCIL, TIMING, WHEEL, Usual, key

PLACES = {"right": 0.0, "front": 90.0, "left": 180.0, "rear": 270.0}
"""Degrees round the bore, seen from above: the exhaust is in front."""


def window_area(width: float | None, height: float | None, corner: float, bridge: float = 0.0) -> float | None:
    """Area of a window with rounded corners, less a bar over its height [mm2], or None if a side is unknown."""
    return None if width is None or height is None else (width - bridge) * height - (4 - pi) * corner**2


PortKind = Literal["exhaust", "transfer", "piston-port", "reed", "rotary"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PortTiming(Checked):
    """One port of the cylinder, by any of `opens`, `duration`, `travel` or `depth`."""

    name: str
    kind: PortKind = key(
        left_out="by its name: exhaust, transfer, or piston-port for an intake",
        what="what opens it: the piston's crown, its skirt, a reed or a valve on the crank",
        example='"piston-port"',
        helps=(TIMING,),
    )
    opens: FromTdc | None = key(
        None,
        what="degrees from top dead centre at which it opens (before it for an intake)",
        how='degree wheel; piston travel goes into travel, e.g. travel = "14.2 mm"',
        example='"103 deg"',
        usual=(Usual(80, 120, of="exhaust"), Usual(105, 135, of="transfer"), Usual(50, 100, of="piston-port")),
        needed=(TIMING,),
        helps=(WHEEL,),
        agrees=("duration", "travel", "depth"),
    )
    duration: Duration | None = key(
        None,
        what="degrees for which it stands open",
        how="degree wheel, from opening to closing",
        example='"154 deg"',
        usual=(Usual(120, 200, of="exhaust"), Usual(90, 150, of="transfer"), Usual(100, 200, of="piston-port")),
        helps=(TIMING, WHEEL),
        agrees=("opens", "travel", "depth"),
    )
    travel: Size | None = key(
        None,
        what="piston travel from top dead centre at which it opens",
        how="dial gauge or depth gauge on the crown, from top dead centre",
        example='"21.9 mm"',
        helps=(TIMING, WHEEL),
        agrees=("opens", "duration", "depth", "engine.stroke"),
    )
    depth: Size | None = key(
        None,
        what="from the deck down to its roof (an intake: to its floor)",
        how="depth gauge from the deck, the cylinder off",
        example="22.4",
        helps=(TIMING, WHEEL),
        agrees=("opens", "duration", "travel", "engine.deck"),
    )
    width: Size | None = key(
        None,
        what="width of the window, straight across",
        how="inside calipers straight across the window (chord)",
        example="26.0",
        usual=(
            Usual(0.2, 0.75, of="exhaust", per="of the bore"),
            Usual(0.08, 0.75, of="transfer", per="of the bore"),
            Usual(0.2, 0.8, of="piston-port", per="of the bore"),
        ),
        needed=(STENCIL,),
        helps=(OUTLET, TIMING),
        agrees=("area_mm2", "engine.bore"),
    )
    height: Size | None = key(
        None,
        what="height of the window",
        how="top to bottom of the window",
        example="11.0",
        needed=(STENCIL,),
        helps=(OUTLET,),
        agrees=("area_mm2",),
    )
    corner: Margin = key(
        0.0,
        what="radius of the window's corners",
        how="radius gauge or a drill's shank",
        example="3.0",
        helps=(OUTLET,),
    )
    bridge: Margin = key(
        0.0,
        what="width of the bar that stands in the window from top to bottom; several bars together",
        how="calipers straight across the bar",
        example="4.0",
        usual=Usual(1.5, 15, "our choice"),
        helps=(OUTLET, TIMING),
        agrees=("width", "area_mm2"),
    )
    count: Count = key(
        1,
        what="how many such windows there are, which open together; windows that open apart get a name each",
        how="looking into the bore",
        example="2",
        usual=Usual(1, 8, "our choice"),
        helps=(OUTLET, TIMING),
    )
    area_mm2: SquareMillimetres | None = key(
        None,
        what="area of one window without its bar, where width and height do not give it",
        how="a print of the window on squared paper",
        example="280",
        helps=(OUTLET, TIMING),
        agrees=("width", "height"),
    )
    floor: Size | None = key(
        None,
        what="from the deck down to the window's lower edge",
        how="depth gauge from the deck, the cylinder off",
        example="47.0",
        helps=(STENCIL,),
    )
    centre: Degrees | None = key(
        None,
        what="where it stands round the bore: 0 deg is right, 90 deg in front",
        how="degree wheel on the deck, or the stud pattern",
        example='"90 deg"',
        rule="an exhaust at 90 deg",
        needed=(STENCIL,),
    )
    line: int = field(default=0, compare=False)

    @property
    def is_exhaust(self) -> bool:
        return self.kind == "exhaust"

    @property
    def is_transfer(self) -> bool:
        return self.kind == "transfer"

    @property
    def is_rotary(self) -> bool:
        """Timed by a valve on the crank."""
        return self.kind == "rotary"

    @property
    def is_by_piston(self) -> bool:
        """An edge of the piston opens it: the crown, or, an intake, the skirt."""
        return self.is_by_crown or self.kind == "piston-port"

    @property
    def is_by_crown(self) -> bool:
        """The crown opens it at its roof, on the way down."""
        return self.kind in ("exhaust", "transfer")

    @property
    def opens_before_tdc(self) -> bool:
        """Its opening is counted back from TDC."""
        return self.kind in ("piston-port", "rotary")

    @property
    def area(self) -> float | None:
        """Of all its windows [mm2]: as given, else of sides, corners and bar; None if neither is known."""
        one = self.area_mm2 if self.area_mm2 is not None else self.sides_mm2
        return None if one is None else self.count * one

    @property
    def sides_mm2(self) -> float | None:
        """Of one window by its sides, corners and bar [mm2]."""
        return window_area(self.width, self.height, self.corner, self.bridge)

    @property
    def opening(self) -> float | None:
        """Chord of what is open beside the bar [mm], which stands in the middle; the whole width without one."""
        if self.width is None or not self.bridge:
            return self.width
        return (self.width - self.bridge) / 2

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        if self.width is not None and self.bridge >= self.width:
            yield "bridge", f"a bar {self.bridge:g} mm wide fills the window of {self.width:g} mm; write the bar alone"
        sides = [side for side in (self.width, self.height) if side is not None]
        if sides and 2 * self.corner > min(sides):
            yield "corner", f"{self.corner:g} is more than half the shorter side of the port"
