"""Is the clearance enough once the engine runs? The user's floor, what takes from the gap, and what others advise.

Nothing here says that a clearance is safe. It says what is known to take from it, and whose advice is which.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from gasketcut.engine.assumptions import CONTACT
from gasketcut.engine.ports.crank import crank_of
from gasketcut.engine.squish.decision import Decision
from gasketcut.engine.squish.running import ClearanceLoss, growth, rod_stretch
from gasketcut.engine.stack.odds import Outcome
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, Job
from gasketcut.length import both
from gasketcut.profile.squish import Running


def clearance_loss(engine: Engine, running: Running) -> ClearanceLoss | None:
    """What takes from the gap at the job's speed; None without stroke, rod or speed.

    Masses, sections and temperatures are the job's (`[engine.running]`), else those of `running`.
    """
    crank = crank_of(engine)
    if crank is None or engine.rpm is None:
        return None
    given = replace(running, **dict(engine.running))
    return ClearanceLoss(
        stretch=rod_stretch(
            crank, engine.rpm, given.reciprocating_g / 1000, given.rod_section_mm2, given.rod_modulus_gpa
        ),
        rod=growth(crank.rod, given.rod_expansion, given.rod_rise_k),
        piston=growth(given.crown_height_mm, given.piston_expansion, given.piston_rise_k),
        cylinder=growth(
            2 * crank.stroke if given.cylinder_height_mm is None else given.cylinder_height_mm,
            given.cylinder_expansion,
            given.cylinder_rise_k,
        ),
        play=given.play_mm,
    )


def floor_findings(job: Job, chosen: Decision, outcome: Outcome, running: Running) -> Iterator[Finding]:
    """The tight place under the floor is a stop; near contact when running is a stop; the rest is said as a note."""
    floor, (least, likely, _) = chosen.band[0], outcome.tight
    if likely < floor - 1e-9:
        end = chosen.clearance.tight_end
        yield Finding(
            rule="squish",
            weight="stop",
            part=None,
            found=likely,
            wanted=floor,
            text=f"a squish of {both(likely, 3)}{f' {end.words}, the tight place,' if end else ''} is under your floor "
            f"of {both(floor, 3)}",
            do="fit more under the cylinder",
        )
    if job.engine is None or (takes := clearance_loss(job.engine, running)) is None:
        return
    left = least - takes.warming_up
    text = (
        f"of {both(least)} cold, {both(left)} is left while the engine warms up (rod stretch {both(takes.stretch, 3)}, "
        f"rod {both(takes.rod)} and piston {both(takes.piston)} growing, play {both(takes.play)}); "
        f"warm through, the cylinder gives {both(takes.cylinder)} back"
    )
    near = left < CONTACT
    yield Finding(
        rule="squish",
        weight="stop" if near else "note",
        part=None,
        found=left,
        wanted=CONTACT,
        text=("the piston may meet the head: " if near else "") + text,
        do="fit more under the cylinder; the maker's figure goes before any sum" if near else "nothing",
    )
