"""The whole flow on one page: a job goes in, files and a report come out.

job -> squish (engine) -> parts (shape) -> findings (fit) -> outlines (arcs) -> path (cutting) -> files (write)
    -> proof (read)
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import numpy as np
from shapely.geometry import Polygon

from gasketcut.checks.check import check
from gasketcut.checks.faces import faces
from gasketcut.cutting.cut_part import CutPart, cut_findings, cut_part, quoted
from gasketcut.cutting.nest.search import OnProgress
from gasketcut.cutting.nest.sheets import Sheets, laid_out
from gasketcut.cutting.path.kerf import kerf_suffix
from gasketcut.cutting.path.toolpath import bounds_of
from gasketcut.engine.squish.result import SquishResult, layers_of, squish_result_of
from gasketcut.errors import DrawingError, Fault, GasketError, JobError
from gasketcut.finding import Finding, has_stop, sorted_findings
from gasketcut.job.model import Job, PartSpec
from gasketcut.output.data.quote import quote_csv
from gasketcut.output.data.report import Made, Report
from gasketcut.output.drawn import drawn
from gasketcut.output.dxf import Form, Units, Version, write_dxf
from gasketcut.output.folder import UNSAFE, Folder
from gasketcut.output.proof.dxf import prove_dxf, prove_path
from gasketcut.output.proof.lines import prove_strokes
from gasketcut.output.proof.pdf import prove_pdf, prove_together
from gasketcut.output.proof.svg import prove_size, prove_svg
from gasketcut.output.sheet_files import sheet_dxf, sheet_name, sheet_svg
from gasketcut.output.svg import write_svg
from gasketcut.pages.paper import papers
from gasketcut.pages.printer import Correction
from gasketcut.pages.template import write_template, write_together
from gasketcut.parts.build import build_joints, build_parts
from gasketcut.parts.part import Part
from gasketcut.parts.shapes import Drawing, Shape
from gasketcut.received.shape_file import closed_line
from gasketcut.version import VERSION

if TYPE_CHECKING:
    from gasketcut.pages.build_sheet.sections import Section

TOGETHER = "parts-together.pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """How files are written; raise `GasketError` for a choice that is not there.

    fix      : what corrects the printer
    together : write one PDF more, with several small parts a page
    """

    dxf: Version = "r2000"
    form: Form = "polyline"
    units: Units = "mm"
    paper: str = "a4"
    fix: Correction = Correction()
    together: bool = False
    replace: bool = False
    anyway: bool = False

    def __post_init__(self) -> None:
        for name, value, known in (
            ("dxf", self.dxf, get_args(Version)),
            ("form", self.form, get_args(Form)),
            ("units", self.units, get_args(Units)),
            ("paper", self.paper, tuple(papers())),
        ):
            if value not in known:
                raise GasketError(f"{name} = {value!r} is not known; write one of {', '.join(known)}")


def make(job: Job, out: str | Path, options: Options = Options(), on_progress: OnProgress | None = None) -> Report:
    """Write DXF, SVG and PDF of every part and `report.json` into the folder `out`; return the report.

    With a *stop* among the findings nothing is written, unless `options.anyway`. Raise `JobError` for a job that
    cannot be drawn, `OutputError` for files that cannot be written; in either case nothing is left behind.
    `on_progress` hears how far a search for a layout is.
    """
    if not job.parts:
        fault = Fault(0, "", "has no [[part]]; add one, e.g. a base gasket")
        raise JobError(str(job.source or "job"), (fault,))
    job = _measured(job)
    squish = squish_result_of(job)
    drawings = _drawings(job)
    parts = build_parts(job, drawings)
    found = _found(job, parts, drawings, signing_off=False)
    if squish is not None:
        for part in parts:
            if part.kind == "base":
                found[part.name] += (*_sheet_choice(part, squish), *squish.for_part(part.name))
    beside = job.source.parent if job.source else None
    ready = [cut_part(part, job.cutting, beside) for part in parts]
    for one in ready:
        found[one.part.name] += tuple(cut_findings(one, job.cutting, beside))
    sheets, on_sheets = _sheets(ready, job, found, on_progress, anyway=options.anyway)
    findings = sorted_findings((*(finding for one in found.values() for finding in one), *on_sheets))
    stopped = has_stop(findings) and not options.anyway
    used = {name: area for one in sheets for name, area in one.used().items()}
    quote = quoted(ready, job.cutting, used)
    made: list[Made] = []
    if stopped:
        made = [Made(one.part, one.nominal, ()) for one in ready]
        return Report(job.title, tuple(made), squish, findings, VERSION, quote)
    with Folder(Path(out), replace=options.replace) as folder:
        for one in ready:
            made.append(_write(one, job, folder, options, found[one.part.name]))
        if quote is not None:
            folder.stage("quote.csv", quote_csv(quote).encode())
        if options.together:
            shown = [(one.part, one.outline) for one in made]
            pdf = write_together(shown, job.title, options.paper, options.fix)
            prove_together(pdf, [outline for _, outline in shown], options.paper, options.fix, TOGETHER)
            folder.stage(TOGETHER, pdf)
        for laid in sheets:
            for number in range(len(laid.layout.sheets)):
                stem = sheet_name(laid, number)
                folder.stage(f"{stem}.dxf", sheet_dxf(laid, number, options.dxf, options.units))
                folder.stage(f"{stem}.svg", sheet_svg(laid, number))
        report = Report(job.title, tuple(made), squish, findings, VERSION, quote, sheets)
        folder.stage("report.json", report.as_json().encode())
    return report


def fit(job: Job) -> tuple[tuple[Part, ...], tuple[Finding, ...]]:
    """Every check of the job without writing anything: the parts and all findings.

    Stricter than `make`: a passage that is neither drawn nor declared not to be there is a stop.
    """
    job = _measured(job)
    drawings = _drawings(job)
    parts = build_parts(job, drawings)
    found = _found(job, parts, drawings, signing_off=True)
    return parts, sorted_findings(finding for one in found.values() for finding in one)


def record(
    job: Job, out: str | Path, paper: str = "a4", date: str | None = None, *, replace: bool = False
) -> tuple[str, ...]:
    """Write the build sheet as PDF and text into the folder `out`; return the names of the files.

    date : year-month-day; else the job's own, else today's
    """
    from gasketcut.output.text.build_sheet import record_text
    from gasketcut.pages.build_sheet.pdf import record_pdf

    sheet = _sheet(job, date)
    files = {
        "build-sheet.pdf": record_pdf(job.title, sheet.date, sheet.sections, paper),
        "build-sheet.txt": record_text(job.title, sheet.date, sheet.sections).encode(),
    }
    if job.topend.costs:
        from gasketcut.engine.topend.cost import bill_of, costs_to_csv

        files["costs.csv"] = costs_to_csv(bill_of(job.topend.costs, sheet.quotes)).encode()
    if job.topend.trials:
        from gasketcut.pages.charts.files import picture_page
        from gasketcut.pages.charts.trials import trials_picture
        from gasketcut.pages.picture import as_svg

        picture = trials_picture(job.topend.trials, job.title)
        files["trials.svg"] = as_svg(picture)
        prove_size(files["trials.svg"], (picture.width, picture.height), "trials")
        files["trials.pdf"] = picture_page([picture], job.title, "timed trials")
    with Folder(Path(out), replace=replace) as folder:
        for name, data in files.items():
            folder.stage(name, data)
    return tuple(files)


def record_numbers(job: Job, date: str | None = None) -> dict[str, Any]:
    """Every number of the build sheet as plain data, and its sections as they are worded."""
    from gasketcut.output.data.build_sheet import record_data

    sheet = _sheet(job, date)
    return record_data(job, sheet.answer, sheet.date, sheet.findings, sheet.sections, sheet.quotes)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What a build sheet is made of; `quotes` are what one piece of each part costs to cut, by its name."""

    date: str
    answer: SquishResult | None
    findings: tuple[Finding, ...]
    sections: tuple[Section, ...]
    quotes: dict[str, float]


