"""What a place in the plane is, everywhere in the program: (x, y) in mm."""

from __future__ import annotations

Point = tuple[float, float]


def place_text(at: Point) -> str:
    """To a tenth of a mm, never -0.

    >>> place_text((-0.02, 12.345))
    '(0.0, 12.3)'
    """
    x, y = (round(one, 1) + 0.0 for one in at)
    return f"({x:.1f}, {y:.1f})"
