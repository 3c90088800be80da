"""The squish answer for a person: the answer first, then the choices, then before and after, then what to mind."""

from __future__ import annotations

import textwrap

from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.squish.verdict import SquishVerdict
from gasketcut.length import Units, alone, both, in_order, places, span
from gasketcut.output.text.assumed import assumed_rows
from gasketcut.output.text.effects import (
    columns_text,
    effects_table,
    sensitivity_lines,
    side_by_side_table,
    work_rows,
)
from gasketcut.output.text.finding import WIDTH, findings_text
from gasketcut.profile.squish import Advice

_SHOWN = 6


def squish_text(answer: SquishResult, title: str, advice: tuple[Advice, ...]) -> str:
    """The whole text, 80 columns, without a line end at its end; `advice` is that of others where it is asked for."""
    units = answer.units
    blocks = [title, _answer(answer), _choices(answer), _beside(answer), columns_text(effects_table(answer))]
    blocks.append(_paragraphs(sensitivity_lines(answer)))
    blocks += [_paragraphs(work_rows(one)) for one in answer.work]
    if answer.findings:
        blocks.append(findings_text(answer.findings, units))
    blocks += [_assumed(answer), _advice(advice)]
    blocks.append("Turn the engine over by hand and measure again; the maker's figures come first.")
    return in_order("\n\n".join(block for block in blocks if block), units)


def squish_sentence(answer: SquishResult) -> str:
    """What is to be done, in one sentence without a full stop."""
    return in_order(_sentence(answer), answer.units)


def _sentence(answer: SquishResult) -> str:
    bare, target = answer.bare.value, answer.target
    if answer.best is not None:
        low, likely, high = answer.best.squish
        more = "" if span(low, high) == both(likely) else f", {span(low, high)}"
        return f"{answer.best.words} gives a squish of {both(likely)}{more}"
    if answer.verdict is SquishVerdict.MACHINE:
        return f"no gasket does it; take off {both(bare - target)} at the base"
    return f"no gasket does it; needs a spacer of {both(target - bare)}"


def _answer(answer: SquishResult) -> str:
    rows = [f"ANSWER: {squish_sentence(answer)}."]
    mean, decimals = answer.squish.mean, places(answer.bare.sigma)
    measured, bare = both(mean.value, places(mean.sigma)), both(answer.bare.value, decimals)
    if answer.present:
        rows.append(f"Measured {measured} over a gasket of {both(answer.present)}: {bare} bare.")
    else:
        rows.append(f"Measured {measured} with no gasket in place.")
    rows.append(f"Wanted {both(answer.target, 3)}, so {both(answer.needed, decimals)} of gasket when clamped.")
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
    units = answer.units
    heads = f"{f'fitted {units}':<17} {f'squish {units}':<17}"
    rows = [f"{'choice, likeliest first':<32} {heads} {'in band':>7} under"]
    for choice in answer.choices[:_SHOWN]:
        words = textwrap.wrap(choice.words, 32)
        odds = f"{choice.odds.in_band:>7.0%} {choice.odds.under_floor:>5.1%}"
        rows.append(f"{words[0]:<32} {_range(choice.fitted, units):<17} {_range(choice.squish, units):<17} {odds}")
        rows += [f"  {more}" for more in words[1:]]
    left = len(answer.choices) - _SHOWN
    return "\n".join(rows + ([f"and {left} more with --json"] if left > 0 else []))


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
