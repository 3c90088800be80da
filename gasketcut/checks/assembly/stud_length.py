"""Is there enough stud for the nut, with all that lies under it? A spacer or a thicker gasket uses stud up.

Under   this sheet, spacers made after it with a sheet on either side, and the flange [mm].
Left    stud above the nut [mm]: one pitch at least, so that every thread of the nut holds (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gasketcut.finding import Finding, Weight
from gasketcut.length import both
from gasketcut.parts.holes import Holes
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.fasteners import Fasteners

Layer = tuple[str, float | None]

SAME = 1e-6
"""mm; a stud that is exactly long enough is."""


def stud_length(spec: PartSpec, part: Part, spacers: Sequence[Part], fasteners: Fasteners) -> Iterator[Finding]:
    """One finding for each pattern of studs whose length is given.

    spacers : the parts that lie in the same joint because they are made after this one
    """
    sheet: Layer = (f"'{part.name}'", part.thickness)
    stack = [sheet]
    for spacer in spacers:
        stack += [(f"'{spacer.name}'", spacer.thickness), sheet]
    for pattern in spec.studs:
        if pattern.stud_length is not None:
            yield _judged(part.name, pattern, pattern.stud_length, stack, fasteners)


def studs_with(spec: PartSpec, under: float, fasteners: Fasteners) -> Iterator[Finding]:
    """The same for a base gasket's studs with so much between cylinder and case [mm]; below zero: off the base."""
    stack = [("what lies under the cylinder", under)]
    for pattern in spec.studs:
        if pattern.stud_length is not None:
            yield _judged(spec.name, pattern, pattern.stud_length, stack, fasteners)


def _judged(part: str, pattern: Holes, length: float, stack: Sequence[Layer], fasteners: Fasteners) -> Finding:
    known = fasteners.size(pattern.size) if pattern.size in fasteners.names else None
    nut = pattern.nut_height or (known.nut if known else None)
    pitch = pattern.pitch or (known.pitch if known else None)
    says_nut = "the nut" if pattern.nut_height else "the nut by ISO 4032"
    layers = [*stack, ("the flange", pattern.flange), (says_nut, nut)]
    missing = [f"the sheet of {says}" for says, thick in stack if thick is None]
    missing += [key for key, value in (("flange", pattern.flange), ("nut_height", nut), ("pitch", pitch)) if not value]
    at = pattern.at[0]
    if missing or pitch is None:
        listed = ", ".join(dict.fromkeys(missing))
        text = "studs: whether they are long enough was not worked out"
        return Finding(rule="stud", weight="warn", part=part, at=at, text=text, do=f"say {listed}")
    left = length - sum(thick for _, thick in layers if thick is not None)
    counted = ", ".join(f"{says} {both(thick)}" for says, thick in layers if thick is not None)
    text = f"{both(left)} of stud stand above the nut: {both(length)} less {counted}"
    if left < 0:
        text = f"the nut lacks {both(-left)} of stud: {both(length)} less {counted}"
    weight: Weight
    short, weight, do = pitch - left, "note", "nothing"
    if short > SAME:
        weight, do = "warn", f"one pitch, {both(pitch)}, has to stand above it: studs longer by {both(short)} or more"
    if left < -SAME:
        weight, do = "stop", f"studs longer by {both(short)} or more: the nut's threads do not all hold"
    return Finding(rule="stud", weight=weight, part=part, at=at, text=text, do=do, found=left, wanted=pitch)
