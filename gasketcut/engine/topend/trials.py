"""Was it worth it? Timed trials before and after, as time for each unit of size.

Rate      seconds for each unit of size (an area cut, holes drilled, one lap).
Ratio     of the means of log rate, after / before: below 1 is faster. Logs, because times scatter by shares.
Interval  Welch's, for small samples of unequal spread: t quantile at the Welch-Satterthwaite degrees of freedom.

Only trials with the same tool, dressed the same way, say anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import exp, inf, lgamma, log, log1p, sqrt
from statistics import fmean, variance

from gasketcut.engine.assumptions import CONFIDENCE
from gasketcut.job.topend import Trial


@dataclass(frozen=True, slots=True)
class Rates:
    """One condition: its rates [s for each unit of size] and their geometric mean."""

    condition: str
    rates: tuple[float, ...]
    mean: float


class TrialVerdict(Enum):
    """What the trials of two conditions say."""

    FASTER = "faster"
    SLOWER = "slower"
    NOBODY_CAN_TELL = "nobody can tell"
    TOO_FEW = "too few trials"
    TOO_COARSE = "timed too coarsely"


@dataclass(frozen=True, slots=True)
class Compared:
    """`ratio` of the second condition to the first with its interval from `low` to `high` at that `confidence`.

    freedom : Welch-Satterthwaite degrees of freedom; None with fewer than two trials of either, or without scatter
    """

    first: Rates
    second: Rates
    ratio: float
    low: float
    high: float
    confidence: float
    freedom: float | None
    verdict: TrialVerdict


@dataclass(frozen=True, slots=True)
class Trials:
    """Each condition's rates, every other condition against the first, and whether areas were cut (sizes in mm2)."""

    rates: tuple[Rates, ...]
    compared: tuple[Compared, ...]
    is_area: bool


def trials_of(trials: Sequence[Trial]) -> Trials:
    """By condition, in the order in which the conditions first come; at least one trial."""
    rates = rates_of(trials)
    compared = tuple(compare(rates[0], other) for other in rates[1:])
    return Trials(rates, compared, any(trial.size != 1.0 for trial in trials))


def rates_of(trials: Sequence[Trial]) -> tuple[Rates, ...]:
    """By condition, in the order in which the conditions first come."""
    conditions = list(dict.fromkeys(trial.condition for trial in trials))
    found = []
    for condition in conditions:
        rates = tuple(trial.seconds / trial.size for trial in trials if trial.condition == condition)
        found.append(Rates(condition, rates, exp(fmean(log(rate) for rate in rates))))
    return tuple(found)


def compare(first: Rates, second: Rates, confidence: float = CONFIDENCE) -> Compared:
    """The second against the first."""
    a, b = [log(rate) for rate in first.rates], [log(rate) for rate in second.rates]
    difference = fmean(b) - fmean(a)
    ratio = exp(difference)
    if len(a) < 2 or len(b) < 2:
        return Compared(first, second, ratio, 0.0, inf, confidence, None, TrialVerdict.TOO_FEW)
    va, vb = variance(a) / len(a), variance(b) / len(b)
    if va + vb == 0:
        return Compared(first, second, ratio, ratio, ratio, confidence, None, TrialVerdict.TOO_COARSE)
    freedom = (va + vb) ** 2 / (va**2 / (len(a) - 1) + vb**2 / (len(b) - 1))
    reach = t_quantile(0.5 + confidence / 2, freedom) * sqrt(va + vb)
    low, high = exp(difference - reach), exp(difference + reach)
    verdict = TrialVerdict.FASTER if high < 1 else TrialVerdict.SLOWER if low > 1 else TrialVerdict.NOBODY_CAN_TELL
    return Compared(first, second, ratio, low, high, confidence, freedom, verdict)


def t_quantile(share: float, freedom: float) -> float:
    """Student's t with that share of the distribution below it, for a share of a half or more, by halving.

    >>> round(t_quantile(0.975, 10), 3)
    2.228
    """
    low, high = 0.0, 1.0
    while t_below(high, freedom) < share:
        low, high = high, high * 2
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if t_below(middle, freedom) < share else (low, middle)
    return (low + high) / 2


def t_below(t: float, freedom: float) -> float:
    """Share of Student's t distribution below t >= 0: 1 - I(x; f / 2, 1 / 2) / 2 with x = f / (f + t^2), f the freedom.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.1.
    """
    return 1 - _beta_share(freedom / (freedom + t * t), freedom / 2, 0.5) / 2


def _beta_share(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function by its continued fraction (Abramowitz and Stegun 26.5.8), by Lentz."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_share(1 - x, b, a)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x)) / a
    tiny = 1e-300
    c, d = 1.0, 1 / max(1 - (a + b) * x / (a + 1), tiny)
    total = d
    for m in range(1, 500):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        change = 1.0
        for term in (even, odd):
            d, c = 1 / (1 + term * d or tiny), 1 + term / c or tiny
            change = c * d
            total *= change
        if abs(change - 1) < 1e-15:
            break
    return front * total
