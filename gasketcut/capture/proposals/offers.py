"""What nearly equal and nearly round numbers may be meant to be: offered, never done in silence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from gasketcut.capture.scale.isometry import Isometry
from gasketcut.capture.torn.fill import Fill
from gasketcut.length import IN
from gasketcut.plane import Point
from gasketcut.profile.fasteners import FITS, Fasteners
from gasketcut.shape.loop import Circle

NEAR = 0.03
"""mm by which a diameter may be off a value that it is meant to be, beside its own uncertainty. Our choice."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """`holes` by number become `value` wide [mm]; or move by `shift` [mm]; or the part becomes the mean of
    itself and its `images`; or openings by name get `roles`; or a piece is filled in."""

    kind: str
    text: str
    holes: tuple[int, ...] = ()
    value: float | None = None
    accepted: bool = False
    bolt: str | None = None
    part: int = 0
    images: tuple[Isometry, ...] = ()
    shift: Point | None = None
    roles: tuple[tuple[str, str], ...] = ()
    fill: Fill | None = field(default=None, compare=False)


def proposals_for(circles: Sequence[Circle], sigma: float, fasteners: Fasteners) -> list[Proposal]:
    """Equal holes first, then round values of what is then equal.

    sigma : of the scale, relative
    """
    found: list[Proposal] = []
    groups = _groups(circles, sigma)
    for group in groups:
        widths = [2 * circles[n].radius for n in group]
        mean = float(np.mean(widths))
        if len(group) > 1:
            text = f"{len(group)} holes of {min(widths):.3f} to {max(widths):.3f} mm: all {mean:.3f}"
            found.append(Proposal("equal-holes", text, tuple(group), mean))
        limit = NEAR + 2 * sigma * mean
        value, name = round_value(mean)
        if abs(value - mean) <= limit and abs(value - mean) > 1e-9:
            found.append(Proposal("round-value", f"{mean:.3f} mm: {name}", tuple(group), value))
        size = _iso(mean, limit + 0.05, fasteners)
        if size is not None:
            text = f"{mean:.3f} mm: {size[1]:g} for {size[0]} (ISO 273)"
            found.append(Proposal("iso273", text, tuple(group), size[1], bolt=size[0]))
    return found


def applied(circles: Sequence[Circle], accepted: Sequence[Proposal]) -> list[Circle]:
    """Later ones win: equal, then round, then the size of a bolt."""
    made = list(circles)
    for one in accepted:
        for n in one.holes:
            if one.value is not None:
                made[n] = Circle(made[n].center, one.value / 2)
    return made


def _groups(circles: Sequence[Circle], sigma: float) -> list[list[int]]:
    order = sorted(range(len(circles)), key=lambda n: circles[n].radius)
    groups: list[list[int]] = []
    for n in order:
        width = 2 * circles[n].radius
        if groups and width - 2 * circles[groups[-1][0]].radius <= 0.06 + 2 * sigma * width:
            groups[-1].append(n)
        else:
            groups.append([n])
    return groups


def round_value(width: float) -> tuple[float, str]:
    """The nearest tenth of a mm, or sixty-fourth of an inch if that is much nearer."""
    tenth = round(width * 10) / 10
    sixty = round(width / IN * 64)
    inch = sixty * IN / 64
    if abs(inch - width) * 4 < abs(tenth - width):
        return inch, f"{sixty}/64 in"
    return tenth, f"{tenth:g} mm"


def _iso(width: float, limit: float, fasteners: Fasteners) -> tuple[str, float] | None:
    """The metric size and fit whose hole is nearest, if one is near enough."""
    holes = [(f"{size.name} {fit}", size.hole(fit)) for size in fasteners.sizes for fit in FITS if size.name[0] == "M"]
    near = [one for one in holes if abs(one[1] - width) <= limit]
    return min(near, key=lambda one: abs(one[1] - width), default=None)
