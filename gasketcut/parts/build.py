"""All parts of a job: which kind is built how."""

from __future__ import annotations

from gasketcut.errors import Fault, JobError, ShapeError
from gasketcut.job.model import Job, PartSpec
from gasketcut.parts.assembly import build_copy, build_gasket
from gasketcut.parts.faces import Joint, joint_of
from gasketcut.parts.nick import nicked
from gasketcut.parts.outlet import build_deflector, build_outlet, build_screen
from gasketcut.parts.part import Part
from gasketcut.parts.words import Drawings


def build_parts(job: Job, drawings: Drawings) -> tuple[Part, ...]:
    """The parts in the order of the job file; raise `JobError` that names every part which cannot be drawn."""
    built: dict[str, Part] = {}
    faults: list[Fault] = []
    drawn = [spec for spec in job.parts if spec.kind != "joint"]
    for spec in sorted(drawn, key=lambda spec: spec.of is not None):  # originals before their copies
        try:
            if spec.of is None or spec.of in built:
                built[spec.name] = _build(spec, job, built, drawings)
        except ShapeError as error:
            faults.append(Fault(spec.line, f"part '{spec.name}'", str(error)))
    if faults:
        raise JobError(str(job.source or "job"), tuple(sorted(faults, key=lambda fault: fault.line)))
    return tuple(built[spec.name] for spec in drawn)


def build_joints(job: Job, drawings: Drawings) -> dict[str, Joint]:
    """The two faces of every part that names them, by the part's name."""
    found = {spec.name: joint_of(spec, drawings) for spec in job.parts}
    return {name: joint for name, joint in found.items() if joint is not None}


def _build(spec: PartSpec, job: Job, built: dict[str, Part], drawings: Drawings) -> Part:
    stock = job.sheet(spec.stock)
    if spec.of is not None and spec.kind in ("screen", "deflector"):
        return (
            build_screen(spec, built[spec.of], stock)
            if spec.kind == "screen"
            else build_deflector(spec, built[spec.of], stock)
        )
    if spec.of is not None:
        return build_copy(spec, built[spec.of], stock)
    if spec.kind == "outlet":
        return build_outlet(spec, stock, job.engine, drawings)
    part = build_gasket(spec, stock, drawings)
    return nicked(part) if spec.nick else part
