"""The timed trials as a picture: every one a dot, each condition's mean a bar, and what can be said."""

from __future__ import annotations

import textwrap

from gasketcut.engine.topend.trials import Rates, Trials
from gasketcut.output.picture import Picture, arc
from gasketcut.output.text.trials import trial_sentence

_LEFT, _RIGHT, _ROW, _FOOT, _HEAD = 48.0, 12.0, 16.0, 34.0, 16.0


def trials_picture(trials: Trials, title: str) -> Picture:
    """Seconds, or seconds for each cm2, from nought to the right; a row for each condition."""
    rates, is_area = trials.rates, trials.is_area
    unit = 100.0 if is_area else 1.0  # shown for each cm2
    says = [trial_sentence(found) for found in trials.compared] or ["one condition only: time the other one too"]
    lines = [line for one in says for line in textwrap.wrap(one[0].upper() + one[1:] + ".", 92)]
    foot = _FOOT + 5.0 * len(lines)
    picture = Picture(180.0, _HEAD + _ROW * len(rates) + foot, f"{title}: timed trials")
    most = max(max(one.rates) for one in rates) * unit * 1.05
    wide = picture.width - _LEFT - _RIGHT
    picture.words((8.0, picture.height - 9.0), f"Timed trials: {title}", 11, bold=True)
    for number, one in enumerate(rates):
        _row(picture, one, picture.height - _HEAD - _ROW * (number + 0.6), wide / most, unit)
    base = foot - 4.0
    picture.line((_LEFT, base), (_LEFT + wide, base), width=0.3)
    step = _step(most)
    count = 0
    while count * step <= most:
        x = _LEFT + count * step * wide / most
        picture.line((x, base), (x, base - 1.5), width=0.3)
        picture.words((x, base - 5.5), f"{count * step:g}", 8, "middle")
        count += 1
    picture.words((_LEFT + wide / 2, base - 11.0), "seconds for each cm2" if is_area else "seconds", 8, "middle")
    for number, line in enumerate(lines):
        picture.words((8.0, base - 18.0 - 5.0 * number), line, 8.5)
    return picture


def _row(picture: Picture, one: Rates, y: float, scale: float, unit: float) -> None:
    picture.words((8.0, y - 1.0), one.condition if len(one.condition) < 22 else one.condition[:20] + "...", 9)
    for number, rate in enumerate(one.rates):
        # Dots that would hide each other lie a little apart.
        lift = (number % 3 - 1) * 1.6
        ring = arc((_LEFT + rate * unit * scale, y + lift), 1.1, 0.0, 360.0)
        picture.area(*ring, fill=0.7, width=0.3)
    x = _LEFT + one.mean * unit * scale
    picture.line((x, y - 5.0), (x, y + 5.0), width=0.8)
    picture.words((x, y + 6.0), f"{one.mean * unit:.3g}", 8, "middle")


def _step(most: float) -> float:
    """Of the ticks: one, two or five of a power of ten, some five of them."""
    power = 10.0 ** int(f"{most / 5:e}".split("e")[1])
    return next(power * one for one in (1, 2, 5, 10) if power * one >= most / 5)
