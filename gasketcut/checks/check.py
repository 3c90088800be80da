"""Every check, in the order in which their findings are shown; a new one is registered by one line here."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from gasketcut.checks.clamping import clamping
from gasketcut.checks.drawing import drawing
from gasketcut.checks.faces import faces
from gasketcut.checks.holes import holes
from gasketcut.checks.metal.over_studs import over_studs
from gasketcut.checks.orientation import orientation
from gasketcut.checks.overhang import overhang
from gasketcut.checks.passages import passages
from gasketcut.checks.sealing.lands import lands
from gasketcut.checks.sealing.merges import merges
from gasketcut.checks.sealing.seal import sealing
from gasketcut.checks.shift import shift
from gasketcut.checks.stock import on_stock
from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding

CHECKS: tuple[Callable[[Subject], Iterator[Finding]], ...] = (
    overhang, shift, holes, over_studs, merges, lands, sealing, passages, orientation, clamping, on_stock,
    drawing,
)  # fmt: skip


def checked(subject: Subject) -> Iterator[Finding]:
    """Every finding about the part, and about the two faces it lies between where they are known."""
    for check in CHECKS:
        yield from check(subject)
    if subject.faces is not None:
        yield from faces(subject.faces)
