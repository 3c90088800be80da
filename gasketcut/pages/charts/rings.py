"""When ports are open: TDC on top, clockwise, a ring for each port."""

from __future__ import annotations

from gasketcut.engine.ports.timing import Timing
from gasketcut.engine.squish.result import SquishResult
from gasketcut.output.picture import Picture, arc
from gasketcut.plane import Point

_WIDTH = 170.0
_CENTER: Point = (55.0, 55.0)
_OUTER = 46.0  # mm, of the degree circle


def timing_diagram(answer: SquishResult) -> Picture:
    """Every port's open arc on a ring of its own, before dashed, after solid."""
    picture = Picture(_WIDTH, 118.0, "Port timing, before and after")
    names = list(answer.after.ports)
    picture.words((2, 112), "Port timing: dashed before, solid after", 10, bold=True)
    _circle(picture)
    ring, row = min(9.0, 36.0 / len(names)), min(21.0, 100.0 / len(names))
    for number, name in enumerate(names):
        radius = 39.0 - ring * number
        before, after = answer.before.ports[name], answer.after.ports[name]
        _open(picture, before, radius + 1.4, 0.35, (1.2, 0.8))
        _open(picture, after, radius - 1.4, 1.1, ())
        inside = radius - (ring - 0.2) / 2  # between this ring and the next
        picture.words((_CENTER[0], _CENTER[1] + (-inside if after.by_crown else inside) - 0.9), name, 7, "middle")
        _row(picture, name, before, after, 100.0 - row * number)
    return picture


def ring_of(timing: Timing) -> Picture:
    """One port alone."""
    picture = Picture(110.0, 118.0, "Port timing")
    picture.words((2, 112), f"opens {timing.opens:.1f} deg {_when(timing)}, open for {timing.duration:.1f} deg", 10)
    _circle(picture)
    _open(picture, timing, 39.0, 1.1, ())
    return picture


def _circle(picture: Picture) -> None:
    picture.line(*arc(_CENTER, _OUTER, 0, 360), width=0.2)
    for turn in range(0, 360, 10):
        length = 3.0 if turn % 30 == 0 else 1.5
        picture.line(arc(_CENTER, _OUTER, turn, turn)[0], arc(_CENTER, _OUTER - length, turn, turn)[0], width=0.15)
    picture.words((_CENTER[0], _CENTER[1] + _OUTER + 1.5), "TDC", 8, "middle", bold=True)
    picture.words((_CENTER[0], _CENTER[1] - _OUTER - 4.5), "BDC", 8, "middle", bold=True)


def _open(picture: Picture, timing: Timing, radius: float, width: float, dash: tuple[float, ...]) -> None:
    half = timing.duration / 2
    first, last = (180 - half, 180 + half) if timing.by_crown else (-half, half)
    picture.line(*arc(_CENTER, radius, first, last), width=width, dash=dash)


def _when(timing: Timing) -> str:
    return "after TDC" if timing.by_crown else "before TDC"


def _row(picture: Picture, name: str, before: Timing, after: Timing, y: float) -> None:
    picture.words((112, y), name, 9, bold=True)
    picture.words((112, y - 5), f"opens {before.opens:.1f} -> {after.opens:.1f} deg {_when(after)}", 8)
    picture.words((112, y - 9.5), f"open for {before.duration:.1f} -> {after.duration:.1f} deg", 8)
    change = after.duration - before.duration
    words = "longer" if change > 0 else "shorter"
    picture.words((112, y - 14), f"{abs(change):.1f} deg {words}" if abs(change) >= 0.05 else "as before", 8)
