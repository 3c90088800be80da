"""Which way up? A part that goes over its studs wrongly, and misses only by a little, is the dangerous one."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.nick import without_nick
from gasketcut.parts.symmetry import SAME, OtherWay, other_ways

NEAR = 2.0
"""mm; a wrong way that misses by less is not seen when the gasket is laid on. Our choice."""


def orientation(subject: Subject) -> Iterator[Finding]:
    """One finding: the part may go any way, only one way, or wrong ways that miss by so much."""
    part = subject.part
    if len(part.studs) < 2:
        return
    ways = other_ways(without_nick(part))
    wrong = [way for way in ways if way.miss > SAME]
    if not wrong:
        text = "it fits either way up" if ways else "its studs let it on in one way only"
        yield Finding(rule="mirror", weight="note", part=part.name, text=text, do="nothing", found=0.0)
        return
    near = wrong[0]
    hidden = near.miss < NEAR
    if part.nick is not None:
        x, y = part.nick
        yield Finding(
            rule="mirror",
            weight="note",
            part=part.name,
            at=part.nick,
            found=near.miss,
            text=f"the nick in its edge shows how it goes on: {_how(near)} it would miss by {both(near.miss)}",
            do=f"lay it on with the nick at ({x:.0f}, {y:.0f})",
        )
        return
    face = f"mark '{part.face_up}'" if part.face_up else 'say face_up = "..."'
    yield Finding(
        rule="mirror",
        weight="warn" if hidden else "note",
        part=part.name,
        at=near.at,
        found=near.miss,
        wanted=0.0,
        text=f"{_how(near)} it still goes over its studs, but misses by {both(near.miss)}"
        + (": too little to be seen when it is laid on" if hidden else "")
        + "; cut from the wrong face it is the mirror image",
        do=f"{face} on the sheet, and let nick = true cut a mark into the edge",
    )


def _how(way: OtherWay) -> str:
    turn = way.turn % 360
    if not way.mirrored:
        return f"turned by {turn:.0f} deg"
    return "turned over" if min(turn, 360 - turn) < 1 else f"turned over and by {turn:.0f} deg"
