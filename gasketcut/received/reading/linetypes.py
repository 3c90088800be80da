"""The line type that something is drawn with: its own, its layer's, or that of the block reference around it."""

from __future__ import annotations

from gasketcut.received.reading.numbers import EntityNumbers
from gasketcut.received.reading.tags import CONTINUOUS, TaggedDrawing


def linetype_of(drawing: TaggedDrawing, numbers: EntityNumbers, layer: str, around: str) -> str:
    """Its name; `around` is that of the block reference. What names none has its layer's, source: DXF reference."""
    own = numbers.text(6) or "BYLAYER"
    if own.upper() == "BYBLOCK":
        return around
    row = drawing.layers.get(layer.upper()) if own.upper() == "BYLAYER" else None
    return own if own.upper() != "BYLAYER" else row.linetype if row else CONTINUOUS
