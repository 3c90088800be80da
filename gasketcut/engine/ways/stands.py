"""How high the cylinder stands after a candidate's deeds, what squish that leaves, and how sure both are.

A cut is as deep as it says; a gasket that is changed brings in how sure its thickness is, and that of the old one.
"""

from __future__ import annotations

from gasketcut.engine.squish.decision import Decision
from gasketcut.engine.stack.odds import Outcome, Outlook
from gasketcut.engine.states.standing import Standing, as_fitted, as_measured
from gasketcut.engine.ways.candidate import Candidate
from gasketcut.length import Measured
from gasketcut.parts.stock import Range


def outcome_of(chosen: Candidate, decision: Decision) -> Outcome:
    """Mean squish and tight place with their ranges at 95 %, and the odds of the tight place."""
    gasket, more = chosen.height.gasket, _beside(chosen)
    cut = (more, more, more)
    if gasket is None:
        return Outlook(decision.squish.clearance, decision.band).of([cut])
    fitted = gasket.choice.fitted if gasket.choice else (gasket.fitted,) * 3
    return Outlook(decision.clearance, decision.band).of([fitted, cut])


def standing_of(chosen: Candidate, decision: Decision, outcome: Outcome, present: Measured) -> Standing:
    """For the forward sums; `present` is the gasket that was in place."""
    gasket, height, mean = chosen.height.gasket, chosen.height, decision.squish.mean
    under = height.spacer - height.base
    if gasket is None:
        start = as_measured(present, mean)
    else:
        fitted = gasket.choice.fitted if gasket.choice else (gasket.fitted,) * 3
        start = as_fitted(fitted, outcome.squish, present, mean)
    return Standing(_moved(start.fitted, under), outcome.squish, _moved(start.raised, under), start.scatter)


def _beside(chosen: Candidate) -> float:
    """What is added to the clearance besides the gasket [mm]."""
    setting, height = chosen.point.setting, chosen.height
    return height.spacer - height.base + setting.band - setting.head


def _moved(values: Range, by: float) -> Range:
    low, likely, high = values
    return low + by, likely + by, high + by
