"""Overcut: a knife's closed cut runs on past its start, so that the last of it is parted too.

Source: a practice report on drag knives recuts past the start, since the tip trails behind; a plotter's manual starts
with 1.0 mm, and 2.0 mm for large closed shapes. It must be no less than the blade's offset.
"""

from __future__ import annotations

from gasketcut.cutting.path.stroke import OVERCUT, Stroke, between


def overcut_of(stroke: Stroke, length: float) -> Stroke | None:
    """The first `length` mm of the closed stroke once more, at most one whole round; None for an open one or length 0.

    It starts where the stroke ends, so the tool runs into it without lifting.
    """
    if not stroke.is_closed or length <= 0:
        return None
    return Stroke(OVERCUT, stroke.part, between(stroke.segments, 0.0, min(length, stroke.length)))
