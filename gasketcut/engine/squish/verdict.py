"""What is to be done about the squish, as one word."""

from __future__ import annotations

from enum import Enum

from gasketcut.engine.assumptions import SAME_EDGE
from gasketcut.engine.solder.readings import Squish
from gasketcut.engine.stack.choices import Choice, Wanted
from gasketcut.engine.stack.clearance import Clearance


class SquishVerdict(Enum):
    """What goes under the cylinder; `MACHINE` and `SPACER` where no gasket of the job does it.

    READ_AGAIN  the readings contradict each other, or do not tell a tilt that matters from the piston's rock
    NOT_SAFE    bare, but for sealant, it has the target; the odds of less than the floor are more than is accepted
    TRUE_UP     left and right differ so much that at the target the tight side lies under the floor
    """

    NO_GASKET = "no gasket"
    ONE_SHEET = "one sheet"
    STACK = "stack"
    MACHINE = "machine"
    SPACER = "spacer"
    NOT_SAFE = "not safe"
    READ_AGAIN = "read again"
    TRUE_UP = "true the faces"

    @property
    def names_a_thickness(self) -> bool:
        return self not in (SquishVerdict.READ_AGAIN, SquishVerdict.TRUE_UP)


def verdict_of(squish: Squish, bare: Clearance, wanted: Wanted, best: Choice | None, film: float) -> SquishVerdict:
    """From readings that do not contradict each other, and the recommended stack.

    film : likely thickness of sealant [mm]
    """
    if best is None:
        if wanted.target - bare.mean.value + bare.tight.value < wanted.band[0] - 1e-9:
            return SquishVerdict.READ_AGAIN if squish.rocks else SquishVerdict.TRUE_UP
        spare = wanted.target - bare.mean.value - film
        if abs(spare) < SAME_EDGE:  # nobody could take that off or put it in
            return SquishVerdict.NOT_SAFE
        return SquishVerdict.MACHINE if spare < 0 else SquishVerdict.SPACER
    if not best.layers:
        return SquishVerdict.NO_GASKET
    return SquishVerdict.ONE_SHEET if best.sheets == 1 else SquishVerdict.STACK
