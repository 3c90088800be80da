"""Which stack goes under the cylinder, and what is to be said of that choice.

Bare      the clearance with no gasket at all: measured less what was in place.
Needed    what has to lie there, besides the sealant, to give the target exactly; below zero: metal to take off.
Best      of the stacks that fit, the one nearest to the target.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from gasketcut.engine.assumptions import HALF_BAND, LEAST_IN_BAND
from gasketcut.engine.solder.agreement import Agreement, agreement_of
from gasketcut.engine.solder.readings import Squish, squish_of
from gasketcut.engine.squish.verdict import SquishVerdict, verdict_of
from gasketcut.engine.stack.choices import Choice, FittedStock, Lost, Wanted, choices, passed_over
from gasketcut.engine.stack.clamped import Origin
from gasketcut.engine.stack.clearance import Clearance
from gasketcut.engine.stack.odds import Outcome, Outlook
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, SquishSpec
from gasketcut.length import Measured, both


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What was read, what is wanted, and what is chosen.

    clearance  bare
    choices    best first
    best       None if none can be recommended
    passed     the choice that looks better, and why it is not the one
    needed     None where no thickness may be named
    """

    squish: Squish
    agreement: Agreement
    clearance: Clearance
    wanted: Wanted
    sheets: tuple[FittedStock, ...]
    choices: tuple[Choice, ...] = ()
    best: Choice | None = None
    passed: tuple[Choice, Lost] | None = None
    verdict: SquishVerdict = SquishVerdict.READ_AGAIN
    needed: float | None = None

    @property
    def bare(self) -> Measured:
        """Mean clearance without a gasket [mm]."""
        return self.clearance.mean

    @property
    def target(self) -> float:
        """What is wanted of the mean [mm]."""
        return self.wanted.target

    @property
    def band(self) -> tuple[float, float]:
        """The user's floor and ceiling [mm]."""
        return self.wanted.band

    @property
    def under_at_target(self) -> float:
        """Chance of less than the floor at the tight place, with the target itself on the average."""
        return self.with_thickness(self.target - self.bare.value).odds.under_floor

    def with_thickness(self, fitted: float) -> Outcome:
        """With a thickness under the cylinder that is what it says [mm]."""
        return Outlook(self.clearance, self.band).of([(fitted, fitted, fitted)])


def decide(spec: SquishSpec, target: float, sheets: tuple[FittedStock, ...], engine: Engine | None) -> Decision:
    """What follows from the readings, for stocks that may lie under the cylinder."""
    squish, agreement = squish_of(spec, engine), agreement_of(spec.readings)
    bare = squish.clearance.without(spec.gasket_present)
    wanted = Wanted(target=target, band=band_of(spec, target), risk=spec.risk)
    start = Decision(squish=squish, agreement=agreement, clearance=bare, wanted=wanted, sheets=sheets)
    if agreement.is_refused or bare.mean.value <= 0:
        return start
    found = tuple(choices(sheets, bare, spec.sealant, wanted))
    best = found[0] if found[0].fits else None
    film = spec.sealant[1]
    verdict = verdict_of(squish, bare, wanted, best, film)
    return replace(
        start,
        choices=found,
        best=best,
        passed=passed_over(found) if best else None,
        verdict=verdict,
        needed=target - bare.mean.value - film if verdict.names_a_thickness else None,
    )


def band_of(spec: SquishSpec, target: float) -> tuple[float, float]:
    """Floor and ceiling: the user's, else HALF_BAND either side of the target; a ceiling mirrors a given floor."""
    low = spec.least if spec.least is not None else max(0.0, target - HALF_BAND)
    return low, spec.most if spec.most is not None else 2 * target - low


def remarks_on_choice(decision: Decision, spec: SquishSpec) -> Iterator[Finding]:
    """A bare joint, a sheet whose thickness is a guess, an outcome likelier beyond the band than in it."""
    best = decision.best
    if best is None:
        yield from _no_choice(decision)
        return
    if not best.layers:
        yield _bare_joint(spec)
    used = {layer.stock for layer in best.layers}
    for sheet in decision.sheets:
        if sheet.stock.name in used and sheet.fitted.origin is Origin.NOMINAL:
            yield _finding(
                "thickness",
                f"how thick {sheet.stock.name} is when clamped is a guess from its nominal thickness",
                "clamp a piece, measure it, and write fitted = [least, likely, most]",
            )
    if best.odds.in_band < LEAST_IN_BAND:
        yield _finding(
            "squish",
            f"{best.words} is likelier over your ceiling of {both(decision.band[1])} than in the band "
            f"({best.odds.in_band:.0%})",
            "measure the sheet when clamped, or allow more",
        )


def _bare_joint(spec: SquishSpec) -> Finding:
    """Common practice: two bare faces seal by sealant alone, and only where both are flat."""
    if spec.sealant[2] > 0:
        text = "without a gasket the joint is sealed by the film of sealant alone"
        do = "try both faces on a flat plate, degrease them, coat one thinly, keep it out of the ports, let it cure"
    else:
        text = "without a gasket nothing seals the joint, and no sealant is named"
        do = (
            "try both faces on a flat plate, seal them with a sealant that withstands fuel, and write how thick its "
            "film stays: sealant = [least, likely, most]; it adds to the squish"
        )
    return _finding("sealing", text, do)


def _no_choice(decision: Decision) -> Iterator[Finding]:
    wanted, bare = decision.wanted, decision.clearance
    if decision.agreement.is_refused:
        return
    fitted = wanted.target - bare.mean.value
    tight = bare.tight.value + fitted
    where = f" {bare.tight_end.words}" if bare.tight_end else ""
    if not decision.verdict.names_a_thickness:
        yield Finding(
            rule="squish",
            weight="stop",
            part=None,
            found=tight,
            wanted=wanted.band[0],
            text=f"at the target of {both(wanted.target, 3)} on the average, {both(tight)} is left{where}, "
            f"under your floor of {both(wanted.band[0], 3)}",
            do="read left and right, both sides at once, with the piston held down"
            if decision.squish.rocks
            else "true head, deck or cylinder, tighten evenly and read again; a gasket does not mend a tilt",
        )
        return
    under = decision.under_at_target
    if under > wanted.risk:
        yield Finding(
            rule="squish",
            weight="warn",
            part=None,
            found=under,
            wanted=wanted.risk,
            unit="share",
            text=f"at the target itself the chance of less than your floor of {both(wanted.band[0], 3)} "
            f"is {under:.1%}, and you accept {wanted.risk:.1%}",
            do="take more readings, or aim farther from the floor",
        )


def _finding(rule: str, text: str, do: str) -> Finding:
    return Finding(rule=rule, weight="warn", part=None, text=text, do=do)
