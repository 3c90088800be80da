"""Beginning a job and going on with it: the commands that ask, and that say what to measure next."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import EXIT_INPUT, EXIT_STOP, echo_json, main, say
from gasketcut.errors import GasketError

if TYPE_CHECKING:
    from gasketcut.guide.draft import Draft


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--answers", type=click.Path(path_type=Path), help="Take the answers from this TOML file; ask nobody.")
def new(job: Path, answers: Path | None) -> None:
    """Ask for what there is to measure, in the order in which an engine comes apart, and keep it in JOB.

    Enter skips a question, "stop" leaves; the same command goes on where you left, and with a job that you wrote by
    hand: your remarks and your layout stay. JOB is whole TOML after each answer. --answers changes what is there
    already, and says so.
    Exit code: 0 done or left, 2 an answer of the file cannot be taken.

    \b
    Example: gasketcut new engine.toml
    """
    from gasketcut.guide.draft import read_draft

    draft = read_draft(job)
    if answers is not None:
        _take(draft, job, answers)
        return
    _keep(_asked(draft))
    say(f"\n{job} is kept. gasketcut status {job} says what can be had from it, and what to measure next.")


def _take(draft: Draft, job: Path, answers: Path) -> None:
    """The answers of a file; those that cannot be taken are named, the others kept."""
    from gasketcut.guide.answers import answers_from, is_answered, said, with_answer
    from gasketcut.guide.questions import QUESTIONS
    from gasketcut.guide.typed import AnswerError
    from gasketcut.guide.unusual import unusual

    try:
        given = answers_from(answers.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise GasketError(f"{answers}: cannot be read: {error}") from error
    wrong, odd = [], []
    for question in QUESTIONS:
        if question.name in given:
            before = said(draft, question)
            try:
                draft = with_answer(draft, question, given[question.name])
                odd.append((question, given[question.name]))
            except AnswerError as error:
                wrong.append(f"{answers}: {question.name} = {given[question.name]!r}: {error}")
            else:
                if before and before != said(draft, question):
                    say(f"{question.name}: {before} -> {said(draft, question)}")
    _keep(draft)
    say(f"{job}: {sum(is_answered(draft.data, one) for one in QUESTIONS)} measurements")
    for question, text in odd:
        if word := unusual(question, text, draft.units):
            say(f"{question.name}: {word}")
    if wrong:
        say("\n".join(wrong), err=True)
        sys.exit(EXIT_INPUT)


def _asked(draft: Draft) -> Draft:
    """Everything that is not known yet, one after the other, kept after each answer."""
    from gasketcut.guide.answers import with_answer
    from gasketcut.guide.missing import is_known
    from gasketcut.guide.questions import QUESTIONS
    from gasketcut.guide.typed import AnswerError
    from gasketcut.guide.unusual import unusual
    from gasketcut.output.text.status import question_rows

    draft, goes_on = _asked_of_parts(draft)
    for question in QUESTIONS if goes_on else ():
        if is_known(draft.data, question):
            continue
        say("\n" + "\n".join(question_rows(question)))
        while text := _typed():
            if text == "stop":
                return draft
            try:
                draft = with_answer(draft, question, text)
            except AnswerError as error:
                say(f"  {error}")
                continue
            _keep(draft)
            if word := unusual(question, text, draft.units):
                say(f"  {word}")
            _against(draft)
            break
    return draft


def _asked_of_parts(draft: Draft) -> tuple[Draft, bool]:
    """What the parts that are drawn already want, kept after each answer; and whether to ask on."""
    from gasketcut.flow import evaluate
    from gasketcut.guide.part_wants import part_wants, with_part_answer
    from gasketcut.guide.typed import AnswerError
    from gasketcut.job.reading.reader import parse_job
    from gasketcut.output.text.status import want_rows

    left = set[str]()
    while True:
        try:
            wants = part_wants(evaluate(parse_job(draft.plain, draft.file)))
        except GasketError:  # half a job: its other questions come first
            return draft, True
        want = next((one for one in wants if one.ask not in left), None)
        if want is None:
            return draft, True
        say("\n" + "\n".join(want_rows(want)))
        text = _typed()
        if text == "stop":
            return draft, False
        try:
            draft = with_part_answer(draft, want, text) if text else draft
        except AnswerError as error:
            say(f"  {error}")
            continue
        left |= set() if text else {want.ask}
        if text:
            _keep(draft)


def _typed() -> str:
    try:
        return str(click.prompt("  ", default="", show_default=False, prompt_suffix="> ")).strip()
    except click.Abort:  # Ctrl-C, or nobody there any more: what is known is kept
        return "stop"


def _keep(draft: Draft) -> None:
    from gasketcut.output.save import save_one

    save_one(draft.text.encode(), draft.file, replace=True)


def _against(draft: Draft) -> None:
    """What the answers say against each other, as soon as there are enough of them."""
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import parse_job

    try:
        found = evaluate(parse_job(draft.plain, draft.file)).squish
    except GasketError:
        return  # not enough yet
    for finding in found.findings if found else ():
        if finding.weight != "note":
            say(f"  {finding.weight}: {finding.text}. {finding.do}")


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
def status(job: Path, as_json: bool) -> None:
    """What JOB knows, what it lacks for which output, and what to measure next; half filled it need not be whole.

    Exit code: 0 nothing is wrong in what is there, 1 something is, 2 the file cannot be read.

    \b
    Example: gasketcut status engine.toml
    """
    from gasketcut.errors import Fault
    from gasketcut.guide.missing import status_of
    from gasketcut.output.text.status import status_data, status_text
    from gasketcut.profile.own import shipped
    from gasketcut.toml.document import data_of, text_of

    text = text_of(shipped("demo") if str(job) == "demo" else job)
    if isinstance(text, Fault):
        raise GasketError(text.text(str(job)))
    data = data_of(text)
    if isinstance(data, Fault):
        raise GasketError(data.text(str(job)))
    found = status_of(data, text, str(job))
    if as_json:
        echo_json(status_data(found, str(job)))
    else:
        say(status_text(found, str(job)))
    if found.faults:
        sys.exit(EXIT_STOP)
