"""From an old gasket to a part: the commands that trace a scan or a photograph, and print the target for that."""

from __future__ import annotations

import dataclasses
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.capture.proposals.kinds import KINDS
from gasketcut.cli.program import Length, echo_json, main, say
from gasketcut.errors import GasketError

if TYPE_CHECKING:
    from gasketcut.capture.known_distance import KnownDistance
    from gasketcut.job.model import CaliperReading


class _Distance(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """`A:B=48.32`."""

    name = "A:B=mm"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> KnownDistance:
        from gasketcut.capture.known_distance import KnownDistance
        from gasketcut.length import parse_length

        if isinstance(value, KnownDistance):
            return value
        found = re.fullmatch(r"\s*(\w+)\s*:\s*(\w+)\s*=\s*(.+)", str(value))
        if found is None:
            self.fail(
                f"{value!r}: write two names and the mm between them, e.g. A:B=48.32 or left:right=64.0", param, ctx
            )
        text = found[3].strip()
        try:
            mm = float(text) if re.fullmatch(r"\d+(\.\d+)?", text) else parse_length(text)
        except GasketError as error:
            self.fail(str(error), param, ctx)
        if not 0.5 <= mm <= 2000:
            self.fail(f"{mm:g} mm is no distance on a gasket", param, ctx)
        return KnownDistance(found[1], found[2], mm)


def _readings(job: Path | None) -> tuple[CaliperReading, ...]:
    """The distances of a job's [measure]."""
    if job is None:
        return ()
    from gasketcut.job.reading.reader import read_job

    measure = read_job(str(job)).measure
    if measure is None or not measure.distances:
        raise GasketError(f"{job}: has no [[measure.distance]]; add from, to, reading and over")
    return measure.distances


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


@main.command()
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="Paper of the PDF.")
@click.option("--out", type=click.Path(path_type=Path), default="target.pdf", show_default=True, help="The file.")
@click.option("--replace", is_flag=True, help="Write over a file that is there already.")
def target(paper: str, out: Path, replace: bool) -> None:
    """Write the target: dots of known place round a free middle, and two bars to measure.

    \b
    Example: gasketcut target --paper letter
    """
    from gasketcut.pages.paper_files import write_pdf
    from gasketcut.pages.target import target_pdf
    from gasketcut.profile.profiles import read_profiles

    write_pdf(target_pdf(read_profiles().papers.paper(paper)), out, replace=replace)
    say(f"{out}: print it at 100 %, measure both bars, lay the part in the middle")


@main.command()
@click.argument("image", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="The job file to write.")
@click.option("--dpi", type=click.FloatRange(20, 10_000), help="Dots an inch, in place of what the file says.")
@click.option("--card/--no-card", default=None,
              help="Take the scale from a bank card beside the part, or stop; or there is none.")  # fmt: skip
@click.option("--target", is_flag=True, help="It is a photograph of the part on the sheet of gasketcut target.")
@click.option("--sheet", type=click.Choice(["a4", "letter"]), help="A photograph on a bare sheet: second choice.")
@click.option("--bars", type=_Bars(), help="What the target's bars measure, along and across: 100.2x99.8.")
@click.option("--thickness", type=Length(), default="0 mm", help="Of the part.")
@click.option("--ink", type=click.Choice(["outside", "middle"]),
              help="An inked flange or a line drawing: which edge of the lines counts.")  # fmt: skip
@click.option("--again", type=click.Path(path_type=Path), help="A second scan, the part turned by 90 deg.")
@click.option("--along", type=_Distance(), help="A caliper distance along the picture: A:B=48.32, left:right=64.0.")
@click.option("--across", type=_Distance(), help="One across it: C:D=41.10, bottom:top=80.2.")
@click.option("--check", type=_Distance(), help="One more, to compare with the result.")
@click.option("--calipers", type=click.Path(path_type=Path),
              help="A job with [[measure.distance]] between holes: they correct the scale.")  # fmt: skip
@click.option("--fit", type=Length(), help="How far lines and arcs may lie off the edge; else from its noise.")
@click.option("--accept", multiple=True, type=click.Choice([*KINDS, "all"]), help="Proposals to take; can be repeated.")
@click.option("--overlay", type=click.Path(path_type=Path), help="An SVG of the scan with what was fitted.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
def trace(image: Path, out: Path, dpi: float | None, card: bool | None, target: bool,
          sheet: str | None, bars: tuple[float, float] | None, thickness: float, ink: str | None, again: Path | None,
          along: KnownDistance | None, across: KnownDistance | None, check: KnownDistance | None, calipers: Path | None,
          fit: float | None,
          accept: tuple[str, ...], overlay: Path | None, replace: bool, as_json: bool) -> None:  # fmt: skip
    """Trace IMAGE, a scan (PNG, TIFF, JPEG) of a gasket, to a job file: circles, lines and arcs with their uncertainty.

    The scale comes from a bank card (ISO/IEC 7810 ID-1) beside the part, from caliper distances, or from the dpi; of a
    photograph from the target sheet. What is nearly round or nearly equal is offered, never changed in silence.

    \b
    Example: gasketcut trace old.png --out old.toml --along A:B=48.32 --overlay old.svg
    """
    from gasketcut.capture.image.picture_file import read_scan
    from gasketcut.capture.job_text import job_text
    from gasketcut.capture.second import with_second
    from gasketcut.capture.settings import TraceSettings
    from gasketcut.capture.traced import accepting, trace
    from gasketcut.output.data.trace import overlay_svg, trace_data, trace_text
    from gasketcut.output.save import save_at
    from gasketcut.profile.profiles import read_profiles

    asks = not accept and not as_json and sys.stdin.isatty() and sys.stdout.isatty()
    scan, profiles = read_scan(image), read_profiles()
    on = profiles.papers.paper(sheet) if sheet else None
    settings = TraceSettings(
        dpi=dpi,
        card=card,
        target=target,
        bars=bars,
        sheet=(on.width, on.height) if on else None,
        thickness=thickness,
        ink=ink,  # type: ignore[arg-type]  # one of Ink
        along=along,
        across=across,
        check=check,
        calipers=_readings(calipers),
        fit=fit,
    )
    traced = trace(
        scan,
        settings,
        fasteners=profiles.fasteners,
        accept=(lambda one: click.confirm(f"{one.kind}: {one.text}?")) if asks else accepting(accept),
        on_progress=(lambda text: say(f"  {text}", err=True)) if scan.light.size > 20_000_000 else (lambda _: None),
    )
    if again is not None:
        second = trace(again, dataclasses.replace(settings, along=None, across=None, check=None, calipers=()))
        traced = with_second(traced, second)
    files = {out: job_text(traced, image.stem).encode()}
    if overlay is not None:
        files[overlay] = overlay_svg(scan, traced, image.name)
    save_at(files, replace=replace)
    if as_json:
        echo_json(trace_data(traced))
    else:
        say(trace_text(traced, str(out)))
