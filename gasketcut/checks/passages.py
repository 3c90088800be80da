"""Has every passage that such a joint may have been drawn, or declared not to be there?

A home-made gasket that closes an oil or impulse passage is a known way to lose an engine; nobody sees it afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.finding import Finding, Weight
from gasketcut.job.model import PartSpec
from gasketcut.profile.joints import Joints


def undeclared(spec: PartSpec, joints: Joints) -> tuple[str, ...]:
    """Passages of this kind of joint that are neither drawn nor in `none`."""
    wanted = joints.of(spec.kind)
    drawn = [window.name.lower() for window in spec.windows]
    if spec.opening is not None or any(window.name.lower() == spec.kind for window in spec.windows):
        drawn += ["bore", spec.kind]
    if spec.dowels:
        drawn.append("dowel")
    return tuple(name for name in wanted if name not in spec.none and not any(name in one for one in drawn))


def passages(spec: PartSpec, joints: Joints, weight: Weight = "stop") -> Iterator[Finding]:
    """One finding that names every passage nobody has said anything about."""
    missing = undeclared(spec, joints)
    if missing:
        listed = ", ".join(f'"{name}"' for name in missing)
        yield Finding(
            rule="passage",
            weight=weight,
            part=spec.name,
            text=f"nothing is said about {', '.join(missing)}: a passage that is forgotten is closed for good",
            do=f"draw each as [[part.passage]], or write none = [{listed}] for those this engine does not have",
        )