def _sheet(job: Job, date: str | None) -> _Sheet:
    from gasketcut.pages.build_sheet.sections import record_sections
    from gasketcut.pages.build_sheet.topend import topend_sections

    on = date or job.record.date or datetime.date.today().isoformat()
    answer = squish_result_of(job)
    parts, findings = fit(job) if job.parts else ((), ())
    wanted = {cost.part for cost in job.topend.costs if cost.part and cost.price is None}
    quotes = _quotes(job, [part for part in parts if part.name in wanted])
    said = (*findings, *(answer.findings if answer else ()))
    sections = record_sections(job, answer, said, topend_sections(job, answer, quotes))
    return _Sheet(on, answer, said, sections, quotes)


def _quotes(job: Job, parts: Sequence[Part]) -> dict[str, float]:
    """What one piece of each comes to by the rates of `[cutting]`; without them nothing."""
    beside = job.source.parent if job.source else None
    quote = quoted([cut_part(part, job.cutting, beside) for part in parts], job.cutting)
    return {row.part: row.cost for row in quote.rows if row.cost is not None} if quote else {}


def _found(
    job: Job, parts: tuple[Part, ...], drawings: dict[Path, Polygon], *, signing_off: bool
) -> dict[str, tuple[Finding, ...]]:
    """The findings of each part, and of each joint without a gasket, by name."""
    beside = job.source.parent if job.source else None
    joints = build_joints(job, drawings)
    built = {part.name: part for part in parts}
    found = {}
    for spec in job.parts:
        joint = joints.get(spec.name)
        if spec.name in built:
            found[spec.name] = tuple(check(built[spec.name], spec, joint, beside, signing_off=signing_off))
        else:
            found[spec.name] = tuple(faces(joint)) if joint else ()
    return found


