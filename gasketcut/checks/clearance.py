"""How clear the sheet stays of every port and passage in the metal: as drawn, and over every motion of its studs.

Clear  the least clearance proven over all motions [mm]; negative: the sheet hangs into the gas by so much.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from gasketcut.checks.motion.allowed import Allowed, allowed_motions
from gasketcut.checks.motion.overhang import Worst, worst_overhang
from gasketcut.checks.overhang import AsDrawn, as_drawn
from gasketcut.parts.part import FlangeOpening, Part, Stud
from gasketcut.shape.motion import Locator

LEAST = 0.005
"""mm; a bound this small is no overhang but the uncertainty of the bound. Our choice."""


Looking = Callable[[str, str], None]
"""Called with the names of part and window, again and again while the worst motion is looked for."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """Of one port or passage.

    worst  the motion that brings the sheet deepest, or nearest; None if nothing locates the sheet
    clear  least clearance over all motions [mm]; None if it is not known what locates the sheet
    """

    window: FlangeOpening
    drawn: AsDrawn
    worst: Worst | None
    clear: float | None

    @property
    def can_shift_in(self) -> bool:
        """Clear as drawn, but not over every motion."""
        return not self.drawn.hangs_in and self.clear is not None and self.clear < -LEAST


def locators(studs: Sequence[Stud]) -> list[Locator]:
    """The studs as what bounds the sheet's motion."""
    return [Locator(stud.center, stud.play, stud.slot, stud.turn, stud.off) for stud in studs]


def clearances(part: Part, growth_percent: float = 0.0, looking: Looking | None = None) -> tuple[Clearance, ...]:
    """For each window in the metal; with growth, the sheet may have grown by any share up to that one.

    looking : called with the names of part and window, again and again while one is looked at
    """
    if not part.flange_openings:
        return ()
    allowed = allowed_motions(locators(part.studs), growth_percent / 100) if part.studs else None
    found = []
    for window in part.flange_openings:
        found.append(_clearance(part, window, allowed, partial(looking, part.name, window.name) if looking else None))
    return tuple(found)


def _clearance(
    part: Part, window: FlangeOpening, allowed: Allowed | None, looking: Callable[[], None] | None
) -> Clearance:
    drawn = as_drawn(part, window)
    if allowed is None:
        return Clearance(window, drawn, None, -drawn.depth if drawn.hangs_in else None)
    worst = worst_overhang(part.solid, window.shape, allowed, looking)
    return Clearance(window, drawn, worst, min(-worst.bound, -drawn.depth) if drawn.hangs_in else -worst.bound)
