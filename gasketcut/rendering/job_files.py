"""An evaluation to files, in memory: names to bytes. What cannot be proved is not returned.

Every DXF is read back and compared with the part, every SVG's paths are, and every PDF's page and outline at full size.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import get_args

import numpy as np

from gasketcut.cutting.path.kerf import kerf_suffix
from gasketcut.cutting.path.toolpath import bounds_of
from gasketcut.errors import GasketError, OutputError
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.part_result import PartResult
from gasketcut.finding import Finding, has_stop
from gasketcut.length import Units
from gasketcut.output.data.quote import quote_csv
from gasketcut.output.data.report import report_data
from gasketcut.output.drawn import drawn
from gasketcut.output.dxf import Form, Version, write_dxf
from gasketcut.output.proof.dxf import prove_dxf, prove_path
from gasketcut.output.proof.lines import prove_strokes
from gasketcut.output.proof.svg import prove_svg
from gasketcut.output.sheet_files import sheet_dxf, sheet_name, sheet_svg
from gasketcut.output.svg import write_svg
from gasketcut.pages.charts.fit import fit_pictures
from gasketcut.pages.paper import INSTEAD
from gasketcut.pages.printer import Correction
from gasketcut.pages.template import unprintable, write_template, write_together
from gasketcut.profile.papers import Paper
from gasketcut.rendering.grind_files import grind_files, grind_unprinted
from gasketcut.rendering.template_proof import prove_pdf, prove_together
from gasketcut.verdict import UNSAFE, Verdict

TOGETHER = "parts-together.pdf"
REPORT = "report.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """How files are written; raise `GasketError` for a choice that is not there.

    fix      : what corrects the printer
    together : one PDF more, with several small parts a page
    anyway   : parts that do not fit too; their files' names say so
    """

    dxf: Version = "r2000"
    form: Form = "polyline"
    units: Units = "mm"
    paper: str = "a4"
    fix: Correction = Correction()
    together: bool = False
    anyway: bool = False

    def __post_init__(self) -> None:
        for name, value, known in (
            ("dxf", self.dxf, get_args(Version)),
            ("form", self.form, get_args(Form)),
            ("units", self.units, get_args(Units)),
        ):
            if value not in known:
                raise GasketError(f"{name} = {value!r} is not known; write one of {', '.join(known)}")


def is_stopped(evaluation: Evaluation, options: Options = Options()) -> bool:
    """Does a stop forbid the files?"""
    return has_stop(evaluation.findings) and not options.anyway


def render(evaluation: Evaluation, options: Options = Options()) -> dict[str, bytes]:
    """Every file of the job by name: DXF, SVG and full-size PDF of each part, templates to grind by, whole sheets,
    quote and report.

    Empty where a stop forbids it, unless `options.anyway`. Raise `JobError` for a job that cannot be drawn,
    `ReadBackError` if a file does not hold what the part is, `OutputError` where two would get one name.
    """
    paper = evaluation.profiles.papers.paper(options.paper)
    if is_stopped(evaluation, options):
        return {}
    too_large = unprinted(evaluation, options)
    files: dict[str, bytes] = {}
    names: dict[str, tuple[str, ...]] = {}
    for result in evaluation.parts.values():
        own = _cut_files(result, options)
        if unprintable(result, paper) is None:
            own |= _template(result, evaluation.job.title, options, paper)
        own |= grind_files(evaluation, result.name, options.dxf, options.units, paper, options.fix)
        names[result.name] = tuple(own)
        _add(files, own)
    for name in evaluation.joints:
        own = grind_files(evaluation, name, options.dxf, options.units, paper, options.fix)
        names[name] = tuple(own)
        _add(files, own)
    if evaluation.quote is not None:
        _add(files, {"quote.csv": quote_csv(evaluation.quote).encode()})
    if options.together:
        results = tuple(evaluation.parts.values())
        _add(files, {TOGETHER: write_together(results, evaluation.job.title, paper, options.fix)})
        prove_together(files[TOGETHER], [one.outline for one in results], paper, options.fix, TOGETHER)
    _add(files, sheet_files(evaluation, options))
    files[REPORT] = report_bytes(evaluation, names, too_large)
    return files


def sheet_files(evaluation: Evaluation, options: Options = Options()) -> dict[str, bytes]:
    """DXF and SVG of each whole sheet, by name; none without a layout. Raise `ReadBackError` as `render` does."""
    files: dict[str, bytes] = {}
    for laid in evaluation.sheets:
        for number in range(len(laid.layout.sheets)):
            stem = sheet_name(laid, number)
            dxf = sheet_dxf(laid, number, options.dxf, options.units)
            _add(files, {f"{stem}.dxf": dxf, f"{stem}.svg": sheet_svg(laid, number)})
    return files


def _add(files: dict[str, bytes], more: dict[str, bytes]) -> None:
    for name in more:
        if name in files:
            raise OutputError(f"{name}: two things would get this name; give the part or the stock another name")
    files |= more


def unprinted(evaluation: Evaluation, options: Options = Options()) -> tuple[Finding, ...]:
    """A warning for each part, and each port to grind, whose template is too large for the paper: everything but its
    PDF is written."""
    paper = evaluation.profiles.papers.paper(options.paper)
    said = ((name, unprintable(result, paper)) for name, result in evaluation.parts.items())
    parts = (
        Finding(rule="paper", weight="warn", part=name, text=f"has no full-size PDF: {why}", do=INSTEAD)
        for name, why in said
        if why is not None
    )
    return (*parts, *grind_unprinted(evaluation, paper))


def report_bytes(
    evaluation: Evaluation, names: dict[str, tuple[str, ...]] | None = None, more: tuple[Finding, ...] = ()
) -> bytes:
    """`report.json`; `names` are the files of each part, `more` what was found while they were made."""
    data = report_data(evaluation, names or {}, more)
    return (json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _stem(result: PartResult) -> str:
    return result.name + (UNSAFE if result.verdict is Verdict.DOES_NOT_FIT else "")


def _cut_files(result: PartResult, options: Options) -> dict[str, bytes]:
    """DXF and SVG."""
    cut, tool = result.cut, result.cut.tool
    # Lead-ins, tabs and overcut are no contours of the part: where there are any, each stroke is proved by itself.
    form: Form = "polyline" if tool else options.form
    dxf = write_dxf(cut.cut, cut.path, options.dxf, form, options.units, cut.kerf, tool)
    if tool is None:
        prove_dxf(dxf, cut.cut, cut.path, options.units)
    else:
        shift = np.array(bounds_of(tool.strokes, cut.path)[:2])
        lines = [(stroke.layer, np.array(stroke.flattened()) - shift) for stroke in tool.strokes]
        prove_path(dxf, lines, result.name, options.units)
        prove_strokes(tool.strokes, cut.cut.solid, result.name)
    as_cut = _stem(result) + kerf_suffix(cut.kerf)
    svg = write_svg(cut.cut, cut.path, cut.kerf, tool)
    prove_svg(svg, drawn(cut.cut, cut.path, tool), result.name)
    return {f"{as_cut}.dxf": dxf, f"{as_cut}.svg": svg}


def _template(result: PartResult, title: str, options: Options, paper: Paper) -> dict[str, bytes]:
    """The full-size PDF."""
    looked_at = any(finding.weight != "note" and finding.at is not None for finding in result.findings)
    pdf = write_template(result, title, paper, fit_pictures(result) if looked_at else (), options.fix)
    prove_pdf(pdf, result.outline, paper, options.fix, result.name)
    return {f"{_stem(result)}.pdf": pdf}
