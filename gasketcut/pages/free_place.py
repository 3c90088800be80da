"""Where a word may stand beside what it names: near to it, clear of the others, and inside its field."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gasketcut.output.picture import Picture
from gasketcut.plane import Point

Box = tuple[float, float, float, float]
"""Left, low, right, high [mm on paper]."""

_ROOM = 0.3  # mm about a word
_WAYS = ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1))
AWAY = (2.7, 5.0, 8.0, 11.0, 15.0, 20.0, 26.0)
"""mm from the place to the word, in the order they are tried."""


def free_corner(
    at: Point,
    size: Point,
    taken: Sequence[Box],
    field: Box,
    *,
    away: Iterable[float] = AWAY,
    ways: Sequence[Point] = _WAYS,
) -> Point | None:
    """Lower left corner of a word beside `at`, as near as it stands clear of what is taken; None if nowhere."""
    wide, tall = size
    for far in away:
        for x, y in ways:
            corner = (at[0] + x * far - wide * (1 - _sign(x)) / 2, at[1] + y * far - tall * (1 - _sign(y)) / 2)
            box = box_of(corner, size)
            inside = box[0] > field[0] and box[1] > field[1] and box[2] < field[2] and box[3] < field[3]
            if inside and not any(
                box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in taken
            ):
                return corner
    return None


def box_of(corner: Point, size: Point) -> Box:
    """What a word takes up."""
    return corner[0] - _ROOM, corner[1] - _ROOM, corner[0] + size[0] + _ROOM, corner[1] + size[1] + _ROOM


def on_white(picture: Picture, box: Box) -> None:
    """White below a word, over whatever is there."""
    picture.area((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]), fill=1.0)


def _sign(number: float) -> float:
    """Of a way: 1, -1, or what it is between, so that a word beside a slanting edge slides along it."""
    return max(-1.0, min(1.0, number * 1.5))
