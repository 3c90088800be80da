"""What may be said of a part, and of a whole job: one list of words for every output."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum

UNSAFE = "-DOES-NOT-FIT"
"""In the name of a file that was written in spite of a stop."""


class Verdict(Enum):
    """From the best to the worst; the worst of the parts is the job's.

    FITS           proven for every motion that the studs allow
    FITS_AS_DRAWN  as drawn it clears, but it can shift into the gas
    NOT_PROVEN     something was not said: a passage, a port, what locates the sheet
    DOES_NOT_FIT   a stop was found
    """

    FITS = "fits"
    FITS_AS_DRAWN = "fits as drawn"
    NOT_PROVEN = "not proven"
    DOES_NOT_FIT = "does not fit"


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of them; FITS where there is none."""
    order = list(Verdict)
    return max(verdicts, key=order.index, default=Verdict.FITS)
