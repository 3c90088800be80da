"""Findings about the sheet where it can move: the worst overhang into every window, and the trim that ends it."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from gasketcut.checks.clearance import Clearance, locators
from gasketcut.checks.motion.overhang import Worst
from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.length import IN, both
from gasketcut.shape.motion import free_motions

UNLOCATED = 'give studs with size = "M5" or stud_diameter'


def shift(subject: Subject) -> Iterator[Finding]:
    """One finding for each window: how deep the sheet can come to hang into it, or how clear it stays."""
    part, growth = subject.part, subject.spec.growth_percent
    if not part.flange_openings:
        return
    if not part.studs:
        yield Finding(
            rule="worst overhang",
            weight="note",
            part=part.name,
            text="nothing says what locates the sheet, so how far it can shift is not known",
            do=UNLOCATED,
        )
        return
    if growth and free_motions(locators(part.studs), growth / 100) is None:
        yield Finding(
            rule="hole",
            weight="stop",
            part=part.name,
            text=f"grown by {growth:g} % the sheet does not go over its studs",
            do="larger holes, or keep the sheet dry and flat until it is fitted",
        )
    for one in subject.clearances:
        if one.worst is not None and one.clear is not None:
            yield _finding(part.name, one, one.worst, one.clear)


def _finding(part: str, one: Clearance, worst: Worst, clear: float) -> Finding:
    window = one.window
    if one.can_shift_in or one.drawn.hangs_in:
        dx, dy, turn = worst.motion
        shift = f"{dx:+.2f}, {dy:+.2f} mm ({dx / IN:+.3f}, {dy / IN:+.3f} in)"
        motion = f"shifted {shift} and turned {degrees(turn):+.2f} deg"
        return Finding(
            rule="worst overhang",
            weight="warn",
            part=part,
            at=worst.at,
            found=-clear,
            wanted=0.0,
            text=f"{motion}, as its studs allow, the sheet hangs {both(-clear)} into {window.role} '{window.name}', "
            f"over {worst.area:.2f} mm2",
            do=f"open it there by {both(-clear)} more, or use a finer fit on the studs",
        )
    return Finding(
        rule="worst overhang",
        weight="note",
        part=part,
        at=worst.at,
        found=-clear,
        wanted=0.0,
        text=f"{window.role} '{window.name}' stays clear by {both(max(0.0, clear))} or more however the sheet shifts",
        do="nothing",
    )
