"""A part's shapes on a picture: shifted to their place, enlarged, and cut off at a frame."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.output.picture import Picture
from gasketcut.plane import Point

_HATCH = 0.6  # mm on the picture between hatch lines
_LEAST = 1e-3  # mm2 on the picture: less is not hatched

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class View:
    """Where a part's coordinates [mm] lie on a picture.

    origin  on the picture, of the part's (0, 0)
    scale   how many times enlarged
    frame   left, low, right, high on the picture, beyond which nothing is drawn; None: everything is
    """

    picture: Picture
    origin: Point
    scale: float = 1.0
    frame: Box | None = None

    def at(self, place: Point) -> Point:
        """A place of the part on the picture."""
        return self.origin[0] + place[0] * self.scale, self.origin[1] + place[1] * self.scale

    def outline(self, shape: BaseGeometry, width: float, dash: tuple[float, ...] = (), grey: float = 0.0) -> None:
        """The edges of an area."""
        for polygon in shapely.get_parts(self._placed(shape)):
            if isinstance(polygon, Polygon):
                for ring in (polygon.exterior, *polygon.interiors):
                    self._line(shapely.simplify(LineString(ring.coords), 0.005), width, dash, grey)

    def filled(self, shape: BaseGeometry, grey: float) -> None:
        """The area in light grey, its holes white."""
        placed = self._placed(shape)
        seen = placed if self.frame is None else shapely.intersection(placed, shapely.box(*self.frame))
        for polygon in shapely.get_parts(seen):
            if isinstance(polygon, Polygon) and not polygon.is_empty:
                self.picture.area(*((x, y) for x, y in polygon.exterior.coords), fill=grey)
                for ring in polygon.interiors:
                    self.picture.area(*((x, y) for x, y in ring.coords), fill=1.0)

    def hatched(self, shape: BaseGeometry) -> None:
        """Lines at 45 degrees through the area, and its edge."""
        for polygon in shapely.get_parts(self._placed(shape)):
            if not isinstance(polygon, Polygon) or polygon.area < _LEAST:
                continue
            left, low, right, high = polygon.bounds
            reach = right - left + high - low
            for step in range(int(reach / _HATCH) + 1):
                x = left - (high - low) + step * _HATCH
                self._line(polygon.intersection(LineString([(x, low), (x + high - low, high)])), 0.15, (), 0.0)
            self._line(LineString(polygon.exterior.coords), 0.3, (), 0.0)

    def _placed(self, shape: BaseGeometry) -> BaseGeometry:
        (x, y), scale = self.origin, self.scale
        return shapely.transform(shape, lambda points: points * scale + (x, y))

    def _line(self, line: BaseGeometry, width: float, dash: tuple[float, ...], grey: float) -> None:
        seen = line if self.frame is None else shapely.clip_by_rect(line, *self.frame)
        for part in shapely.get_parts(seen):
            if isinstance(part, LineString) and len(part.coords) > 1:
                self.picture.line(*((x, y) for x, y in part.coords), width=width, dash=dash, grey=grey)
