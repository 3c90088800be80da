"""What a command that looks at a picture lets its user say of the scale: one list, whichever command it is."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import Length, bundled
from gasketcut.errors import GasketError

if TYPE_CHECKING:
    from gasketcut.capture.known_distance import KnownDistance
    from gasketcut.capture.settings import TraceSettings
    from gasketcut.job.model import CaliperReading


class Distance(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """`A:B=48.32`, or `A:B=48.32+-0.03` with the reading's standard deviation."""

    name = "A:B=mm"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> KnownDistance:
        from gasketcut.capture.known_distance import CALIPER, KnownDistance
        from gasketcut.length import parse_measured

        if isinstance(value, KnownDistance):
            return value
        found = re.fullmatch(r"\s*(\w+)\s*:\s*(\w+)\s*=\s*(.+)", str(value))
        if found is None:
            self.fail(
                f"{value!r}: write two names and the mm between them, e.g. A:B=48.32 or left:right=64.0", param, ctx
            )
        try:
            reading = parse_measured(found[3].strip(), bare_unit="mm")
        except GasketError as error:
            self.fail(str(error), param, ctx)
        if not 0.5 <= reading.value <= 2000:
            self.fail(f"{reading.value:g} mm is no distance on a gasket", param, ctx)
        return KnownDistance(found[1], found[2], reading.value, reading.sigma or CALIPER)


class _Bars(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """`100.2x99.8`."""

    name = "mmxmm"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> tuple[float, float]:
        if isinstance(value, tuple):
            return value
        found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*", str(value))
        sizes = (float(found[1]), float(found[2])) if found else (0.0, 0.0)
        if not all(90 <= size <= 110 for size in sizes):
            self.fail(f"{value!r}: write what the two 100 mm bars measure, e.g. 100.2x99.8", param, ctx)
        return sizes


_OPTIONS = (
    click.option("--page", type=click.IntRange(1), help="Of a file of several (PDF, TIFF): which; else the first."),
    click.option("--dpi", type=click.FloatRange(20, 10_000), help="Dots an inch, in place of what the file says."),
    click.option("--card/--no-card", default=None,
                 help="Take the scale from a bank card beside the part, or stop; or there is none."),
    click.option("--target", is_flag=True, help="It is a photograph of the part on the sheet of gasketcut target."),
    click.option("--sheet", type=click.Choice(["a4", "letter"]), help="A photograph on a bare sheet: second choice."),
    click.option("--bars", type=_Bars(), help="What the target's bars measure, along and across: 100.2x99.8."),
    click.option("--thickness", type=Length(bare=True), help="Of the part, or of the sheet it is cut from."),
    click.option("--along", type=Distance(), help="A caliper distance along the picture: A:B=48.32, left:right=64.0."),
    click.option("--across", type=Distance(), help="One across it: C:D=41.10, bottom:top=80.2."),
    click.option("--calipers", type=click.Path(path_type=Path),
                 help="A job with [[measure.distance]] between holes: they correct the scale."),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What was said, by the options' names; nothing of pictures is loaded before the settings are asked for."""

    page: int | None = None
    dpi: float | None = None
    card: bool | None = None
    target: bool = False
    sheet: str | None = None
    bars: tuple[float, float] | None = None
    thickness: float | None = None
    along: KnownDistance | None = None
    across: KnownDistance | None = None
    calipers: Path | None = None

    @property
    def is_nothing(self) -> bool:
        return self == Said()

    def settings(self) -> TraceSettings:
        from gasketcut.capture.settings import TraceSettings
        from gasketcut.profile.profiles import read_profiles

        if self.bars and not self.target:
            raise GasketError("--bars are those of the target sheet: add --target, or leave them out")
        on = read_profiles().papers.paper(self.sheet) if self.sheet else None
        return TraceSettings(
            page=self.page,
            dpi=self.dpi,
            card=self.card,
            target=self.target,
            bars=self.bars,
            sheet=(on.width, on.height) if on else None,
            thickness=self.thickness or 0.0,
            along=self.along,
            across=self.across,
            calipers=_readings(self.calipers),
        )


scale_options = bundled(_OPTIONS, Said, "said")
"""The command with these options; what was said comes to it as `said`."""


def _readings(job: Path | None) -> tuple[CaliperReading, ...]:
    """The distances of a job's [measure]."""
    if job is None:
        return ()
    from gasketcut.job.reading.reader import read_job

    measure = read_job(str(job)).measure
    if measure is None or not measure.distances:
        raise GasketError(f"{job}: has no [[measure.distance]]; add from, to, reading and over")
    return measure.distances
