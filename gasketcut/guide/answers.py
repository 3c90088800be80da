"""Answers to questions, written into a job file that is whole TOML after each of them and keeps its own hand."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from typing import Any

from gasketcut.checked import Path
from gasketcut.errors import GasketError, JobError
from gasketcut.guide.draft import SIDES, Draft, list_of, place_of, value_at
from gasketcut.guide.questions import QUESTIONS, Question
from gasketcut.guide.typed import AnswerError, value_of
from gasketcut.job.reading.reader import parse_job
from gasketcut.toml.editing import EditError, rewritten
from gasketcut.toml.rendered import value_text

_FIXED = {  # what belongs to a new table of the questions' but is not asked
    "part": {"name": "base-gasket", "kind": "base"},
    "stage": {"name": "outlet"},
    "readings": {},
}
_OTHERWISE: dict[tuple[str, ...], tuple[str, ...]] = {  # keys that say the same in another way
    ("studs", "at"): ("circle", "from"),
    ("studs", "size"): ("diameter",),
    ("engine", "gauge_psi"): ("gauge_bar", "gauge_kpa"),
    ("squish", "left"): ("measured",),
    ("squish", "right"): ("measured",),
}


def is_answered(data: Mapping[str, Any], question: Question) -> bool:
    """Whether the job holds it already."""
    return value_at(data, place_of(data, question)) is not None


def said(draft: Draft, question: Question) -> str:
    """The answer as a person would say it, with its unit; empty where there is none.

    `engine.bore = 44.0` in a job in mm is "44.0 mm".
    """
    value = value_at(draft.data, place_of(draft.data, question))
    if value is None:
        return ""
    words = value if isinstance(value, str) else value_text(value)
    is_bare = isinstance(value, int | float) and not isinstance(value, bool)
    unit = draft.data.get("units") if is_bare and question.form == "length" else None
    return f"{words} {unit}" if isinstance(unit, str) else words


def with_answer(draft: Draft, question: Question, text: str) -> Draft:
    """The job with one more answer, or another one; raise `AnswerError` if it is no such thing, contradicts what stands
    there, or cannot be written without losing the file's own hand."""
    data = draft.data
    question = question.taken_as(text)
    value = value_of(question, text, draft.units)
    _refuse(data, question, value)
    made = copy.deepcopy(data)
    place = place_of(data, question)
    if place[:2] == ("squish", "readings"):
        _put(made, (*place[:3], "at"), question.path[1])
    if value_at(data, place) != value:  # 44 is as good as 44.0, and stays
        _put(made, place, value)
    if question.path[0] == "part":
        _name_sheet(made, place)
    return saying(draft, made)


def saying(draft: Draft, data: Mapping[str, Any]) -> Draft:
    """The job with that in it; raise `AnswerError` if it cannot be written so, or reads as wrong where it did not."""
    try:
        after = Draft(draft.file, rewritten(draft.text, data))
    except EditError as error:
        raise AnswerError(str(error)) from error
    before = _faults(draft)
    wrong = [fault for fault in _faults(after) if fault not in before]
    if wrong:
        raise AnswerError(wrong[0])
    return after


def _refuse(data: Mapping[str, Any], question: Question, value: Any) -> None:
    """What would say a thing twice, or change what other numbers mean."""
    if question.path == ("units",) and data.get("units") not in (None, value):
        raise AnswerError("every number without a unit would mean something else; change units by hand")
    place = place_of(data, question)
    if value_at(data, place) is not None:
        return
    names = tuple(step for step in question.path if isinstance(step, str))
    around = value_at(data, ("squish",) if question.path[1:2] and question.path[1] in SIDES else place[:-1])
    if not isinstance(around, Mapping):
        return
    for key in _OTHERWISE.get(names[-2:], ()):
        if key in around:
            raise AnswerError(f"is given as {key} already; change that by hand, or take it out first")
    if names[:2] == ("part", "outline") and around and not {"lobes", "ring", "fillet"} & around.keys():
        raise AnswerError(f"the outline is given as {next(iter(around))} already; change that by hand")


def _name_sheet(made: dict[str, Any], place: Path) -> None:
    """A new base gasket is made of the sheet that was asked for."""
    part = value_at(made, place[:2] if isinstance(place[1], int) else place[:1])
    sheets = [one["name"] for one in list_of(made, "stock") if isinstance(one.get("name"), str)]
    if sheets and isinstance(part, dict) and "of" not in part and part.get("name") == _FIXED["part"]["name"]:
        part.setdefault("stock", sheets[0])


def _put(data: dict[str, Any], path: Path, value: Any) -> None:
    here: Any = data
    try:
        for number, step in enumerate(path[:-1]):
            following = path[number + 1]
            if isinstance(step, int) and step == len(here):
                here.append(dict(_FIXED.get(str(path[number - 1]), {})))
            elif isinstance(step, str):
                here.setdefault(step, [] if isinstance(following, int) else {})
            here = here[step]
        here[path[-1]] = value
    except (KeyError, IndexError, TypeError, AttributeError) as error:
        raise AnswerError(f"{path[0]} is written in a way that has no place for it; write it by hand") from error


def _faults(draft: Draft) -> list[str]:
    """What the reader says against the answers so far; what is only not there yet is none."""
    try:
        parse_job(draft.plain, draft.file)
    except JobError as error:
        return [fault.message for fault in error.faults if not fault.is_lack]
    return []


def answers_from(text: str) -> dict[str, str]:
    """A file of answers: TOML keys as `Question.name` has them, e.g. `"engine.bore" = "44.0"`, or nested tables.

    Raise `GasketError` for a name that is no question.
    """
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
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
            found[name] = value if isinstance(value, str) else value_text(value)
