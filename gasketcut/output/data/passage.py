"""A port or passage as plain data: how clear the sheet stays of it, where, and what motion brings it nearest."""

from __future__ import annotations

from math import degrees
from typing import Any

from gasketcut.checks.passage_row import PassageRow
from gasketcut.output.data.number import rounded, rounded_all


def passage_data(row: PassageRow) -> dict[str, Any]:
    """`clear_mm` is null only where nothing was looked at: nothing says what locates the sheet."""
    motion = None
    if row.motion is not None:
        dx, dy, turn = row.motion
        motion = {
            "dx_mm": rounded(dx),
            "dy_mm": rounded(dy),
            "turn_deg": rounded(degrees(turn), 5),
            "growth_percent": rounded(100 * row.growth),
        }
    return {
        "name": row.name,
        "role": row.role,
        "part": row.part,
        "clear_mm": rounded(row.clear),
        "clear_at": rounded_all(row.at) if row.at else None,
        "clear_motion": motion,
    }
