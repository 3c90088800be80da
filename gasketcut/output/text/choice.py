"""What goes under the cylinder and why, in sentences: for the terminal, the build sheet and the JSON alike."""

from __future__ import annotations

from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.squish.verdict import SquishVerdict
from gasketcut.engine.stack.choices import Choice, Lost
from gasketcut.length import both, in_order, places, span


def squish_sentence(answer: SquishResult) -> str:
    """What is to be done, in one sentence without a full stop."""
    return in_order(_sentence(answer), answer.units)


def why_sentence(answer: SquishResult) -> str:
    """Why the recommended choice is the one, without a full stop; empty where none is. It says no length, so it is the
    same whatever the job's unit."""
    best = answer.best
    if best is None:
        return ""
    is_alone = sum(one.fits for one in answer.choices) == 1
    return (
        f"{'the only one' if is_alone else 'nearest to the target of those'} in your band and safe: the chance of its "
        f"tight place under your floor is {best.odds.under_floor:.1%}, and you accept {answer.wanted.risk:.1%}"
    )


def passed_sentence(answer: SquishResult) -> str:
    """Why the choice that looks better is not the one, without a full stop; empty where none does."""
    if answer.best is None or answer.passed is None:
        return ""
    choice, lost = answer.passed
    return f"{choice.words}, {_lost(choice, lost, answer.best)}"


def answer_lines(answer: SquishResult) -> tuple[str, ...]:
    """The answer, its reasons and the sum behind it, a sentence each."""
    mean, decimals = answer.squish.mean, places(answer.bare.sigma)
    measured, bare = both(mean.value, places(mean.sigma)), both(answer.bare.value, decimals)
    lines = [f"{squish_sentence(answer)}."]
    if answer.best is not None:
        lines += [_tight(answer, answer.best), f"Why: {why_sentence(answer)}."]
        lines += [f"Passed over: {one}." for one in (passed_sentence(answer),) if one]
    if not answer.agreement.is_refused:
        if answer.present:
            lines.append(f"Measured {measured} over a gasket of {both(answer.present)}: {bare} bare.")
        else:
            lines.append(f"Measured {measured} with no gasket in place.")
    if answer.needed is not None:
        so = _needed(answer.needed, decimals) if answer.best is not None else ""
        lines.append(f"Wanted {both(answer.target, 3)}{so}.")
    return tuple(in_order(line, answer.units) for line in lines)


def _sentence(answer: SquishResult) -> str:
    if answer.best is not None:
        low, likely, high = answer.best.squish
        more = "" if span(low, high) == both(likely) else f", {span(low, high)}"
        return f"{answer.best.words} gives a squish of {both(likely)}{more}"
    if answer.verdict is SquishVerdict.READ_AGAIN:
        return f"read again; {_unread(answer)}, so no thickness is named"
    if answer.verdict is SquishVerdict.TRUE_UP:
        along = both(answer.squish.along or 0.0)
        return f"no gasket does it; true the faces first, left and right differ by {along}"
    if answer.verdict is SquishVerdict.NOT_SAFE:
        under = answer.under_at_target
        return f"no gasket does it; bare it has the target, but with a chance of {under:.1%} to be under your floor"
    if answer.needed is not None and answer.verdict is SquishVerdict.MACHINE:
        return f"no gasket does it; take off {both(-answer.needed)} at the base"
    return f"no gasket does it; needs a spacer of {both(answer.needed or 0.0)}"


def _unread(answer: SquishResult) -> str:
    if not answer.agreement.is_refused:
        return "where it was read the piston rocks about its pin"
    named = " or ".join(f"{one.at}, {both(one.value.value)}" for one in answer.agreement.suspects)
    return "the readings contradict each other" + (f", and without {named} the rest agree" if named else "")


def _tight(answer: SquishResult, best: Choice) -> str:
    end = answer.clearance.tight_end
    if end is None:
        return "Which side is tight is not known from one figure: read left and right. Ranges hold 95 %."
    first, second = (one.clearance.value for one in answer.clearance.ends or (end, end))
    where = end.words if first != second else "both ends alike"
    return f"Tight place, {where}: {both(best.tight[1])}, {span(best.tight[0], best.tight[2])}; ranges hold 95 %."


def _lost(choice: Choice, lost: Lost, best: Choice) -> str:
    if lost is Lost.UNSAFE:
        near = "as near to" if choice.is_as_near_as(best) else "nearer to"
        return f"{near} the target, but with a chance of {choice.odds.under_floor:.1%} to be under your floor"
    return {
        Lost.BEYOND: "nearer to the target, but not in your band",
        Lost.FARTHER: "of fewer sheets, but farther from the target",
        Lost.MORE_SHEETS: "as near to the target, but of more sheets",
    }[lost]


def _needed(needed: float, decimals: int) -> str:
    if round(needed, decimals) == 0:
        return ", which it has with nothing in the joint but sealant, if any"
    if needed < 0:
        return f", so {both(-needed, decimals)} of metal would have to come off the base to meet it"
    return f", so {both(needed, decimals)} of gasket when clamped"
