"""What timed trials say, as sentences."""

from __future__ import annotations

from gasketcut.engine.topend.trials import Compared, TrialVerdict


def trial_sentence(found: Compared) -> str:
    """Without a capital letter or a full stop."""
    before, after = found.first.condition, found.second.condition
    match found.verdict:
        case TrialVerdict.TOO_FEW:
            which = before if len(found.first.rates) < 2 else after
            return f"one trial of '{which}' says nothing of its scatter: time at least three of each"
        case TrialVerdict.TOO_COARSE:
            return "all trials of a condition are the same to the last digit: time them finer"
        case TrialVerdict.NOBODY_CAN_TELL:
            span = f"between {found.low:.2f} and {found.high:.2f} times as long"
            return f"these trials can't tell '{after}' from '{before}': it takes {span}"
        case TrialVerdict.FASTER:
            word, least, most = "less", 1 - found.high, 1 - found.low
        case TrialVerdict.SLOWER:
            word, least, most = "more", found.low - 1, found.high - 1
    return f"'{after}' takes {abs(1 - found.ratio):.0%} {word} time than '{before}', between {least:.0%} and {most:.0%}"
