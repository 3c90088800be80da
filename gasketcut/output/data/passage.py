"""A port or passage as plain data: how clear the sheet stays of it, how wide it seals, where, and by what motion."""

from __future__ import annotations

from math import degrees
from typing import Any

from gasketcut.evaluation.passage_row import PassageRow
from gasketcut.output.data.number import rounded, rounded_all


def passage_data(row: PassageRow) -> dict[str, Any]:
    """`clear_mm` is null only where nothing was looked at: nothing says what locates the sheet."""
    motion, seal = _motion(row.motion) if row.motion is not None else None, row.seal
    if motion is not None:
        motion["growth_percent"] = rounded(100 * row.growth)
    return {
        "name": row.name,
        "role": row.role,
        "part": row.part,
        "clear_mm": rounded(row.clear),
        "clear_at": rounded_all(row.at) if row.at else None,
        "clear_motion": motion,
        "sealed_mm": rounded(seal.width) if seal else None,
        "sealed_at": rounded_all(seal.at) if seal else None,
        "sealed_motion": _motion(seal.motion or (0.0, 0.0, 0.0)) if seal else None,
        "sealed_against": seal.against if seal else None,
    }


def _motion(motion: tuple[float, float, float]) -> dict[str, float | None]:
    dx, dy, turn = motion
    return {"dx_mm": rounded(dx), "dy_mm": rounded(dy), "turn_deg": rounded(degrees(turn), 5)}
