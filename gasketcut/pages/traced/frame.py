"""Where the parts of a picture lie on a sheet, and the picture itself below them."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image

from gasketcut.arrays import Array
from gasketcut.capture.image.picture_file import Scan
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.traced_part import TracedPart
from gasketcut.output.picture import Photograph, Picture
from gasketcut.pages.free_place import Box
from gasketcut.plane import Point

_FAINT = 0.5
"""Of white that is mixed into the picture, so that lines and words stand out from it. Our choice."""

_FINEST = 12.0
"""Dots a mm on paper: about 300 an inch, what paper shows."""

_ENCODED = 1 / 2.2


@dataclass(frozen=True, slots=True)
class Frame:
    """A field on the sheet [mm on paper] and the way onto it.

    scale  : how many times life size
    corner : what lies at the field's lower left corner, in mm of the picture, y up from its upper left corner
    """

    field: Box
    scale: float
    corner: Point

    def at(self, part: TracedPart, point: Point | Array) -> Point:
        """A place of the part on the sheet."""
        x, y = part.middle[0] + float(point[0]), float(point[1]) - part.middle[1]
        return self.field[0] + (x - self.corner[0]) * self.scale, self.field[1] + (y - self.corner[1]) * self.scale


def box_of_parts(parts: tuple[TracedPart, ...]) -> Box:
    """Left, low, right, high of them all, in mm of the picture, y up."""
    rings = [np.add(part.ring, (part.middle[0], -part.middle[1])) for part in parts]
    low, high = np.min([one.min(axis=0) for one in rings], axis=0), np.max([one.max(axis=0) for one in rings], axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def picture_below(picture: Picture, frame: Frame, scan: Scan, scale: Scale) -> None:
    """As much of the scan as the field shows, made faint."""
    left, low, right, high = frame.field
    rows, columns = scan.light.shape
    x, y = frame.corner
    first = max(0, int(np.ceil(x / scale.sx))), max(0, int(np.ceil(-(y + (high - low) / frame.scale) / scale.sy)))
    last = (
        min(columns, int((x + (right - left) / frame.scale) / scale.sx) + 1),
        min(rows, int(-y / scale.sy) + 1),
    )
    if last[0] - first[0] < 2 or last[1] - first[1] < 2:
        return
    light = scan.light[first[1] : last[1], first[0] : last[0]]
    grey = _FAINT + (1 - _FAINT) * np.clip(light, 0, 1) ** _ENCODED
    size = (last[0] - first[0]) * scale.sx * frame.scale, (last[1] - first[1]) * scale.sy * frame.scale
    made = Image.fromarray((grey * 255).astype(np.uint8))
    most = max(1, round(size[0] * _FINEST)), max(1, round(size[1] * _FINEST))
    if most[0] < made.width:
        made = made.resize(most, Image.Resampling.BOX)
    stream = io.BytesIO()
    made.save(stream, "PNG")
    # A pixel's own middle is its place, so the first begins half a pixel before it.
    across, up = (first[0] - 0.5) * scale.sx - x, -(first[1] - 0.5) * scale.sy - y
    at = left + across * frame.scale, low + up * frame.scale - size[1]
    picture.marks.append(Photograph(at, size, stream.getvalue()))
