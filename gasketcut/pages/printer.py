"""Printers lie by up to some per cent, and not equally both ways: what the bars measure corrects the next print.

Source of the usual causes: threads on full-size printing; a shrink to fit gives 93 to 97 %, A4 on Letter 94 %.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from gasketcut.errors import GasketError
from gasketcut.profile.printers import keep_printer, read_printers

BAR = 100.0
"""mm, along either edge of the paper."""

MOST = 0.03
"""Beyond this share it is a setting and no fault of a printer. Our choice; office printers were found up to 2 % off."""

_PAIR = re.compile(r"\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*")
_NAME = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True, slots=True)
class Correction:
    """Factors for what lies along the paper's short and long edge."""

    short: float = 1.0
    long: float = 1.0

    @property
    def is_none(self) -> bool:
        return self.short == 1.0 and self.long == 1.0


def correction(measured: float, true: float = BAR) -> float:
    """The factor that makes a line of `true` mm come out right that came out as `measured`.

    >>> round(correction(173, 175), 5)
    1.01156

    Raise `GasketError` beyond MOST, with the likely cause.
    """
    share = measured / true
    if abs(share - 1) > MOST:
        raise GasketError(f"a bar of {true:g} mm that measures {measured:g} mm is no printer's error: {_cause(share)}")
    return true / measured


def parse_printed(text: str) -> Correction:
    """From the two bars as measured, short edge first, e.g. `99.4x100.3`; raise `GasketError` for anything else."""
    found = _PAIR.fullmatch(text)
    if found is None:
        raise GasketError(
            f"printed '{text}' is not understood; write the two bars in mm, short edge first, e.g. 99.4x100.3"
        )
    return Correction(correction(float(found[1])), correction(float(found[2])))


def printer_fix(printed: str | None, name: str | None) -> Correction:
    """From what the bars measured, kept under the printer's name if it has one; or from what was kept."""
    if printed is not None and name is not None:
        keep(name, printed)
    if printed is not None:
        return parse_printed(printed)
    return kept(name) if name is not None else Correction()


def kept(name: str) -> Correction:
    """The correction that was kept under the printer's name; raise `GasketError` if there is none."""
    known = read_printers()
    if name not in known:
        there = f"; known are {', '.join(sorted(known))}" if known else ""
        raise GasketError(f"no printer '{name}' is known{there}; measure both bars and add --printed 99.4x100.3")
    return parse_printed(known[name])


def keep(name: str, printed: str) -> Path:
    """Keep what a printer's bars measured in the user's profiles; return the file."""
    if not _NAME.fullmatch(name):
        raise GasketError(f"a printer's name is letters, figures, - and _; '{name}' is not")
    parse_printed(printed)
    return keep_printer(name, printed)


def _cause(share: float) -> str:
    if 24 < share < 27:
        return "inches were taken for millimetres"
    if 0.036 < share < 0.042:
        return "millimetres were taken for inches; write the bar's length in mm"
    if 0.90 < share < 1:
        return "most likely 'fit to page' or an A4 page on Letter paper; print at 100 %, on the paper it is made for"
    if 1 < share < 1.1:
        return "most likely 'fill the page' or a Letter page on A4 paper; print at 100 %, on the paper it is made for"
    return "measure again, between the same edges of the two end lines, and print at 100 %"
