"""Is this the same gasket as last year's file; and was this part cut as it was drawn?"""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from gasketcut.cli.program import EXIT_STOP, Length, echo_json, main, say
from gasketcut.cli.received import DROP, UNITS
from gasketcut.cli.scale_options import Said, scale_options
from gasketcut.errors import GasketError
from gasketcut.outside import bytes_of, shown

if TYPE_CHECKING:
    from collections.abc import Callable

    from gasketcut.evaluation.evaluation import Evaluation
    from gasketcut.output.picture import Picture
    from gasketcut.shape.loop import Outline

Kind = Literal["picture", "job", "drawing"]

_LOOKED_AT = 2000
_KEY = re.compile(rb"^[ \t]*(\[\[?[\w.-]+\]|[\w.-]+[ \t]*=)", re.MULTILINE)
"""A table or a key of a job; one that was not saved as UTF-8 is still a job, and its reader says what to do."""


@main.command()
@click.argument("a", type=click.Path(path_type=Path))
@click.argument("b", type=click.Path(path_type=Path))
@click.option("--within", type=Length(), help="What still counts as the same: 0.1 mm of drawings, 0.2 mm of a picture.")
@click.option("--part", metavar="NAME", help="Which part of the job the picture shows, where it has several.")
@scale_options
@click.option("--units", type=UNITS, help="What the numbers of both drawings are, if you know better than they do.")
@click.option("--units-a", type=UNITS, help="The same of A alone.")
@click.option("--units-b", type=UNITS, help="The same of B alone.")
@DROP
@click.option("--picture", type=click.Path(path_type=Path), help="Both laid over each other: .svg or .pdf.")
@click.option("--replace", is_flag=True, help="Write over a picture that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what differs as JSON.")
def compare(a: Path, b: Path, within: float | None, part: str | None, said: Said, units: str | None,
            units_a: str | None, units_b: str | None, drop: tuple[str, ...], picture: Path | None, replace: bool,
            as_json: bool) -> None:  # fmt: skip
    """Lay drawing B over drawing A and say what differs; or a scan of a cut part over its drawing in a job.

    Turned, moved or mirrored as need be. What agrees is laid exactly, so one hole that moved shows its whole way. Of a
    cut part: how far its edge is off all round, the kerf or the printer's correction to set, and the checks of
    `gasketcut fit` on the part as it was cut. Exit code: 0 the same, and a cut part still fits if its drawing does; 1
    not; 2 a file cannot be used as it is.

    \b
    Example: gasketcut compare ordered.dxf last-year.dxf --within 0.05mm --picture both.svg
    Example: gasketcut compare scan.png engine.toml --part carb-gasket --card --picture off.pdf
    """
    kinds = [_kind(one) for one in (a, b)]
    draw = _maker(picture)  # an ending that is none is said before a long look
    if kinds == ["drawing", "drawing"]:
        if part is not None or not said.is_nothing:
            raise GasketError("both files are drawings: --part and what is said of a scale are for a picture and a job")
        same, shows = _drawings(a, b, within, (units_a or units, units_b or units), drop, as_json)
    elif sorted(kinds) == ["job", "picture"]:
        if drop or units or units_a or units_b:
            raise GasketError("--units and --drop are for drawings: a job and a picture have their own")
        scan, job = (a, b) if kinds[0] == "picture" else (b, a)
        same, shows = _cut(scan, job, within, part, said, as_json)
    else:
        raise GasketError(
            f"{shown(a.name)} is a {kinds[0]} and {shown(b.name)} a {kinds[1]}: give two drawings (DXF), or the "
            "picture of a cut part and its job; gasketcut make writes a job's drawings"
        )
    if picture is not None and draw is not None:
        from gasketcut.output.save import save_one

        save_one(draw(shows()), picture, replace=replace)
    if not same:
        sys.exit(EXIT_STOP)


