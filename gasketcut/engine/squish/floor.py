"""Is the clearance enough once the engine runs? The user's floor, what takes from the gap, and what others advise.

Nothing here says that a clearance is safe. It says what is known to take from it, and whose advice is which.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from gasketcut.engine.assumptions import CONTACT
from gasketcut.engine.ports.crank import crank_of
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.running import ClearanceLoss, growth, rod_stretch
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, Job
from gasketcut.length import both
from gasketcut.parts.stock import Range
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


def floor_findings(job: Job, after: State, floor: float, squish: Range | None, running: Running) -> Iterator[Finding]:
    """Under the floor is a stop; near contact when running is a stop; the rest is said as a note."""
    least = squish[0] if squish else after.squish
    if after.squish < floor - 1e-9:
        yield Finding(
            rule="squish",
            weight="stop",
            part=None,
            found=after.squish,
            wanted=floor,
            text=f"a squish of {both(after.squish, 3)} is under your floor of {both(floor, 3)}",
            do="fit more under the cylinder",
        )
    if job.engine is None or (takes := clearance_loss(job.engine, running)) is None:
        return
    left = least - takes.warming_up
    text = (
        f"of {both(least)} cold, {both(left)} is left while the engine warms up (in mm: rod stretch "
        f"{takes.stretch:.2f}, rod {takes.rod:.2f} and piston {takes.piston:.2f} growing, play {takes.play:.2f}); "
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
