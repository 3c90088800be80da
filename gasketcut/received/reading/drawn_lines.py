"""What is drawn, in the plane and in mm.

DrawnLine   one drawn thing: segments end to end, or chords of a curve, on a layer.
DrawnLines  all of a drawing, and what was found while they were read.
Pen         on what layer and with which line type something is drawn, at what height.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from gasketcut.plane import Point
from gasketcut.received.drop import Dropped
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.reading.not_cut import NotCut
from gasketcut.received.reading.tags import CONTINUOUS
from gasketcut.shape.loop import Circle, Segment

BRIDGE = "TAB"
"""The layer, off, on which our own files show what is left standing."""

FLAT = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """Segments end to end; `circle` for a whole one; `curve` if they are chords of a spline or an ellipse [mm].

    number  : counts all that is drawn, what has no line too, in the order of the file; the same in every unit
    heights : lowest and highest z, in the file's own numbers
    off     : on BRIDGE, which is off
    """

    type: str
    layer: str
    segments: tuple[Segment, ...]
    closed: bool = False
    curve: bool = False
    circle: Circle | None = None
    linetype: str = CONTINUOUS
    number: int = 0
    heights: tuple[float, float] = FLAT
    off: bool = False

    @property
    def place(self) -> Point:
        """A point on it."""
        return self.segments[0].start


@dataclass(frozen=True, slots=True)
class BlockReference:
    """Its number and that of the last thing in it; where it stands, and one of the block's units along its x [mm]."""

    number: int
    last: int
    name: str
    at: Point
    along: Point


@dataclass(slots=True)
class DrawnLines:
    """All lines, what is drawn beside them, what was left out as asked, and what was found on the way."""

    lines: list[DrawnLine] = field(default_factory=list)
    others: list[NotCut] = field(default_factory=list)
    references: list[BlockReference] = field(default_factory=list)
    dropped: list[Dropped] = field(default_factory=list)
    flaws: list[Flaw] = field(default_factory=list)
    layers: dict[str, str] = field(default_factory=dict)
    commas: int = 0


@dataclass(frozen=True, slots=True)
class Pen:
    """`lift` makes z of the file's out of the entity's own: scale and shift of the blocks around it."""

    layer: str
    linetype: str
    number: int
    lift: tuple[float, float] = (1.0, 0.0)

    def line(
        self, type_: str, segments: tuple[Segment, ...], heights: set[float], *,
        closed: bool = False, curve: bool = False, circle: Circle | None = None,
    ) -> DrawnLine:  # fmt: skip
        """heights : z of its points, by its own numbers."""
        scale, shift = self.lift
        zs = FLAT if not any(heights) and not shift else [scale * z + shift for z in heights] or FLAT
        span = FLAT if zs is FLAT else (min(zs), max(zs))
        return DrawnLine(type_, self.layer, segments, closed, curve, circle, self.linetype, self.number, span)
