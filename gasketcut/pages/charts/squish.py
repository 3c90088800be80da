"""Two pictures of the squish answer: when the ports are open, before and after, and where each choice lands."""

from __future__ import annotations

from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.stack.choices import Choice
from gasketcut.length import IN, both
from gasketcut.output.picture import Picture, arc

_ROWS = 10  # choices shown
_WIDTH = 170.0


def timing_diagram(answer: SquishResult) -> Picture:
    """A circle with TDC on top, clockwise: each port's open arc on a ring of its own, before dashed, after solid."""
    picture = Picture(_WIDTH, 118.0, "Port timing, before and after")
    center, names = (55.0, 55.0), list(answer.after.ports)
    picture.words((2, 112), "Port timing: dashed before, solid after", 10, bold=True)
    picture.line(*arc(center, 46, 0, 360), width=0.2)
    for turn in range(0, 360, 10):
        length = 3.0 if turn % 30 == 0 else 1.5
        picture.line(arc(center, 46, turn, turn)[0], arc(center, 46 - length, turn, turn)[0], width=0.15)
    picture.words((center[0], center[1] + 47.5), "TDC", 8, "middle", bold=True)
    picture.words((center[0], center[1] - 50.5), "BDC", 8, "middle", bold=True)
    ring, row = min(9.0, 36.0 / len(names)), min(21.0, 100.0 / len(names))
    for number, name in enumerate(names):
        radius = 39.0 - ring * number
        before, after = answer.before.ports[name], answer.after.ports[name]
        for timing, away, width, dash in ((before, 1.4, 0.35, (1.2, 0.8)), (after, -1.4, 1.1, ())):
            roof = answer.is_roof(name)
            half = timing.duration / 2
            first, last = (180 - half, 180 + half) if roof else (-half, half)
            picture.line(*arc(center, radius + away, first, last), width=width, dash=dash)
        inside = radius - (ring - 0.2) / 2  # between this ring and the next
        picture.words((center[0], center[1] + (-inside if answer.is_roof(name) else inside) - 0.9), name, 7, "middle")
        _row(picture, name, answer, 100.0 - row * number)
    return picture


def _row(picture: Picture, name: str, answer: SquishResult, y: float) -> None:
    before, after = answer.before.ports[name], answer.after.ports[name]
    when = "after TDC" if answer.is_roof(name) else "before TDC"
    picture.words((112, y), name, 9, bold=True)
    picture.words((112, y - 5), f"opens {before.opens:.1f} -> {after.opens:.1f} deg {when}", 8)
    picture.words((112, y - 9.5), f"open for {before.duration:.1f} -> {after.duration:.1f} deg", 8)
    change = after.duration - before.duration
    words = "longer" if change > 0 else "shorter"
    picture.words((112, y - 14), f"{abs(change):.1f} deg {words}" if abs(change) >= 0.05 else "as before", 8)


def squish_chart(answer: SquishResult) -> Picture:
    """Each choice as a range against the user's band (grey) and floor (thick line)."""
    near = 3 * (answer.band[1] - answer.band[0]) + 0.2
    shown = tuple(choice for choice in answer.choices if abs(choice.squish[1] - answer.target) < near)[:_ROWS]
    height = 26.0 + 7.5 * len(shown) + 14.0
    picture = Picture(_WIDTH, height, "Squish of each choice")
    low, high = _limits(answer, shown)
    left, right, floor = 62.0, 142.0, 16.0
    top = height - 14.0

    def x(mm: float) -> float:
        return left + (mm - low) / (high - low) * (right - left)

    picture.words((2, height - 6), "Squish of each choice: least, likely, most [mm]", 10, bold=True)
    picture.area(
        (x(answer.band[0]), floor), (x(answer.band[1]), floor), (x(answer.band[1]), top), (x(answer.band[0]), top)
    )
    picture.line((x(answer.band[0]), floor), (x(answer.band[0]), top), width=0.8)
    picture.line((x(answer.target), floor), (x(answer.target), top), width=0.25, dash=(1.5, 1.0))
    picture.words((x(answer.band[0]) - 1, top + 1.5), "floor", 7, "end")
    picture.words((x(answer.target), top + 1.5), "target", 7, "middle")
    picture.words((right + 3, top + 1.5), "in band", 7)
    for number, choice in enumerate(shown):
        y = top - 6.0 - 7.5 * number
        best = choice is answer.best
        picture.words((2, y - 1), choice.words, 7.5, bold=best)
        ends = [min(max(value, low), high) for value in choice.squish]
        picture.line((x(ends[0]), y), (x(ends[2]), y), width=1.2 if best else 0.5)
        picture.line((x(ends[1]), y - 1.8), (x(ends[1]), y + 1.8), width=0.5)
        picture.words((right + 3, y - 1), f"{choice.odds.in_band:.0%}", 7.5, bold=best)
    picture.line((left, floor), (right, floor), width=0.25)
    for tick in _ticks(low, high):
        picture.line((x(tick), floor), (x(tick), floor - 1.5), width=0.2)
        picture.words((x(tick), floor - 5), f"{tick:.2f}", 7, "middle")
        picture.words((x(tick), floor - 9), f"{tick / IN:.3f} in", 6, "middle")
    picture.words((2, 2), f"band {both(answer.band[0])} to {both(answer.band[1])}", 7)
    return picture


def _limits(answer: SquishResult, shown: tuple[Choice, ...]) -> tuple[float, float]:
    """Ends of the axis: the band and the choices, with room."""
    values = [value for choice in shown for value in choice.squish]
    low, high = min([answer.band[0], *values]), max([answer.band[1], *values])
    room = 0.08 * (high - low)
    return max(0.0, low - room), high + room


def _ticks(low: float, high: float) -> list[float]:
    step = next(step for step in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 5.0, 50.0) if (high - low) / step <= 8)
    first = int(low / step) + 1
    return [round(step * number, 4) for number in range(first, int(high / step + 1e-9) + 1)]
