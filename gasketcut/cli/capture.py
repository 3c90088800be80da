"""From an old gasket to a part: the command that traces a scan."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import Length, echo_json, main
from gasketcut.errors import GasketError

if TYPE_CHECKING:
    from gasketcut.capture.traced import Distance

_KINDS = ["equal-holes", "round-value", "iso273", "all"]


class _Distance(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """`A:B=48.32`."""

    name = "A:B=mm"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Distance:
        from gasketcut.capture.traced import Distance
        from gasketcut.length import parse_length

        if isinstance(value, Distance):
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
        return Distance(found[1], found[2], mm)


@main.command(short_help="A scan of an old gasket to a part with true circles and arcs.")
@click.argument("image", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="The job file to write.")
@click.option("--dpi", type=click.FloatRange(20, 10_000), help="Dots an inch, in place of what the file says.")
@click.option("--card", is_flag=True, help="Take the scale from a bank card beside the part, or stop.")
@click.option("--along", type=_Distance(), help="A caliper distance along the picture: A:B=48.32, left:right=64.0.")
@click.option("--across", type=_Distance(), help="One across it: C:D=41.10, bottom:top=80.2.")
@click.option("--check", type=_Distance(), help="One more, to hold against the result.")
@click.option("--fit", type=Length(), help="How far lines and arcs may lie off the edge; else from its noise.")
@click.option("--accept", multiple=True, type=click.Choice(_KINDS), help="Proposals to take; can be repeated.")
@click.option("--overlay", type=click.Path(path_type=Path), help="An SVG of the scan with what was fitted.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
def trace(image: Path, out: Path, dpi: float | None, card: bool, along: Distance | None, across: Distance | None,
          check: Distance | None, fit: float | None, accept: tuple[str, ...], overlay: Path | None, replace: bool,
          as_json: bool) -> None:  # fmt: skip
    """Trace IMAGE, a scan (PNG, TIFF, JPEG) of a gasket, into a job file: circles, lines and arcs, each with its doubt.

    The scale comes from a bank card (ISO/IEC 7810 ID-1) beside the part, from caliper distances, or from the dpi. What
    is nearly round or nearly equal is offered, never changed in silence.

    \b
    Example: gasketcut trace old.png --out old.toml --along A:B=48.32 --overlay old.svg
    """
    from gasketcut.capture.job_text import job_text
    from gasketcut.capture.picture_file import read_scan
    from gasketcut.capture.traced import accepting, trace_scan
    from gasketcut.write.folder import write_one
    from gasketcut.write.trace_data import overlay_svg, trace_data, trace_text

    asks = not accept and not as_json and sys.stdin.isatty() and sys.stdout.isatty()
    scan = read_scan(image)
    traced = trace_scan(
        scan,
        dpi=dpi,
        card=card,
        along=along,
        across=across,
        check=check,
        fit=fit,
        accept=(lambda one: one.value is not None and click.confirm(f"{one.kind}: {one.text}?"))
        if asks
        else accepting(accept),
        tell=(lambda text: click.echo(f"  {text}", err=True)) if scan.light.size > 20_000_000 else (lambda _: None),
    )
    write_one(job_text(traced, image.stem).encode(), out, replace=replace)
    if overlay is not None:
        write_one(overlay_svg(scan, traced, image.name), overlay, replace=replace)
    if as_json:
        echo_json(trace_data(traced))
    else:
        click.echo(trace_text(traced, str(out)))
