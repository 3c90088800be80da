"""Do the bolts press the sheet enough, and do they stand close enough together for it?"""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, hypot

from gasketcut.checks.subject import Subject
from gasketcut.engine.stack.clamp import joint_load
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.sheets import Material


def clamping(subject: Subject) -> Iterator[Finding]:
    """Clamp stress against the sheet's test stress, and the widest span between bolts against its stiffness; notes."""
    part, sheets = subject.part, subject.profiles.sheets
    material = sheets.material(part.stock.material if part.stock else None)
    yield from _stress(part, subject.spec, material)
    yield from _span(part, sheets.span(material))


def _stress(part: Part, spec: PartSpec, material: Material | None) -> Iterator[Finding]:
    load = joint_load(spec.studs, float(part.solid.area))
    if load is None:
        return
    stress = load.stress
    text = f"{load.bolts} bolts press it with about {stress:.1f} MPa on {part.solid.area:.0f} mm2"
    test = material.stress if material else None
    if test:
        more = "below" if stress < test else "above"
        text += f", {more} the {test:g} MPa at which its sheet was tested"
    yield Finding(rule="clamp", weight="note", part=part.name, text=text, do="nothing", found=stress, wanted=test,
                  unit="MPa")  # fmt: skip


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
            text=f"bolts stand {both(widest, 1)} apart; a sheet this soft is pressed evenly over "
            f"{both(limit, 0)} at most",
            do="thin flanges bow between bolts: check the faces with a straight-edge",
        )
