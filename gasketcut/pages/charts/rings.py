"""When ports are open: TDC on top, clockwise, a ring for each port, on it a line for each stage of what is planned."""

from __future__ import annotations

from math import sqrt

from gasketcut.engine.ports.timing import Timing
from gasketcut.engine.squish.result import SquishResult
from gasketcut.length import PT
from gasketcut.output.picture import Picture, arc
from gasketcut.pages.columns import wide
from gasketcut.plane import Point

_WIDTH = 170.0
_CENTER: Point = (55.0, 55.0)
_OUTER = 46.0  # mm, of the degree circle
_NAMES, _OPENS, _OPEN_FOR = 112.0, 152.0, 168.0  # columns beside the rings
_NOW, _BETWEEN, _AFTER = (0.35, (1.2, 0.8)), (0.45, ()), (1.1, ())
"""Width and dashes of a line: as it is now, with the gasket alone, with everything that is planned."""


def timing_diagram(answer: SquishResult) -> Picture:
    """Every port's open arc on a ring of its own: now dashed, at the end heavy, a fine line for what lies between."""
    picture = Picture(_WIDTH, 118.0, "Port timing, before and after")
    stages = [(stage.value, state.ports) for stage, state in answer.stages]
    lines = [_NOW, _BETWEEN, _AFTER] if len(stages) > 2 else [_NOW, _AFTER][: len(stages)]
    picture.words((2, 112), f"Port timing: {'; '.join(_legend(stages))}", 10, bold=True)
    _circle(picture)
    names = list(answer.after.ports)
    ring, pitch = min(9.0, 36.0 / len(names)), min(21.0, 100.0 / len(names))
    apart = min(1.4, 0.2 * ring)
    for number, name in enumerate(names):
        radius = 39.0 - ring * number
        timings = [(words, ports[name]) for words, ports in stages]
        for place, ((_, timing), (width, dash)) in enumerate(zip(timings, lines, strict=True)):
            _open(picture, timing, radius + apart - 2 * apart * place / max(1, len(lines) - 1), width, dash)
        _name(picture, name, radius - apart - _AFTER[0] / 2, min(7.0, ring), timings[0][1])
        _rows(picture, name, timings, 103.0 - pitch * number, min(4.5, pitch / (len(stages) + 1.2)))
    return picture


def ring_of(timing: Timing) -> Picture:
    """One port alone."""
    picture = Picture(110.0, 118.0, "Port timing")
    when = "after TDC" if timing.by_crown else "before TDC"
    picture.words((2, 112), f"opens {timing.opens:.1f} deg {when}, open for {timing.duration:.1f} deg", 10)
    _circle(picture)
    _open(picture, timing, 39.0, *_AFTER)
    return picture


def _legend(stages: list[tuple[str, dict[str, Timing]]]) -> list[str]:
    looks = ["dashed", "fine", "heavy"] if len(stages) > 2 else ["dashed", "heavy"]
    return [f"{words} {look}" for (words, _), look in zip(stages, looks, strict=False)]


def _circle(picture: Picture) -> None:
    picture.line(*arc(_CENTER, _OUTER, 0, 360), width=0.2)
    for turn in range(0, 360, 10):
        length = 3.0 if turn % 30 == 0 else 1.5
        picture.line(arc(_CENTER, _OUTER, turn, turn)[0], arc(_CENTER, _OUTER - length, turn, turn)[0], width=0.15)
    picture.words((_CENTER[0], _CENTER[1] + _OUTER + 1.5), "TDC", 8, "middle", bold=True)
    picture.words((_CENTER[0], _CENTER[1] - _OUTER - 4.5), "BDC", 8, "middle", bold=True)


def _name(picture: Picture, name: str, radius: float, size: float, timing: Timing) -> None:
    """Inside the innermost line of its ring, far enough for its ends to stay clear of the arc."""
    half, tall = wide(name, size) / 2, 0.73 * size / PT
    middle = sqrt(max(0.0, radius**2 - half**2)) - 0.4 - tall / 2
    picture.words((_CENTER[0], _CENTER[1] + (-middle if timing.by_crown else middle) - tall / 2), name, size, "middle")


def _open(picture: Picture, timing: Timing, radius: float, width: float, dash: tuple[float, ...]) -> None:
    half = timing.duration / 2
    first, last = (180 - half, 180 + half) if timing.by_crown else (-half, half)
    picture.line(*arc(_CENTER, radius, first, last), width=width, dash=dash)


def _rows(picture: Picture, name: str, timings: list[tuple[str, Timing]], y: float, step: float) -> None:
    """The port's degrees, a line for each stage."""
    size = min(8.0, step * 1.8)
    picture.words((_NAMES, y), name, size + 1, bold=True)
    picture.words((_OPENS, y), "opens ATDC" if timings[0][1].by_crown else "opens BTDC", size - 1, "end")
    picture.words((_OPEN_FOR, y), "open for", size - 1, "end")
    for number, (words, timing) in enumerate(timings):
        down = y - step * (number + 1)
        is_last = number == len(timings) - 1
        picture.words((_NAMES, down), words, size, bold=is_last)
        picture.words((_OPENS, down), f"{timing.opens:.1f}", size, "end", bold=is_last)
        picture.words((_OPEN_FOR, down), f"{timing.duration:.1f}", size, "end", bold=is_last)
