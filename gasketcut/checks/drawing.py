"""What a received drawing holds that a person should look at, what was put right in it, and whether its name speaks of
the sheet that it is cut from."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.length import both

_SAME_THICKNESS = 0.05
"""mm by which a sheet may differ from the thickness that a drawing is named for: less is rounding. Our choice."""


def drawing(subject: Subject) -> Iterator[Finding]:
    """Every remark on the part's own piece of the drawing, and another sheet than the drawing is named for."""
    yield from subject.spec.remarks
    named, sheet = subject.spec.named_for, subject.part.stock
    if named is None or named.thickness is None or sheet is None:
        return
    if abs(named.thickness - sheet.thickness) > _SAME_THICKNESS:
        yield Finding(
            rule="drawing",
            weight="warn",
            part=subject.part.name,
            found=sheet.thickness,
            wanted=named.thickness,
            text=f"its drawing is named for {named.says}, and {sheet.name} is {both(sheet.thickness)}",
            do="ask which sheet is meant",
        )
