"""How the joint under the cylinder is clamped: by the studs of the drawn base gasket, else as `[clamp]` says it."""

from __future__ import annotations

from collections.abc import Callable
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
    """Of a job; `built` draws its parts, and is called only where a clamp needs the gasket's area, as numbers come
    without a drawing library."""

    job: Job
    fasteners: Fasteners
    built: Callable[[], tuple[Part, ...]]

    @cached_property
    def load(self) -> ClampLoad | None:
        """None where nobody says how it is clamped."""
        if self._by_studs is not None:
            return self._by_studs
        typed = self.job.clamp
        if typed is None or self.job.lacking("clamp"):
            return None
        return clamp_load(typed, self.fasteners, self._area)

    @cached_property
    def agreement(self) -> tuple[Finding, ...]:
        """Where `[clamp]` says another thing than what is drawn."""
        typed, gasket = self.job.clamp, self._gasket
        if typed is None or gasket is None:
            return ()
        return tuple(agreement(typed, self.fasteners, self._by_studs, self._area, gasket.name))

    @cached_property
    def _by_studs(self) -> ClampLoad | None:
        gasket = self._gasket
        if gasket is None or not any(pattern.torque_nm for pattern in gasket.studs):
            return None
        return joint_load(gasket.studs, self._area or 0.0)

    @property
    def _gasket(self) -> PartSpec | None:
        return next((spec for spec in self.job.parts if spec.is_base and spec.is_cut), None)

    @cached_property
    def _area(self) -> float | None:
        """Of the drawn base gasket [mm2]."""
        gasket = self._gasket
        if gasket is None:
            return None
        return next((float(part.solid.area) for part in self.built() if part.name == gasket.name), None)
