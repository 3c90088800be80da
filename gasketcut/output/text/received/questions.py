"""What the customer has to be asked, one sentence each, in plain words."""

from __future__ import annotations

from gasketcut.length import box
from gasketcut.output.text.received.plain import GROUPS, LOOKS, QUESTIONS, UNIT, Question
from gasketcut.received.batch import Looked
from gasketcut.received.reading.unit import FACTORS
from gasketcut.received.summary import Summary

CALLED = {"mm": "mm", "in": "inches", "cm": "cm", "m": "metres"}
"""A unit in a sentence."""


def questions(looked: Looked) -> tuple[str, ...]:
    """Of one drawing; none if it is ready or can be mended."""
    found = looked.summary
    if found is None:
        return (_asked(QUESTIONS[looked.kind], 1),) if looked.kind in QUESTIONS else ()
    asked = [unit_question(found)] if any(found.size) and any(kind in UNIT for kind in found.asked) else []
    asked += [_asked(question_of(kind), count) for kind, count in found.asked.items() if kind not in UNIT]
    return (*asked, *(_asked(LOOKS[kind], count) for kind, count in found.looks.items()))


def unit_question(found: Summary) -> str:
    """With the size in each of the two units that come into question."""
    first, second = units_in_question(found)
    return (
        f"Which unit are the numbers in? In {CALLED[first]} the drawing measures {box(*found.size_in(first))}, "
        f"in {CALLED[second]} {box(*found.size_in(second))}."
    )


def units_in_question(found: Summary) -> tuple[str, str]:
    """The likely one first, then the declared one; mm and inches where nothing else is."""
    named = [one for one in (found.unit.likely, found.unit.declared, "mm", "in") if one in FACTORS]
    first, second = list(dict.fromkeys(named))[:2]
    return first, second


def question_of(kind: str) -> Question:
    """Of a fault or a group."""
    return QUESTIONS[kind] if kind in QUESTIONS else GROUPS[kind]


def _asked(question: Question, count: int) -> str:
    places = f" ({count} places)" if count > 1 else ""
    return f"{question.what[0].upper()}{question.what[1:]}{places}: {question.ask}"
