"""What a drawing of a part holds, stroke by stroke: one answer for every format and for the proof of each."""

from __future__ import annotations

from gasketcut.cutting.path.stroke import Stroke, strokes_of
from gasketcut.cutting.path.toolpath import ToolPath
from gasketcut.parts.part import Part
from gasketcut.shape.loop import Outline


def drawn(part: Part, outline: Outline, tool: ToolPath | None) -> tuple[Stroke, ...]:
    """What the tool does, where anything is asked of it; else marks, inner contours and outer contour as they are."""
    return tool.strokes if tool else strokes_of(outline, 0, part.marks)
