"""What is to be ground off a port, as plain data [mm]."""

from __future__ import annotations

from typing import Any

from gasketcut.evaluation.grinding import Grinding


def ground_data(one: Grinding) -> dict[str, Any]:
    """One port: `wall_mm` is the least wall, `walls` are all of them; steps are positive where metal is in the way."""
    return {
        "port": one.port,
        "face": one.face,
        "asked": one.is_asked,
        "taken_mm2": _rounded(one.taken),
        "wall_mm": _rounded(one.walls[0].mm) if one.walls else None,
        "wall_to": one.walls[0].to if one.walls else None,
        "wall_at": _place(one.walls[0].ends[0]) if one.walls else None,
        "least_wall_mm": one.least_wall,
        "walls": [{"to": wall.to, "wall_mm": _rounded(wall.mm), "at": _place(wall.ends[0])} for wall in one.walls],
        "depths": [{"deg": depth.turn, "take_mm": _rounded(depth.mm)} for depth in one.depths],
        "step_against": one.other or None,
        "steps": [
            {"deg": before.turn, "before_mm": _rounded(before.mm), "after_mm": _rounded(after.mm)}
            for before, after in zip(one.before, one.after, strict=True)
        ],
    }


def _rounded(value: float) -> float:
    return round(value, 4) + 0.0


def _place(at: tuple[float, float]) -> list[float]:
    return [_rounded(at[0]), _rounded(at[1])]
