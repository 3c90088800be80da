"""From an old gasket to a part: the commands that trace a scan or a photograph, and print the target for that."""

from __future__ import annotations

import dataclasses
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.capture.proposals.kinds import KINDS
from gasketcut.cli.program import Length, echo_json, main, say
from gasketcut.cli.scale_options import Distance, Said, scale_options
from gasketcut.cli.tracing.bridging import Bridging
from gasketcut.cli.tracing.dialogue import asked_on_terminal, kind_asked_on_terminal
from gasketcut.cli.tracing.join_options import JoinWords, join_options
from gasketcut.cli.tracing.part_options import Accepted, AcceptsWords, PartWords, chosen, part_options
from gasketcut.cli.tracing.written import as_face, as_part
from gasketcut.errors import GasketError
from gasketcut.outside import shown

if TYPE_CHECKING:
    from gasketcut.capture.known_distance import KnownDistance
    from gasketcut.capture.torn.bridge import Asked


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


@main.command(cls=AcceptsWords)
@click.argument("image", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="The job file to write.")
@part_options
@join_options
@scale_options
@click.option("--ink", type=click.Choice(["outside", "middle"]),
              help="An inked flange or a line drawing: which edge of the lines counts.")  # fmt: skip
@click.option("--pick", type=click.IntRange(min=1), help="Of several parts in the picture the one of this number.")
@click.option("--again", type=click.Path(path_type=Path), help="A second scan, the part turned by 90 deg.")
@click.option("--check", type=Distance(), help="One more, to compare with the result.")
@click.option("--fit", type=Length(), help="How far lines and arcs may lie off the edge; else from its noise.")
@click.option("--bridge", "bridges", multiple=True, type=Bridging(),
              help="Join two sound ends over a tear, by their numbers: 12-14, 12-14:straight.")  # fmt: skip
@click.option("--accept", multiple=True, type=Accepted(),
              help=f"Proposals to take: {', '.join(KINDS)}, all, or all-but C; can be repeated.")  # fmt: skip
@click.option(
    "--overlay",
    type=click.Path(path_type=Path),
    help="A sheet (.svg or .pdf) of the scan with what was fitted, names and sizes.",
)
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
def trace(image: Path, out: Path | None, part: PartWords, join: JoinWords, said: Said, ink: str | None,
          pick: int | None, again: Path | None, check: KnownDistance | None, fit: float | None,
          bridges: tuple[Asked, ...], accept: tuple[str, ...],
          overlay: Path | None, replace: bool, as_json: bool) -> None:  # fmt: skip
    """Trace IMAGE, a scan (PNG, TIFF, JPEG, PDF) of a gasket, to a job file: circles, lines and arcs, how sure each is.

    The scale comes from a bank card (ISO/IEC 7810 ID-1) beside the part, from caliper distances, or from the dpi; of a
    photograph from the target sheet. What is nearly round or nearly equal is offered, never changed in silence; so is
    what the openings may be for. What was not said of the part is asked on a terminal, else printed as flags to add.

    \b
    Example: gasketcut trace old.png --out old.toml --kind intake --name carb-gasket
             --stock "paper 0.5" --thickness 0.5 --as A=stud:M5 --as W1=opening
             gasketcut trace flange.png --into old.toml --joint --face cylinder
    """
    from gasketcut.capture.image.picture_file import read_scan
    from gasketcut.capture.roles.given import said_of_each
    from gasketcut.capture.second import with_second
    from gasketcut.capture.traced import trace
    from gasketcut.output.data.trace import trace_data, trace_text
    from gasketcut.output.save import refuse_existing, save_at
    from gasketcut.pages.traced.files import overlay_maker
    from gasketcut.profile.profiles import read_profiles

    join.check(out, part)
    file = out or join.into
    assert file is not None
    if any(one is not None and one.resolve() == image.resolve() for one in (file, overlay)):
        raise GasketError(f"{shown(image.name)} is the picture itself: name another file to write")
    draws = overlay_maker(overlay) if overlay is not None else None
    scan, profiles = read_scan(image, said.page), read_profiles()
    of_part = part.said(profiles.fasteners, said.thickness)
    is_terminal = not as_json and sys.stdin.isatty() and sys.stdout.isatty()
    if is_terminal and not replace:
        refuse_existing(one for one in (file, overlay) if one is not None and one != join.into)
    take = (lambda one: click.confirm(f"{one.kind}: {one.text}")) if is_terminal and not accept else chosen(accept)
    settings = dataclasses.replace(
        said.settings(),
        ink=ink,  # type: ignore[arg-type]  # one of Ink
        check=check,
        fit=fit,
        bridges=bridges,
        pick=pick,
    )
    traced = trace(
        scan,
        settings,
        fasteners=profiles.fasteners,
        accept=take,
        on_progress=(lambda text: say(f"  {text}", err=True)) if scan.light.size > 20_000_000 else (lambda _: None),
    )
    if again is not None:
        second = trace(
            again,
            dataclasses.replace(settings, page=None, along=None, across=None, check=None, calipers=(), bridges=()),
        )
        traced = with_second(traced, second)
    if is_terminal and not join.joint:
        of_part = kind_asked_on_terminal(of_part)  # what it is guesses go by
    traced, of_each = said_of_each(traced, of_part, profiles.fasteners, take)
    if join.joint:
        written = as_face(traced, of_each, join, file, profiles)
    else:
        ask = partial(asked_on_terminal, profiles=profiles) if is_terminal else (lambda _, said: said)
        written = as_part(traced, of_each, image, join, file, profiles, ask)
    files = {file: written.text.encode()}
    if overlay is not None and draws is not None:
        files[overlay] = draws(scan, traced, image.name)
    save_at(files, replace=replace, changes=() if join.into is None else (join.into,))
    if as_json:
        echo_json({**trace_data(traced), **written.data})
    else:
        say(f"{trace_text(traced, str(file))}\n{written.words}")
