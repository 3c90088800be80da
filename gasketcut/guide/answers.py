"""Answers to questions, kept as a job file that is whole TOML after each of them.

Draft   nested tables as TOML gives them; `asked` are those given so far.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from gasketcut.errors import GasketError, JobError, LengthError
from gasketcut.guide.questions import QUESTIONS, Question
from gasketcut.job.reading.reader import parse_job
from gasketcut.length import parse_angle, parse_length
from gasketcut.tolerances import LARGEST

HEADER = "# Begun with gasketcut new; go on with it, or by hand: gasketcut status says what is missing."

Draft = dict[str, Any]

_LACKING = (" is missing", "write one shape")
"""In what the reader says where a key, or the word of a shape, is not there yet."""

_SIDES = ("left", "right", "front", "rear")
_FIXED = {  # what belongs to the questions' sections but is not asked
    ("part", 0): {"name": "base-gasket", "kind": "base"},
    ("outlet", "stage", 0): {"name": "outlet"},
}


class AnswerError(GasketError, ValueError):
    """An answer that cannot be taken; the text says what to write."""


def read_draft(file: Path) -> Draft:
    """What the file holds so far, nothing if it is not there; raise `GasketError` for one that was not begun here."""
    if not file.exists():
        return {}
    try:
        text = file.read_text(encoding="utf-8")
        draft = tomllib.loads(text)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise GasketError(f"{file}: cannot be gone on with: {error}") from error
    if not text.startswith(HEADER):
        raise GasketError(
            f"{file}: was not begun with gasketcut new, and your own words in it would be lost; "
            "edit it by hand, gasketcut status says what is missing"
        )
    return draft


def is_answered(draft: Mapping[str, Any], question: Question) -> bool:
    """Whether the draft holds it already."""
    if question.path[0] == "squish" and question.path[1] in _SIDES:
        readings = draft.get("squish", {}).get("readings", [])
        return any(isinstance(one, Mapping) and one.get("at") == question.path[1] for one in readings)
    here: Any = draft
    for step in question.path:
        if isinstance(step, int):
            here = here[step] if isinstance(here, list) and len(here) > step else None
        elif isinstance(here, list):  # one table or several: `studs`
            here = here[0].get(step) if here and isinstance(here[0], Mapping) else None
        else:
            here = here.get(step) if isinstance(here, Mapping) else None
        if here is None:
            return False
    return True


def with_answer(draft: Draft, question: Question, text: str) -> Draft:
    """The draft with one more answer; raise `AnswerError` if it is no such thing, or contradicts what stands there."""
    question = question.taken_as(text)
    value = value_of(question, text, draft.get("units"))
    made: Draft = _copied(draft)
    if question.path[0] == "squish" and question.path[1] in _SIDES:
        made.setdefault("squish", {}).setdefault("readings", []).append({"at": question.path[1], "value": value})
    else:
        _put(made, question.path, value)
    if question.path[0] == "part" and "stock" in made and made["stock"][0].get("name"):
        made["part"][0].setdefault("stock", made["stock"][0]["name"])
    before = _faults(draft)
    wrong = [fault for fault in _faults(made) if fault not in before]
    if wrong:
        raise AnswerError(wrong[0])
    return made


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


def _put(draft: Draft, path: tuple[str | int, ...], value: Any) -> None:
    here: Any = draft
    for number, step in enumerate(path[:-1]):
        nxt = path[number + 1]
        if isinstance(step, int):
            while len(here) <= step:
                here.append({})
            here = here[step]
        else:
            here = here.setdefault(step, [] if isinstance(nxt, int) else {})
        for name, fixed in _FIXED.get(path[: number + 1], {}).items() if isinstance(here, dict) else ():
            here.setdefault(name, fixed)
    here[path[-1]] = value


def _faults(draft: Draft) -> list[str]:
    """What the reader says against the answers so far. A section that still lacks something is not held against
    itself: other values stand in there for what is missing."""
    try:
        parse_job(to_toml(draft))
    except JobError as error:
        faults = error.faults
    else:
        return []
    lacking = {fault.key.split(".")[0] for fault in faults if any(word in fault.message for word in _LACKING)}
    return [
        fault.message
        for fault in faults
        if fault.key.split(".")[0] not in lacking and "unknown key" not in fault.message
    ]


def answers_from(text: str) -> dict[str, str]:
    """A file of answers: TOML keys as `Question.name` has them, e.g. `"engine.bore" = "44.0"`, or nested tables.

    Raise `GasketError` for a name that is no question.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise GasketError(f"the answers are no TOML: {error}") from error
    found: dict[str, str] = {}
    _flattened(data, "", found)
    known = {question.name for question in QUESTIONS}
    unknown = [name for name in found if name not in known]
    if unknown:
        raise GasketError(f"{unknown[0]!r} is no question; known are {', '.join(sorted(known))}")
    return found


def _flattened(data: Mapping[str, Any], before: str, found: dict[str, str]) -> None:
    for key, value in data.items():
        name = f"{before}{key}"
        if isinstance(value, Mapping):
            _flattened(value, f"{name}.", found)
        else:
            found[name] = str(value)


def to_toml(draft: Draft) -> str:
    """The draft as TOML: plain keys first, then tables, then lists of tables."""
    rows = [HEADER]
    _table(draft, "", rows)
    return "\n".join(rows) + "\n"


def _table(table: Mapping[str, Any], name: str, rows: list[str]) -> None:
    later = []
    is_listed = name.split(".", maxsplit=1)[0] in ("part", "stock", "outlet")  # tables in their rows stand inline
    for key, value in table.items():
        is_list = isinstance(value, list) and bool(value) and isinstance(value[0], Mapping)
        if (isinstance(value, Mapping) and not is_listed) or (is_list and key in ("part", "stock", "stage")):
            later.append((key, value))
        else:
            rows.append(f"{key} = {_value(value)}")
    for key, value in later:
        whole = f"{name}.{key}" if name else key
        if isinstance(value, list):
            for one in value:
                rows += ["", f"[[{whole}]]"]
                _table(one, whole, rows)
        elif all(isinstance(inner, Mapping) for inner in value.values()) and value and whole != "outlet":
            rows += ["", f"[{whole}]"]
            rows += [f"{inner} = {_value(given)}" for inner, given in value.items()]
        else:
            rows += ["", f"[{whole}]"]
            _table(value, whole, rows)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    if isinstance(value, str):
        plain = "".join(letter if letter.isprintable() else " " for letter in value)
        return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return repr(value)


def _copied(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _copied(one) for key, one in value.items()}
    return [_copied(one) for one in value] if isinstance(value, list) else value
