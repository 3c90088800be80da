"""Has every passage that such a joint may have been drawn, or declared absent? And is any port known at all?

A home-made gasket that closes an oil or impulse passage is a known way to lose an engine; nobody sees it afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.joints import Joints

PORT = "port"
"""Said to be missing where no port or passage of the metal is known: the sheet was held against nothing."""

STUDS = "studs"
"""Said to be missing where nothing locates the sheet: how far it can shift is not known."""


def undeclared(spec: PartSpec, joints: Joints) -> tuple[str, ...]:
    """Passages of this kind of joint that are neither drawn nor declared absent."""
    return joints.undeclared(spec.kind, spec.passages, spec.spoken_of(), spec.absent)


def unsaid(part: Part, spec: PartSpec, joints: Joints) -> tuple[str, ...]:
    """All that has to be said before anything is proven of the part."""
    missing = [*undeclared(spec, joints)]
    missing += [f"metal {name} not measured" for name in part.unmeasured]
    if _lacks_port(spec, part):
        missing.append(PORT)
    if part.flange_openings and not part.studs:
        missing.append(STUDS)
    return tuple(missing)


def _lacks_port(spec: PartSpec, part: Part) -> bool:
    """Is there nothing of the metal that it was held against, or nothing that its opening, the way for a port, was?"""
    if not spec.seals:
        return False
    if spec.opening_is_port and spec.opening is not None:
        return not any(metal.way == 0 for metal in part.flange_openings)
    return not part.flange_openings and not part.unmeasured


def passages(subject: Subject) -> Iterator[Finding]:
    """One finding that names every passage nobody has said anything about, one for each whose metal was not measured,
    and one if no port is known."""
    spec = subject.spec
    missing = undeclared(spec, subject.profiles.joints)
    if missing:
        listed = ", ".join(f'"{name}"' for name in missing)
        yield Finding(
            rule="passage",
            weight="warn",
            part=spec.name,
            text=f"nothing is said about {', '.join(missing)}: a passage that is forgotten is closed for good",
            do=f"draw each as [[part.passage]], or write absent = [{listed}] for those this engine does not have",
        )
    for name in subject.part.unmeasured:
        yield Finding(
            rule="passage",
            weight="warn",
            part=spec.name,
            text=f"{name} is an opening of the sheet alone: the metal was not measured, so it was held against nothing",
            do="measure the metal there and add it as shape = { ... } beside cut",
        )
    if _lacks_port(spec, subject.part):
        yield Finding(
            rule="passage",
            weight="warn",
            part=spec.name,
            text="no port of the metal is drawn, so there is nothing that its opening was held against",
            do="measure the port in the metal and draw it as [[part.port]]",
        )
