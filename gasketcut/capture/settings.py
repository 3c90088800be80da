"""What the user says of a picture: where its scale comes from, what lies in it, and how closely it is followed."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.capture.image.ink import Ink
from gasketcut.capture.known_distance import KnownDistance
from gasketcut.capture.torn.bridge import Asked
from gasketcut.job.model import CaliperReading


@dataclass(frozen=True, slots=True)
class TraceSettings:
    """Lengths in mm; None or empty where nothing was said.

    page      : of a file of several
    dpi       : in place of what the file says
    card      : True: a bank card must be there; False: what looks like one is none; None: used if it is there
    target    : it is a photograph on the target sheet, whose `bars` measure so much along and across
    sheet     : it is a photograph on a bare sheet of this size
    thickness : of the part
    ink       : lines of ink in place of filled metal, and which of their edges counts
    along     : a distance mostly along x, `across` one along y, each a scale of its own; `check` one more to compare
    calipers  : readings of a job, by the names of the holes; they correct the scale and are themselves tested
    pick      : of several parts the one of that number, largest first; None: all of them
    fit       : tolerance of the outline, else from its noise
    bridges   : torn edges to be joined, by the numbers of their sound ends
    """

    page: int | None = None
    dpi: float | None = None
    card: bool | None = None
    target: bool = False
    bars: tuple[float, float] | None = None
    sheet: tuple[float, float] | None = None
    thickness: float = 0.0
    ink: Ink | None = None
    along: KnownDistance | None = None
    across: KnownDistance | None = None
    check: KnownDistance | None = None
    calipers: tuple[CaliperReading, ...] = ()
    pick: int | None = None
    fit: float | None = None
    bridges: tuple[Asked, ...] = ()

    @property
    def is_photo(self) -> bool:
        return self.target or self.sheet is not None
