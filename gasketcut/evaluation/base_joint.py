"""How the base joint is clamped, by what is drawn and by what `[clamp]` says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from gasketcut.engine.stack.clamp import ClampLoad, agreement, clamp_load, joint_load
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.fasteners import Fasteners

if TYPE_CHECKING:
    from gasketcut.parts.part import Part


@dataclass(frozen=True, eq=False)
class BaseJoint:
    """`built` gives the drawn parts: asked only where a clamp needs their area, as numbers come without a drawing
    library."""

    job: Job
    fasteners: Fasteners
    built: Callable[[], Sequence[Part]]

    @cached_property
    def load(self) -> ClampLoad | None:
        """By the studs of the drawn base gasket, else by `[clamp]`, on the drawn area if there is one."""
        if self._drawn is not None:
            return self._drawn
        typed = self.job.clamp
        if typed is None or self.job.lacking("clamp"):
            return None
        return clamp_load(typed, self.fasteners, self._area)

    @cached_property
    def agreement(self) -> tuple[Finding, ...]:
        """What `[clamp]` says against what is drawn."""
        typed, base = self.job.clamp, self._base
        if typed is None or base is None:
            return ()
        return tuple(agreement(typed, self.fasteners, self._drawn, self._area, base.name))

    @cached_property
    def _drawn(self) -> ClampLoad | None:
        base = self._base
        if base is None or not any(pattern.torque_nm for pattern in base.studs):
            return None
        return joint_load(base.studs, self._area or 0.0)

    @property
    def _base(self) -> PartSpec | None:
        return next((spec for spec in self.job.parts if spec.is_base and spec.is_cut), None)

    @cached_property
    def _area(self) -> float | None:
        """Of the drawn base gasket [mm2]."""
        base = self._base
        return next((float(part.solid.area) for part in self.built() if part.name == base.name), None) if base else None
