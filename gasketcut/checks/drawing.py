"""What a received drawing was found to hold that a person should look at, and what was put right in it."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding


def drawing(subject: Subject) -> Iterator[Finding]:
    """Every remark on the part's own piece of the drawing."""
    yield from subject.spec.remarks_on(subject.part.stock)
