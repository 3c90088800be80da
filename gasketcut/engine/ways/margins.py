"""What a way costs: the floor of the squish, blowdown, windows against skirt and pin, what stands over a cut base."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.engine.ports.port_change import PortChange
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.floor import floor_findings
from gasketcut.engine.squish.remarks import remarks
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.stack.odds import Outcome
from gasketcut.engine.ways.deed import Deed
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.length import both
from gasketcut.profile.squish import Running


def margins(
    job: Job, answer: SquishResult, outcome: Outcome, after: State, work: tuple[PortChange, ...],
    deeds: tuple[Deed, ...], running: Running,
) -> Iterator[Finding]:  # fmt: skip
    """Findings on the engine as the way leaves it, without those that it has as it stands.

    job     : with chamber and work as the way has them
    outcome : what squish the way leaves, mean and tight place
    """
    known = set(remarks(job.engine, answer.before, answer.before, ()))
    yield from (one for one in floor_findings(job, answer, outcome, running) if one.weight != "note")
    yield from _risk(answer, outcome)
    yield from (one for one in remarks(job.engine, answer.before, after, work) if one not in known)
    for one in work:
        yield from _window(one)
    for deed in deeds:
        yield from _of_deed(deed)


def _risk(answer: SquishResult, outcome: Outcome) -> Iterator[Finding]:
    floor, risk = answer.band[0], answer.wanted.risk
    under = outcome.odds.under_floor
    if outcome.tight[1] >= floor and under > risk:
        yield Finding(
            rule="squish",
            weight="warn",
            part=None,
            found=under,
            wanted=risk,
            unit="share",
            text=f"the chance of less than your floor of {both(floor, 3)} is {under:.1%}, and you accept {risk:.1%}",
            do="take more readings, or aim farther from the floor",
        )


def _window(one: PortChange) -> Iterator[Finding]:
    if one.area_before and one.area_after and one.area_after > one.area_before:
        grown = one.area_after / one.area_before - 1
        text = f"the window of port '{one.port}' grows by {grown:.0%}, to {one.area_after:.0f} mm2"
        yield _note(text, one.area_after, "mm2")


def _of_deed(deed: Deed) -> Iterator[Finding]:
    match deed.does:
        case "spacer":
            yield _note(
                f"a spacer needs a gasket on either face: the {both(deed.mm or 0.0)} are all that is added, second "
                "gasket included",
                deed.mm,
            )
        case "base cut":
            yield _note(
                f"the flange at the cylinder's base gets thinner by {both(deed.mm or 0.0)}, and its spigot stands "
                "deeper in the case by as much",
                deed.mm,
                do="measure flange, spigot and the case's bore for it before the cut: what has to stay is the maker's",
            )
        case "gasket" if deed.mm is not None and deed.mm < 1e-9:
            yield Finding(
                rule="way",
                weight="warn",
                part=None,
                text="no gasket lies under the cylinder: the joint has to be sealed in another way",
                do="a sealant for bare faces, both faces true",
            )
        case _:
            return


def _note(text: str, found: float | None, unit: str = "mm", do: str = "nothing") -> Finding:
    return Finding(rule="way", weight="note", part=None, text=text, do=do, found=found, unit=unit)
