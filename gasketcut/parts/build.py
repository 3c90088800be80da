"""All parts of a job, originals before what is made after them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from gasketcut.errors import Fault, JobError, ShapeError
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import Around, PartSpec

Builder = Callable[[PartSpec, Around], Part]


def build_parts(
    specs: Sequence[PartSpec], around: Callable[[PartSpec], Around], source: str, build: Builder | None = None
) -> tuple[Part, ...]:
    """The parts in the order of the job; raise `JobError` that names every part which cannot be drawn.

    around : what each part needs of the job but for the parts built before it
    build  : another way to come by a part, e.g. from an earlier evaluation
    """
    made: dict[str, Part] = {}
    faults: list[Fault] = []
    cut = [spec for spec in specs if spec.is_cut]
    for spec in sorted(cut, key=lambda spec: spec.of is not None):
        if spec.of is not None and spec.of not in made:
            continue  # its original could not be drawn: one fault is enough
        own = around(spec)
        own = replace(own, built={spec.of: made[spec.of]}) if spec.of is not None else own
        try:
            made[spec.name] = build(spec, own) if build else spec.built(own)
        except ShapeError as error:
            faults.append(Fault(spec.line, f"part '{spec.name}'", str(error)))
    if faults:
        raise JobError(source, tuple(sorted(faults, key=lambda fault: fault.line)))
    return tuple(made[spec.name] for spec in cut)