def _kind(file: Path) -> Kind:
    """By what is in it: a DXF begins with a number on a line, or with its name; a job is text; the rest are pictures,
    and where pictures are read it is said what is none."""
    from gasketcut.job.reading.reader import DEMO

    if str(file) == DEMO:
        return "job"
    start = bytes_of(file)[:_LOOKED_AT]
    first = next((row.strip() for row in start.splitlines() if row.strip()), b"")
    if first.isdigit() or first.startswith(b"AutoCAD Binary DXF") or not first:
        return "drawing"
    is_other = b"\0" in start or start.lstrip().startswith((b"%PDF", b"<"))
    is_text = not is_other and (_is_utf8(start) or _KEY.search(start) is not None)
    if not is_text:
        return "picture"
    return "job" if b"=" in start or b"[" in start else "drawing"


def _is_utf8(start: bytes) -> bool:
    return "\ufffd" not in start.decode("utf-8", "replace")[:-4]  # the last letter may be cut in two


def _maker(picture: Path | None) -> Callable[[Picture], bytes] | None:
    if picture is None:
        return None
    from gasketcut.pages.charts.files import picture_maker

    return picture_maker(picture)


def _drawings(
    a: Path, b: Path, within: float | None, units: tuple[str | None, str | None], drop: tuple[str, ...], as_json: bool
) -> tuple[bool, Callable[[], Picture]]:
    """Two drawings: are they the same, and what draws both."""
    from gasketcut.comparing.comparison import WITHIN, compare
    from gasketcut.output.compared.data import compare_data
    from gasketcut.output.compared.text import compare_text
    from gasketcut.received.parts import received_parts
    from gasketcut.received.settings import Settings

    def outlines(file: Path, unit: str | None) -> list[Outline]:
        parts = received_parts(file, Settings(unit, drop=drop))
        return [part.piece.outline for part in parts for _ in range(part.count)]

    def drawn() -> Picture:
        from gasketcut.pages.charts.compare import compare_picture

        return compare_picture(found, first, second, shown(f"{a.name} and {b.name}"))

    first, second = outlines(a, units[0]), outlines(b, units[1])
    found = compare(first, second, WITHIN if within is None else within)
    if as_json:
        echo_json(compare_data(found, str(a), str(b)))
    else:
        say(compare_text(found, a.name, b.name))
    return found.is_same, drawn


def _cut(
    scan: Path, job: Path, within: float | None, part: str | None, said: Said, as_json: bool
) -> tuple[bool, Callable[[], Picture]]:
    """A picture of a part and its job: was it cut as drawn, and what draws by how much it is off."""
    from gasketcut.capture.cut_part_seen import cut_part_seen
    from gasketcut.capture.image.picture_file import read_scan
    from gasketcut.comparing.cut.cut_comparison import WITHIN, CutVerdict, compare_cut
    from gasketcut.evaluation.as_cut import CutContours, as_cut
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.output.compared.cut_data import cut_data
    from gasketcut.output.compared.cut_text import cut_text

    evaluation = evaluate(read_job(str(job)))
    name = _named(evaluation, part, job)
    drawn = evaluation.parts[name]
    settings = said.settings()
    if settings.is_photo and said.thickness is None:
        settings = replace(settings, thickness=drawn.part.thickness or 0.0)
    seen = cut_part_seen(read_scan(scan, said.page), settings, drawn.outline)
    found = compare_cut(drawn.outline, seen.edges, WITHIN if within is None else within)
    checks = as_cut(evaluation, name, CutContours(found.contours[0], found.inner, found.not_drawn))

    def shows() -> Picture:
        from gasketcut.pages.charts.deviation import deviation_map

        return deviation_map(found, checks, shown(f"{scan.name} on {name}"))

    if as_json:
        data = cut_data(found, checks, str(scan), seen.scale)
        echo_json({**data, "warnings": list(seen.warnings)})
    else:
        say(cut_text(found, checks, seen.scale))
        for one in seen.warnings:
            say(f"warn  {one}")
    return found.verdict is CutVerdict.AS_DRAWN and not checks.is_spoilt, shows


def _named(evaluation: Evaluation, part: str | None, job: Path) -> str:
    """The part of the job that is meant."""
    names = list(evaluation.parts)
    if part in names:
        return str(part)
    known = ", ".join(shown(one) for one in names)
    if part is not None:
        raise GasketError(f"{shown(str(job))}: has no part {shown(part)!r} that is cut; known are {known or 'none'}")
    if len(names) == 1:
        return names[0]
    raise GasketError(f"{shown(str(job))}: which of its parts does the picture show? Add --part and one of: {known}")
