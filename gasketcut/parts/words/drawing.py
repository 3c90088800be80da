"""`{ file = "port.dxf" }`: the one closed line of a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Self

from gasketcut.described import key
from gasketcut.errors import ShapeError
from gasketcut.parts.words.shape import NO_DRAWINGS, Drawings, Shape

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Drawing(Shape):
    """The one closed line of a DXF file."""

    word: ClassVar[str] = "file"

    file: Path = key(what="a DXF drawing with one closed line, beside the job file", example='"port.dxf"')

    @classmethod
    def read(cls, table: Table) -> Self:
        return table.built(cls, file=Path(table.text("file") or "missing.dxf"))

    @property
    def area(self) -> float:
        raise ShapeError(f"the area of {self.file} is known only once it is drawn; write area_mm2 instead")

    def polygon(self, drawings: Drawings = NO_DRAWINGS) -> Polygon:
        if self.file not in drawings:
            raise ShapeError(f"{self.file} has not been read")
        return drawings[self.file]

    @property
    def drawing_file(self) -> Path:
        return self.file
