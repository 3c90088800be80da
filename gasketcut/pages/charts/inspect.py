"""A received drawing with its faults marked: contours in grey, open lines heavy, a numbered ring at each fault."""

from __future__ import annotations

from gasketcut.output.picture import Picture, arc, as_svg
from gasketcut.output.proof.svg import prove_size
from gasketcut.plane import Point
from gasketcut.received.inspection import Inspection
from gasketcut.shape.loop import Segment

_WIDTH = 180.0
_MARGIN = 12.0
_MOST = 60
"""Faults that get a ring: more would hide the drawing."""


def inspect_svg(found: Inspection, file: str) -> bytes:
    """The bytes of an SVG, a page wide, not to scale; a list of the numbered faults below."""
    lines = [contour.contour.flattened(0.02) for contour in found.closed]
    opens = [_points(one.segments) for one in found.open]
    xy = [point for line in (*lines, *opens) for point in line] or [(0.0, 0.0)]
    left, low = min(x for x, _ in xy), min(y for _, y in xy)
    width, height = max(x for x, _ in xy) - left, max(y for _, y in xy) - low
    scale = min((_WIDTH - 2 * _MARGIN) / max(width, 1e-6), 160.0 / max(height, 1e-6))
    placed = [flaw for flaw in found.flaws if flaw.at is not None][:_MOST]
    without = [flaw for flaw in found.flaws if flaw.at is None][:_MOST]
    foot = 6.0 * (len(placed) + len(without) + 3)
    picture = Picture(_WIDTH, height * scale + 2 * _MARGIN + foot, f"{file}: what was found")

    def place(point: Point) -> Point:
        return _MARGIN + (point[0] - left) * scale, foot + _MARGIN + (point[1] - low) * scale

    for line in lines:
        picture.line(*[place(point) for point in (*line, line[0])], width=0.25, grey=0.35)
    for line, one in zip(opens, found.open, strict=True):
        picture.line(*[place(point) for point in line], width=0.3 if one.is_mark else 0.9, dash=(2.0, 1.0))
    used: list[Point] = []
    for number, flaw in enumerate(placed, 1):
        at = place(found.plane(*(flaw.at or (0.0, 0.0))))
        beside = _free(at, used)
        used.append(beside)
        picture.line(*arc(at, 2.0, 0.0, 360.0), width=0.5)
        picture.words((beside[0] + 2.6, beside[1] + 1.2), str(number), 8, bold=True)
    y = foot - 4.0
    picture.words((_MARGIN, y), f"{file}: {found.verdict}", 10, bold=True)
    rows = [f"{number}  {flaw.kind}: {flaw.text}" for number, flaw in enumerate(placed, 1)]
    rows += [f"-  {flaw.kind}: {flaw.text}" for flaw in without]
    for row in rows:
        y -= 6.0
        picture.words((_MARGIN, y), row if len(row) < 105 else row[:102] + "...", 8)
    data = as_svg(picture)
    prove_size(data, (picture.width, picture.height), file)
    return data


def _points(segments: tuple[Segment, ...]) -> list[Point]:
    return [*(point for one in segments for point in one.points(0.02)), segments[-1].end]


def _free(at: Point, used: list[Point]) -> Point:
    """Beside the ring, a line lower for each number that already stands there."""
    x, y = at
    while any(abs(x - u) < 5.0 and abs(y - v) < 2.8 for u, v in used):
        y -= 3.0
    return x, y
