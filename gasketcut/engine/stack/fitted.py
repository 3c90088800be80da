"""How thick each stock of a job is once it is clamped, worked out once for every joint that it may go into."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gasketcut.engine.stack.clamp import ClampLoad, clamp_load
from gasketcut.engine.stack.clamped import ClampedThickness, fitted_thickness
from gasketcut.job.model import Job, PartSpec


@dataclass(frozen=True, slots=True)
class FittedStocks:
    """Thickness of each stock when clamped, by its name.

    base       under the cylinder, where `[clamp]` says how hard the bolts press
    elsewhere  in the other joints, of which nothing says it
    load       of the base joint, None without `[clamp]`
    """

    base: Mapping[str, ClampedThickness]
    elsewhere: Mapping[str, ClampedThickness]
    load: ClampLoad | None

    def of_part(self, part: PartSpec, job: Job) -> ClampedThickness | None:
        """Of the part's own sheet, or None without one; what is made `of` a base gasket lies under the cylinder too."""
        under = part.kind == "base" or any(one.name == part.of and one.kind == "base" for one in job.parts)
        return (self.base if under else self.elsewhere).get(part.stock or "")


def fitted_stocks(job: Job) -> FittedStocks:
    """Every stock of the job."""
    beside = job.source.parent if job.source else None
    load = clamp_load(job.clamp, beside) if job.clamp else None
    stress = load.stress if load else None
    return FittedStocks(
        base={stock.name: fitted_thickness(stock, beside, stress) for stock in job.stock},
        elsewhere={stock.name: fitted_thickness(stock, beside) for stock in job.stock},
        load=load,
    )
