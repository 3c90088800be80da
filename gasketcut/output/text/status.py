"""What a job knows and lacks, for a screen and for other programs."""

from __future__ import annotations

import textwrap
from typing import Any

from gasketcut.errors import Fault
from gasketcut.guide.missing import Status
from gasketcut.guide.part_wants import PartWant
from gasketcut.guide.questions import QUESTIONS, Question
from gasketcut.output.data.finding import finding_data
from gasketcut.output.text.finding import WIDTH


def status_text(status: Status, file: str) -> str:
    """What can be had now, what lacks what, what to measure next, and only then what is wrong."""
    rows = [f"{file}: {len(status.known)} of {len(QUESTIONS)} measurements known", ""]
    for output in status.outputs:
        if output.ready:
            more = f"; says more with {_names(output.better)}" if output.better else ""
            rows.append(_filled(f"ready    {output.name}: {output.command} {file}{more}"))
    for part in status.parts:
        why = f": {', '.join(part.unsaid)}" if part.unsaid else ""
        rows.append(_filled(f"ready    {part.name}: gasketcut make {file}; {part.verdict.value}{why}"))
    for output in status.outputs:
        if not output.ready:
            why = ", ".join(output.missing) or "; ".join(output.contradicts) or "nothing of it in the job"
            rows.append(_filled(f"{'lacks' if output.missing else 'not':<8} {output.name}: {why}"))
    if status.wants:
        rows += ["", "Measure next:", *want_rows(status.wants[0]), f"  gasketcut new {file} takes the answer"]
    elif status.next is not None:
        rows += ["", "Measure next:", *question_rows(status.next)]
    if status.faults:
        rows += ["", "To be put right:"]
        rows += [row for fault in status.faults[:8] for row in _fault_rows(fault, file)]
        if len(status.faults) > 8:
            rows.append(f"  and {len(status.faults) - 8} more: {status.outputs[0].command} {file} names them")
    if status.unusual:
        rows += ["", "To be looked at again:"]
        rows += [
            _filled(f"{one.text}{'' if one.text.endswith('?') else '.'} Do: {one.do}.", 2) for one in status.unusual
        ]
    return "\n".join(rows)


def question_rows(question: Question) -> list[str]:
    """The question, how to take it, what is usual."""
    usual = f" Usual: {question.usual} ({question.source})." if question.usual else ""
    return [_filled(question.ask, 2), _filled(f"{question.how}.{usual}", 4)]


def want_rows(want: PartWant) -> list[str]:
    """The question of a part, and how to take it."""
    return [_filled(want.ask, 2), _filled(f"{want.how}.", 4)]


def status_data(status: Status, file: str) -> dict[str, Any]:
    """By the questions' names."""
    return {
        "file": file,
        "known": [question.name for question in status.known],
        "outputs": [
            {
                "name": one.name,
                "command": one.command,
                "ready": one.ready,
                "missing": list(one.missing),
                "contradicts": list(one.contradicts),
                "better_with": [question.name for question in one.better],
            }
            for one in status.outputs
        ],
        "next": status.next.name if status.next else None,
        "parts": [
            {"name": part.name, "verdict": part.verdict.value, "unsaid": list(part.unsaid)} for part in status.parts
        ],
        "asked_of_parts": [{"part": want.part, "ask": want.ask} for want in status.wants],
        "faults": [
            {"line": fault.line, "column": fault.column, "key": fault.key, "text": fault.message}
            for fault in status.faults
        ],
        "unusual": [finding_data(one) for one in status.unusual],
    }


def _fault_rows(fault: Fault, file: str) -> list[str]:
    """The fault, filled, and below it the spot, which is never wrapped."""
    said, *spot = fault.text(file).split("\n")
    return [_filled(said, 2), *(f"  {row}" for row in spot)]


def _names(questions: tuple[Question, ...]) -> str:
    return ", ".join(question.name for question in questions)


def _filled(text: str, indent: int = 0) -> str:
    return textwrap.fill(
        text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2), break_on_hyphens=False
    )
