"""Do the bolts press the sheet enough, and do they stand close enough together for it?"""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, hypot

from gasketcut.engine.stack.clamp import bolt_force
from gasketcut.finding import Finding
from gasketcut.job.model import PartSpec
from gasketcut.length import both
from gasketcut.parts.part import Part
from gasketcut.profile.sheets import Material, Sheets


def clamping(part: Part, spec: PartSpec, sheets: Sheets) -> Iterator[Finding]:
    """Clamp stress against the sheet's test stress, and the widest span between bolts against its stiffness; notes."""
    material = sheets.material(part.stock.material if part.stock else None)
    yield from _stress(part, spec, material)
    yield from _span(part, sheets.span(material))


def _stress(part: Part, spec: PartSpec, material: Material | None) -> Iterator[Finding]:
    forces = [
        bolt_force(pattern.torque_nm, pattern.stud, pattern.k)
        for pattern in spec.studs
        if pattern.torque_nm is not None and pattern.stud is not None and pattern.face is None
        for _ in pattern.at
    ]
    if not forces:
        return
    stress = sum(forces) / part.solid.area
    text = f"{len(forces)} bolts press it with about {stress:.1f} MPa on {part.solid.area:.0f} mm2"
    test = material.stress if material else None
    if test:
        more = "below" if stress < test else "above"
        text += f", {more} the {test:g} MPa at which its sheet was tested"
    yield Finding(rule="clamp", weight="note", part=part.name, text=text, do="nothing", found=stress, wanted=test)


def _span(part: Part, limit: float) -> Iterator[Finding]:
    if len(part.studs) < 2:
        return
    xs, ys = zip(*(stud.center for stud in part.studs), strict=True)
    x, y = sum(xs) / len(xs), sum(ys) / len(ys)
    round_ = sorted((stud.center for stud in part.studs), key=lambda place: atan2(place[1] - y, place[0] - x))
    spans = [
        (hypot(b[0] - a[0], b[1] - a[1]), ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
        for a, b in zip(round_, round_[1:] + round_[:1], strict=True)
    ]
    widest, at = max(spans)
    if widest > limit:
        yield Finding(
            rule="clamp",
            weight="note",
            part=part.name,
            at=at,
            found=widest,
            wanted=limit,
            text=f"bolts stand {both(widest, 1)} apart; a sheet this soft is pressed evenly over {limit:g} mm at most",
            do="thin flanges bow between bolts: check the faces with a straight-edge",
        )
