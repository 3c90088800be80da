"""Notes that every drawing of ours carries, whatever its format."""

from __future__ import annotations

from gasketcut.cutting.path.kerf import kerf_words
from gasketcut.length import Units, both, in_order
from gasketcut.parts.part import Part


def sheet_text(part: Part, units: Units) -> str:
    """The sheet that the part is cut from, thickness in both systems."""
    return f"{part.stock.name}, {in_order(both(part.stock.thickness), units)}" if part.stock else "sheet not named"


def notes(part: Part, units: Units, kerf: float | None = None) -> list[str]:
    """What an operator has to know, one fact a line, for a file's comments; `kerf` as applied [mm]."""
    lines = [
        f"part: {part.name}",
        f"units: {units}",
        f"sheet: {sheet_text(part, units)}",
        f"cut: {part.count}",
        kerf_words(kerf),
    ]
    if part.face_up:
        lines.append(f"face up: {part.face_up}")
    return lines
