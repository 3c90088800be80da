"""The shape words, one a file; a new one is registered by one line here."""

from __future__ import annotations

from gasketcut.parts.words.arc_roof import ArcRoof
from gasketcut.parts.words.d_shape import DShape
from gasketcut.parts.words.drawing import Drawing
from gasketcut.parts.words.oval import Oval
from gasketcut.parts.words.points import Points
from gasketcut.parts.words.rectangle import Rectangle
from gasketcut.parts.words.round import Round
from gasketcut.parts.words.shape import Drawings, Placed, Shape
from gasketcut.parts.words.slot import Slot

SHAPES: dict[str, type[Shape]] = {
    shape.word: shape for shape in (Round, Slot, Oval, Rectangle, DShape, ArcRoof, Points, Drawing)
}

__all__ = ["SHAPES", "ArcRoof", "DShape", "Drawing", "Drawings", "Oval", "Placed", "Points", "Rectangle", "Round",
           "Shape", "Slot"]  # fmt: skip
