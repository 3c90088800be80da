"""What a person typed in answer to a question, as it stands in the job file: a bare number, or a text with its unit."""

from __future__ import annotations

import re
from typing import Any

from gasketcut.errors import GasketError, LengthError
from gasketcut.guide.questions import Question
from gasketcut.length import parse_angle, parse_length
from gasketcut.tolerances import LARGEST


class AnswerError(GasketError, ValueError):
    """An answer that cannot be taken; the text says what to write."""


def value_of(question: Question, text: str, units: str | None) -> Any:
    """As it stands in the file: a bare number, or a text with its unit; mm where nobody has said."""
    text = text.strip()
    if question.form in ("word", "unit"):
        if text not in question.words:
            raise AnswerError(f"write one of {', '.join(question.words)}")
        return text
    if question.form == "text":
        return text
    if question.form == "number":
        return _within(question, _number(text))
    if question.form == "angle":
        return _angle(question, text)
    if question.form == "lengths":
        parts = [part for part in re.split(r"[;,]\s*|\s+(?=\d)", text) if part]
        if len(parts) != 2:
            raise AnswerError("write two lengths, e.g. 12.0, 10.5")
        return [_length(part, units) for part in parts]
    if question.form == "places":
        return [_place(part, units) for part in text.split(";") if part.strip()]
    return _length(text, units)


def _number(text: str) -> int | float:
    try:
        value = float(text)
    except ValueError as error:
        raise AnswerError(f"{text!r} is no number; write e.g. 150") from error
    if not abs(value) < 1e9:
        raise AnswerError(f"{text!r} is no number that was measured")
    return int(value) if value == int(value) and "." not in text else value


def _angle(question: Question, text: str) -> str:
    text = f"{text} deg" if re.fullmatch(r"[\d.]+", text) else text
    try:
        _within(question, parse_angle(text))
    except LengthError as error:
        raise AnswerError(str(error)) from error
    return text


def _within(question: Question, value: Any) -> Any:
    """The value, or the limits of its key that it breaks."""
    limits = question.key.form.limits
    if limits is not None and (fault := limits.fault(float(value))):
        raise AnswerError(fault)
    return value


def _length(text: str, units: str | None) -> Any:
    text = text.strip()
    if re.fullmatch(r"-\s*[\d.].*", text):
        raise AnswerError(f"{text!r} is below nought")
    is_bare = bool(re.fullmatch(r"[\d.]+", text))
    try:
        value = parse_length(f"{text} {units or 'mm'}" if is_bare else text)
    except GasketError as error:
        raise AnswerError(str(error)) from error
    if value > LARGEST:
        raise AnswerError(f"{text!r} is over 2 m; check the number and its unit")
    if is_bare and units is None:
        return f"{text} mm"
    return _number(text) if is_bare else text


def _place(text: str, units: str | None) -> list[Any]:
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 2:
        raise AnswerError(f"{text.strip()!r} is no place; write x, y; x, y; ... e.g. -27, -22; 27, -22")
    found = []
    for part in parts:
        bare = part.lstrip("-+")
        value = _length(bare, units)
        below = part.startswith("-")
        found.append(-value if below and not isinstance(value, str) else f"-{value}" if below else value)
    return found
