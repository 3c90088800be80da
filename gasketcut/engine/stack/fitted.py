"""How thick each stock of a job is once it is clamped, worked out once for every joint that it may go into."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gasketcut.engine.stack.clamp import ClampLoad
from gasketcut.engine.stack.clamped import ClampedThickness, fitted_thickness
from gasketcut.job.model import Job
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.sheets import Sheets


@dataclass(frozen=True, slots=True)
class FittedStocks:
    """Thickness of each stock when clamped, by its name.

    base       under the cylinder, where it is known how hard the bolts press
    elsewhere  in the other joints, of which nothing says it
    load       of the base joint, None if nobody says it
    """

    base: Mapping[str, ClampedThickness]
    elsewhere: Mapping[str, ClampedThickness]
    load: ClampLoad | None

    def of_part(self, part: PartSpec, job: Job) -> ClampedThickness | None:
        """Of the part's own sheet, or None without one; what is made `of` a base gasket lies under the cylinder too."""
        under = part.is_base or any(one.name == part.of and one.is_base for one in job.parts)
        return (self.base if under else self.elsewhere).get(part.stock or "")


def fitted_stocks(job: Job, sheets: Sheets, load: ClampLoad | None) -> FittedStocks:
    """Every stock of the job; `load` is the base joint's."""
    stress = load.stress if load else None
    return FittedStocks(
        base={stock.name: fitted_thickness(stock, sheets, stress) for stock in job.stock},
        elsewhere={stock.name: fitted_thickness(stock, sheets) for stock in job.stock},
        load=load,
    )
