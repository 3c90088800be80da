"""What is to be done about the squish, as one word."""

from __future__ import annotations

from enum import Enum

from gasketcut.engine.stack.choices import Choice


class SquishVerdict(Enum):
    """What goes under the cylinder; `MACHINE` and `SPACER` where no gasket of the job does it."""

    NO_GASKET = "no gasket"
    ONE_SHEET = "one sheet"
    STACK = "stack"
    MACHINE = "machine"
    SPACER = "spacer"


def verdict_of(bare: float, target: float, best: Choice | None) -> SquishVerdict:
    """From the clearance without a gasket, the one that is wanted [mm], and the recommended stack."""
    if best is None:
        return SquishVerdict.MACHINE if bare > target else SquishVerdict.SPACER
    if not best.layers:
        return SquishVerdict.NO_GASKET
    return SquishVerdict.ONE_SHEET if best.sheets == 1 else SquishVerdict.STACK
