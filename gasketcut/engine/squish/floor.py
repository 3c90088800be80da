"""Is the clearance enough once the engine runs? The user's floor, what eats the gap, and what others advise.

Nothing here says that a clearance is safe. It says what is known to take from it, and whose advice is which.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gasketcut.engine.assumptions import CONTACT
from gasketcut.engine.squish.effects import State, crank_of
from gasketcut.engine.squish.running import ClearanceLoss, growth, rod_stretch
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, Job, Range
from gasketcut.length import both
from gasketcut.profile.loading import load


@dataclass(frozen=True, slots=True)
class Advice:
    """A published figure for the squish clearance, as a range [mm], for whom, and from where."""

    engines: str
    low: float
    high: float
    source: str


def advice(beside: Path | None = None) -> tuple[Advice, ...]:
    """The table of `profiles/squish.toml`; shown as theirs, never taken as a rule."""
    rows: list[dict[str, Any]] = load("squish", beside)["advice"]
    return tuple(Advice(row["engines"], row["low"], row["high"], row["source"]) for row in rows)


def eaten(engine: Engine, beside: Path | None = None) -> ClearanceLoss | None:
    """What takes from the gap at the job's speed; None without stroke, rod or speed.

    Masses, sections and temperatures are the job's (`[engine.running]`), else the defaults of `profiles/squish.toml`.
    """
    crank = crank_of(engine)
    if crank is None or engine.rpm is None:
        return None
    given = {**load("squish", beside)["running"], **dict(engine.running)}
    return ClearanceLoss(
        stretch=rod_stretch(
            crank, engine.rpm, given["reciprocating_g"] / 1000, given["rod_section_mm2"], given["rod_modulus_gpa"]
        ),
        rod=growth(crank.rod, given["rod_expansion"], given["rod_rise_k"]),
        piston=growth(given["crown_height_mm"], given["piston_expansion"], given["piston_rise_k"]),
        cylinder=growth(
            given.get("cylinder_height_mm", 2 * crank.stroke), given["cylinder_expansion"], given["cylinder_rise_k"]
        ),
        play=given["play_mm"],
    )


def floor_findings(job: Job, after: State, floor: float, squish: Range | None) -> Iterator[Finding]:
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
    if job.engine is None or (takes := eaten(job.engine, job.source.parent if job.source else None)) is None:
        return
    left = least - takes.warming_up
    text = (
        f"of {both(least)} cold, {both(left)} is left while the engine warms up: rod stretch {takes.stretch:.2f}, "
        f"rod {takes.rod:.2f} and piston {takes.piston:.2f} growing, play {takes.play:.2f} mm; "
        f"warm through, the cylinder gives {takes.cylinder:.2f} mm back"
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
