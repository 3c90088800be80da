"""`{ oval = [a, b] }`: an ellipse."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, ClassVar

from gasketcut.checked import Size
from gasketcut.described import key
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape

if TYPE_CHECKING:
    from shapely.geometry import Polygon


@dataclass(frozen=True, slots=True)
class Oval(Shape):
    """An ellipse with these full axes, the first along x."""

    word: ClassVar[str] = "oval"

    length: Size
    width: Size = key(
        name="oval",
        joins=("length",),
        what="an ellipse: its length along x and its width",
        how="inside calipers, both ways",
        example="[28.0, 19.0]",
    )

    @property
    def area(self) -> float:
        return pi / 4 * self.length * self.width

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        from gasketcut.shape import outlines

        return outlines.oval(self.length, self.width)
