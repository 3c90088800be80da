"""Where each choice of base gasket lands, on the average and at the tight place, against the band that is wanted."""

from __future__ import annotations

from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.stack.choices import Choice
from gasketcut.length import IN, span
from gasketcut.output.picture import Picture
from gasketcut.parts.stock import Range

_ROWS = 10  # choices shown
_STEP = 8.5  # from one to the next [mm]
_WIDTH = 170.0


def squish_chart(answer: SquishResult) -> Picture:
    """Each choice as two ranges, mean above tight place, against the user's band (grey) and floor (thick line)."""
    near = 3 * (answer.band[1] - answer.band[0]) + 0.2
    shown = tuple(choice for choice in answer.choices if abs(choice.squish[1] - answer.target) < near)[:_ROWS]
    height = 26.0 + _STEP * max(len(shown), 1) + 14.0
    picture = Picture(_WIDTH, height, "Squish of each choice", answer.units)
    low, high = _limits(answer, shown)
    left, right, floor = 58.0, 136.0, 16.0
    top = height - 14.0

    def x(mm: float) -> float:
        return left + (min(max(mm, low), high) - low) / (high - low) * (right - left)

    def range_at(values: Range, y: float, width: float, *, dash: tuple[float, ...] = ()) -> None:
        picture.line((x(values[0]), y), (x(values[2]), y), width=width, dash=dash)
        picture.line((x(values[1]), y - 1.2), (x(values[1]), y + 1.2), width=0.5)

    title = f"Squish of each choice: least, likely, most at 95 % [{answer.units}]"
    picture.words((2, height - 6), title, 10, bold=True)
    picture.area(
        (x(answer.band[0]), floor), (x(answer.band[1]), floor), (x(answer.band[1]), top), (x(answer.band[0]), top)
    )
    picture.line((x(answer.band[0]), floor), (x(answer.band[0]), top), width=0.8)
    picture.line((x(answer.target), floor), (x(answer.target), top), width=0.25, dash=(1.5, 1.0))
    picture.words((x(answer.band[0]) - 1, top + 1.5), "floor", 7, "end")
    picture.words((x(answer.target), top + 1.5), "target", 7, "middle")
    picture.words((right + 3, top + 1.5), "in band", 7)
    picture.words((right + 18, top + 1.5), "under floor", 7)
    if not shown:
        picture.words((2, top - 7.0), f"none: {answer.verdict.value}", 7.5, bold=True)
    for number, choice in enumerate(shown):
        y = top - 5.0 - _STEP * number
        best = choice is answer.best
        picture.words((2, y - 2.5), choice.words, 7.5, bold=best)
        range_at(choice.squish, y, 1.2 if best else 0.6)
        range_at(choice.tight, y - 3.4, 0.6 if best else 0.3, dash=(0.8, 0.6))
        picture.words((right + 3, y - 2.5), f"{choice.odds.in_band:.0%}", 7.5, bold=best)
        picture.words((right + 18, y - 2.5), f"{choice.odds.under_floor:.1%}", 7.5, bold=best)
    picture.line((left, floor), (right, floor), width=0.25)
    for tick in _ticks(low, high):
        picture.line((x(tick), floor), (x(tick), floor - 1.5), width=0.2)
        marks = (
            (f"{tick:.2f}", f"{tick / IN:.3f} in") if answer.units == "mm" else (f"{tick / IN:.3f}", f"{tick:.2f} mm")
        )
        picture.words((x(tick), floor - 5), marks[0], 7, "middle")
        picture.words((x(tick), floor - 9), marks[1], 6, "middle")
    key = "full line: mean of the squish; broken line: tight place, by which band and floor are judged"
    picture.words((2, 2), f"band {span(*answer.band)}; {key}", 6.5)
    return picture


def _limits(answer: SquishResult, shown: tuple[Choice, ...]) -> tuple[float, float]:
    """Ends of the axis: the band and the choices, with room."""
    values = [value for choice in shown for value in (*choice.squish, *choice.tight)]
    low, high = min([answer.band[0], *values]), max([answer.band[1], *values])
    room = 0.08 * (high - low)
    return max(0.0, low - room), high + room


def _ticks(low: float, high: float) -> list[float]:
    step = next(step for step in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 5.0, 50.0) if (high - low) / step <= 8)
    first = int(low / step) + 1
    return [round(step * number, 4) for number in range(first, int(high / step + 1e-9) + 1)]