def _measured(job: Job) -> Job:
    """With the measured places filled in, where the job has any."""
    if job.measure is None:
        return job
    from gasketcut.measure.placed import with_measured_places  # few jobs need it

    return with_measured_places(job)


def _sheets(
    ready: Sequence[CutPart],
    job: Job,
    found: dict[str, tuple[Finding, ...]],
    on_progress: OnProgress | None,
    *,
    anyway: bool,
) -> tuple[tuple[Sheets, ...], tuple[Finding, ...]]:
    """Whole sheets, where the job asks for them; not searched for long if nothing will be written anyhow."""
    if job.layout is None:
        return (), ()
    unfit = frozenset(name for name, findings in found.items() if has_stop(findings))
    sheets, findings = laid_out(ready, job.layout, job.cutting, on_progress, quick=bool(unfit) and not anyway)
    return tuple(replace(one, unfit=unfit) for one in sheets), findings


def _write(ready: CutPart, job: Job, folder: Folder, options: Options, found: tuple[Finding, ...]) -> Made:
    part, outline = ready.part, ready.nominal
    stem = part.name + (UNSAFE if has_stop(found) else "")
    picture = None
    if any(finding.weight != "note" and finding.at is not None for finding in found):
        from gasketcut.pages.charts.fit import fit_picture  # most parts have nothing to show

        growth = next(spec.growth_percent for spec in job.parts if spec.name == part.name)
        picture = fit_picture(part, found, growth)
    # Lead-ins, tabs and overcut are no contours of the part: where there are any, each stroke is proved by itself.
    tool = ready.tool
    dxf = write_dxf(ready.cut, ready.path, options.dxf, "polyline" if tool else options.form, options.units, ready.kerf,
                    tool)  # fmt: skip
    if tool is None:
        prove_dxf(dxf, ready.cut, ready.path, options.units)
    else:
        shift = np.array(bounds_of(tool.strokes, ready.path)[:2])
        lines = [(stroke.layer, np.array(stroke.flattened()) - shift) for stroke in tool.strokes]
        prove_path(dxf, lines, part.name, options.units)
        prove_strokes(tool.strokes, ready.cut.solid, part.name)
    svg = write_svg(ready.cut, ready.path, ready.kerf, tool)
    prove_svg(svg, drawn(ready.cut, ready.path, tool), part.name)
    pdf = write_template(part, outline, job.title, options.paper, picture, options.fix)
    prove_pdf(pdf, outline, options.paper, options.fix, part.name)
    as_cut = stem + kerf_suffix(ready.kerf)
    files = {
        f"{as_cut}.dxf": dxf,
        f"{as_cut}.svg": svg,
        f"{stem}.pdf": pdf,
    }
    for name, data in files.items():
        folder.stage(name, data)
    return Made(part, outline, tuple(files))


def _drawings(job: Job) -> dict[Path, Polygon]:
    """Every received drawing that the job names, read once."""
    beside = job.source.parent if job.source else Path()
    found: dict[Path, Polygon] = {}
    faults = []
    for part in job.parts:
        for shape in _shapes(part):
            if isinstance(shape, Drawing) and shape.file not in found:
                try:
                    found[shape.file] = closed_line(beside / shape.file)
                except DrawingError as error:
                    faults.append(Fault(part.line, f"part '{part.name}'", str(error)))
    if faults:
        raise JobError(str(job.source or "job"), tuple(faults))
    return found


def _shapes(part: PartSpec) -> list[Shape]:
    placed = [part.opening, part.outline, getattr(part.outline, "of", None)]
    placed += [place for window in part.windows for place in (window.placed, window.cut)]
    shapes = [getattr(place, "shape", None) for place in placed] + [part.outlet.shape if part.outlet else None]
    return [shape for shape in shapes if shape is not None]


def _sheet_choice(part: Part, squish: SquishResult) -> list[Finding]:
    """A base gasket that is drawn for another sheet than the squish asks for."""
    wanted = {layer.stock: layer.count for layer in layers_of(squish)}
    if part.stock is None or wanted == {part.stock.name: part.count}:
        return []
    return [
        Finding(
            rule="thickness",
            weight="warn",
            part=part.name,
            text=f"drawn for {part.count} x {part.stock.name}, but the squish asks for: "
            + (squish.best.words if squish.best else squish.verdict),
            do="set its stock and count to that, or change the target",
        )
    ]
