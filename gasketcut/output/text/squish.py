"""The squish answer for a person: the answer first, then the choices, then before and after, then what to mind."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.squish.verdict import SquishVerdict
from gasketcut.engine.stack.choices import Choice
from gasketcut.length import Units, alone, both, in_order, span
from gasketcut.output.text.assumed import assumed_rows
from gasketcut.output.text.choice import answer_lines
from gasketcut.output.text.effects import (
    area_words,
    columns_text,
    effects_table,
    engine_words,
    sensitivity_lines,
    side_by_side_table,
    work_rows,
)
from gasketcut.output.text.finding import WIDTH, findings_text
from gasketcut.profile.squish import Advice

_SHOWN = 3  # choices of a group


def squish_text(answer: SquishResult, title: str, advice: tuple[Advice, ...]) -> str:
    """The whole text, 80 columns, without a line end at its end; `advice` is that of others where it is asked for."""
    units = answer.units
    blocks = [title, _answer(answer), _choices(answer), _beside(answer), columns_text(effects_table(answer))]
    blocks.append(_paragraphs(sensitivity_lines(answer)))
    blocks.append(_paragraphs([*engine_words(answer), *area_words(answer)]))
    blocks += [_paragraphs(work_rows(one)) for one in answer.work]
    if answer.findings:
        blocks.append(findings_text(answer.findings, units))
    blocks += [_assumed(answer), _advice(advice)]
    blocks.append("Turn the engine over by hand and measure again; the maker's figures come first.")
    return in_order("\n\n".join(block for block in blocks if block), units)


def _answer(answer: SquishResult) -> str:
    first, *rows = answer_lines(answer)
    rows.insert(0, f"ANSWER: {first}")
    if answer.verdict in (SquishVerdict.MACHINE, SquishVerdict.SPACER):
        way = "up" if answer.moved < 0 else "down"
        rows.append(
            f"To keep the timing, every port edge then has to move {way} by {both(abs(answer.moved))}"
            + (
                "; taking metal off the squish band instead leaves the ports alone."
                if answer.verdict is SquishVerdict.MACHINE
                else "."
            )
        )
    return "\n".join(textwrap.fill(row, WIDTH, subsequent_indent="  ") for row in rows)


def _choices(answer: SquishResult) -> str:
    if not answer.choices:
        return ""
    units, risk = answer.units, f"{answer.wanted.risk:.1%}"
    heads = f"{f'fitted {units}':<10}{f'squish {units}':<18}{f'tight {units}':<18}{'band':>4} under"
    rows = [f"{'choice; ranges at 95 %':<24}{heads}"]
    groups = (
        ("fit, nearest to the target first:", [one for one in answer.choices if one.fits]),
        ("safe, but on average not in your band:", [one for one in answer.choices if one.safe and not one.fits]),
        (f"not safe, over {risk} of them under your floor:", [one for one in answer.choices if not one.safe]),
    )
    shown = 0
    for head, found in groups:
        if found:
            rows += [head, *_rows(found[:_SHOWN], units)]
            shown += min(_SHOWN, len(found))
    left = len(answer.choices) - shown
    return "\n".join(rows + ([f"and {left} more with --json"] if left > 0 else []))


def _rows(found: Iterable[Choice], units: Units) -> Iterable[str]:
    for choice in found:
        words = textwrap.wrap(choice.words, 21)
        figures = (
            f"{alone(choice.fitted[1], units):<10}{_range(choice.squish, units):<18}{_range(choice.tight, units):<18}"
        )
        odds = f"{choice.odds.in_band:>4.0%}{choice.odds.under_floor:>6.1%}"
        yield f"  {words[0]:<22}{figures}{odds}"
        yield from (f"    {more}" for more in words[1:])


def _range(values: tuple[float, float, float], units: Units) -> str:
    return " ".join(alone(value, units) for value in values)


def _beside(answer: SquishResult) -> str:
    table = columns_text(side_by_side_table(answer))
    return f"Side by side, with everything that is planned:\n{table}" if table else ""


def _paragraphs(lines: list[str]) -> str:
    wrapped = (textwrap.fill(line, WIDTH, subsequent_indent="    ", break_on_hyphens=False) for line in lines)
    return "\n".join(wrapped)


def _assumed(answer: SquishResult) -> str:
    rows = ["Assumed, as the job does not say; with the key that says it:"]
    for key, words in assumed_rows(answer):
        rows.append(_hung(f"{key:<21} {words}"))
    return "\n".join(rows) if len(rows) > 1 else ""


def _hung(text: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent="  ", subsequent_indent="      ", break_on_hyphens=False)


def _advice(advice: tuple[Advice, ...]) -> str:
    if not advice:
        return ""
    rows = ["What others advise for the squish; theirs, not ours, and no two agree:"]
    for one in advice:
        rows.append(_hung(f"{span(one.low, one.high)}  {one.engines} ({one.source})"))
    return "\n".join(rows)
