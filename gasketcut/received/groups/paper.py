"""Sizes of paper: ISO 216 A0 to A5, ANSI/ASME Y14.1 A to E, upright or lying, and what is left within usual margins."""

from __future__ import annotations

from gasketcut.length import IN

_ISO = ((841, 1189), (594, 841), (420, 594), (297, 420), (210, 297), (148, 210))  # mm, ISO 216
_ANSI = ((8.5, 11), (11, 17), (17, 22), (22, 34), (34, 44))  # in, ANSI/ASME Y14.1
_MARGINS = ((0, 0), (20, 30), (20, 20), (10, 10))  # mm off the short and the long side; ISO 5457, and 10 or 5 all round
_SIZE = 0.5
"""mm that a paper's size may be off."""


def paper_of(width: float, height: float) -> str | None:
    """The paper of this size [mm], or of what a usual margin leaves of it.

    >>> paper_of(297, 210), paper_of(277, 180), paper_of(279.4, 215.9), paper_of(300, 210)
    ('A4', "A4 within its margins", 'ANSI A', None)
    """
    short, long = sorted((width, height))
    papers = [(f"A{n}", float(a), float(b)) for n, (a, b) in enumerate(_ISO)]
    papers += [(f"ANSI {'ABCDE'[n]}", a * IN, b * IN) for n, (a, b) in enumerate(_ANSI)]
    for off in _MARGINS:
        for name, a, b in papers:
            for less_a, less_b in (off, off[::-1]):
                if abs(a - less_a - short) <= _SIZE and abs(b - less_b - long) <= _SIZE:
                    return name if off == (0, 0) else f"{name} within its margins"
    return None
