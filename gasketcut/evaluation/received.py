"""The parts of a job that came as drawings: each drawing read, and a part made of each different piece in it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from gasketcut.errors import DrawingError, Fault, JobError, NotSafeError, UndecidedError
from gasketcut.finding import Finding, Weight
from gasketcut.job.model import Job
from gasketcut.parts.drawn import Drawn, DrawnFrom, NamedFor
from gasketcut.parts.part_spec import PartSpec
from gasketcut.plane import Point

if TYPE_CHECKING:
    from gasketcut.received.parts import ReceivedPart

_IN_A_JOB = "\n  what is written --units, --join, --fit or --drop there is units, join, fit or drop of this part"


def with_drawings(job: Job, specs: Sequence[PartSpec]) -> tuple[PartSpec, ...]:
    """The parts with those of received drawings divided into their pieces.

    Raise `JobError` with every drawing that cannot be used as it is and every name that two parts would get, an
    `UndecidedError` where all that is wrong is for a person to decide.
    """
    if all(spec.drawn_from is None for spec in specs):
        return tuple(specs)
    folder = job.folder or Path()
    read: dict[DrawnFrom, tuple[Drawn, ...] | DrawingError] = {}
    made, faults, undecided = list[PartSpec](), list[Fault](), list[Fault]()
    for spec in specs:
        if spec.drawn_from is None:
            made.append(spec)
            continue
        drawn = read.get(spec.drawn_from) or _drawn(spec.drawn_from, folder)
        read[spec.drawn_from] = drawn
        if isinstance(drawn, DrawingError):
            hint = _IN_A_JOB if isinstance(drawn, NotSafeError) and job.source is not None else ""
            (undecided if isinstance(drawn, NotSafeError) else faults).append(_fault(spec, f"{drawn}{hint}"))
            continue
        try:
            made += spec.divided(drawn)
        except JobError as error:
            faults += [_fault(spec, fault.message) for fault in error.faults]
    faults += _same_names(made)
    if undecided and not faults:
        raise UndecidedError(job.called(), tuple(undecided))
    if faults:
        raise JobError(job.called(), tuple(sorted([*faults, *undecided], key=lambda fault: fault.line)))
    return tuple(made)


def _fault(spec: PartSpec, words: str) -> Fault:
    return Fault(spec.line, f"part '{spec.name}'", words)


def _drawn(source: DrawnFrom, folder: Path) -> tuple[Drawn, ...] | DrawingError:
    from gasketcut.received.parts import received_parts  # few jobs have one
    from gasketcut.received.settings import FIT, JOIN, Settings

    join, fit = JOIN if source.join is None else source.join, FIT if source.fit is None else source.fit
    try:
        found = received_parts(folder / source.file, Settings(source.units, join, fit, source.drop))
    except DrawingError as error:
        return error
    return tuple(
        Drawn(
            outline=one.piece.outline,
            marks=one.piece.marks,
            count=one.count,
            remarks=tuple(_remarks(one)),
            named_for=NamedFor(one.named, one.named_thickness) if one.named else None,
        )
        for one in found
    )


def _remarks(one: ReceivedPart) -> Iterator[Finding]:
    """The first look and the first change of each kind, and how many more there are of it."""
    looks = [(look.kind, look.at, f"{look.kind}: {look.text}", look.do) for look in one.looks]
    changes = [(change.kind, change.at, change.text, "nothing; it was put right") for change in one.changes]
    weights: tuple[tuple[Weight, list[tuple[str, Point | None, str, str]]], ...] = (("warn", looks), ("note", changes))
    for weight, rows in weights:
        times = Counter(kind for kind, *_ in rows)
        for kind, at, text, do in {row[0]: row for row in reversed(rows)}.values():
            more = f", and {times[kind] - 1} more like it" if times[kind] > 1 else ""
            yield Finding(rule="drawing", weight=weight, part=None, at=at, text=f"{text}{more}", do=do)


def _same_names(specs: Sequence[PartSpec]) -> list[Fault]:
    seen: dict[str, PartSpec] = {}
    faults = []
    for spec in specs:
        first = seen.setdefault(spec.name.casefold(), spec)
        if first is not spec:
            words = f"{spec.name!r} would be the name of two parts; give one of them another name"
            faults.append(_fault(spec, words))
    return faults
