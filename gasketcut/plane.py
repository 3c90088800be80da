"""What a place in the plane is, everywhere in the program: (x, y) in mm."""

from __future__ import annotations

Point = tuple[float, float]
