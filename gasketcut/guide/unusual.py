"""A word on an answer that can be, but lies outside of what is usual; nothing is refused for that."""

from __future__ import annotations

from typing import Any

from gasketcut.described import usual_range
from gasketcut.guide.questions import Question
from gasketcut.guide.typed import value_of
from gasketcut.length import parse_angle, parse_measured


def unusual(question: Question, text: str, units: str | None) -> str | None:
    """What to look at again, or None; the answer has been taken already."""
    asked = question.taken_as(text)
    usual, unit = asked.usual_range, asked.key.unit
    if usual is None:
        return None
    value = value_of(asked, text, units)
    out = [one for one in _numbers(value, asked.form, units) if not usual.low <= one <= usual.high]
    if not out:
        return None
    shown = " and ".join(f"{one:g} {unit}".strip() for one in out)
    return f"{shown} is kept, but {usual_range(usual, unit)} is usual ({usual.source}): is the number right?"


def _numbers(value: Any, form: str, units: str | None) -> list[float]:
    """In the unit of the key."""
    if isinstance(value, list):
        return [number for one in value for number in _numbers(one, form, units)]
    if form == "angle":
        return [parse_angle(str(value))]
    return [float(value)] if form == "number" else [parse_measured(str(value), units or "mm").value]
