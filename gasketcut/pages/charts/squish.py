"""Where each choice of base gasket lands, against the band that is wanted."""

from __future__ import annotations

from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.stack.choices import Choice
from gasketcut.length import IN, both
from gasketcut.output.picture import Picture

_ROWS = 10  # choices shown
_WIDTH = 170.0


def squish_chart(answer: SquishResult) -> Picture:
    """Each choice as a range against the user's band (grey) and floor (thick line)."""
    near = 3 * (answer.band[1] - answer.band[0]) + 0.2
    shown = tuple(choice for choice in answer.choices if abs(choice.squish[1] - answer.target) < near)[:_ROWS]
    height = 26.0 + 7.5 * len(shown) + 14.0
    picture = Picture(_WIDTH, height, "Squish of each choice", answer.units)
    low, high = _limits(answer, shown)
    left, right, floor = 62.0, 142.0, 16.0
    top = height - 14.0

    def x(mm: float) -> float:
        return left + (mm - low) / (high - low) * (right - left)

    picture.words((2, height - 6), f"Squish of each choice: least, likely, most [{answer.units}]", 10, bold=True)
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
        marks = (
            (f"{tick:.2f}", f"{tick / IN:.3f} in") if answer.units == "mm" else (f"{tick / IN:.3f}", f"{tick:.2f} mm")
        )
        picture.words((x(tick), floor - 5), marks[0], 7, "middle")
        picture.words((x(tick), floor - 9), marks[1], 6, "middle")
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
