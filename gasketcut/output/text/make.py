"""What a person sees after a run: the answer first, then the parts, then what to do. 80 columns, no colour needed."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping
from pathlib import Path

from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.part_result import PartResult
from gasketcut.finding import Finding, sorted_findings
from gasketcut.length import both, box, in_order, places
from gasketcut.output.sheet_files import layout_text
from gasketcut.output.text.choice import squish_sentence
from gasketcut.output.text.finding import WIDTH, findings_text
from gasketcut.output.text.quote import quote_text
from gasketcut.output.text.verdict import verdict_text
from gasketcut.verdict import Verdict


def make_text(evaluation: Evaluation, out: Path, files: Mapping[str, bytes], more: tuple[Finding, ...] = ()) -> str:
    """The whole text, without a line end at its end; `files` are those that were written, `more` what was found while
    they were made."""
    sheets, on_sheets = evaluation.laid_out
    findings = sorted_findings((*evaluation.findings, *on_sheets, *more))
    blocks = [evaluation.job.title, _verdict(evaluation, written=bool(files)), _parts(evaluation.parts.values())]
    said = tuple(finding for finding in findings if finding.weight != "note")
    if said:
        blocks.append(findings_text(said, evaluation.job.units))
    notes = len(findings) - len(said)
    if notes:
        blocks.append(f"{_count(notes, 'note')} more in report.json; gasketcut fit shows them.")
    if evaluation.quote is not None:
        blocks.append(quote_text(evaluation.quote))
    if sheets and files:
        blocks.append(layout_text(sheets))
    blocks.append(_files(evaluation, out, files, sum(one.rule == "paper" for one in more)))
    return in_order("\n\n".join(block for block in blocks if block), evaluation.job.units)


def _verdict(evaluation: Evaluation, *, written: bool) -> str:
    rows = [verdict_text(evaluation)]
    if evaluation.verdict is Verdict.DOES_NOT_FIT:
        rows[0] += " Written all the same, as you asked." if written else " Nothing was written."
    squish = evaluation.known_squish
    if squish is not None:
        bare, target = both(squish.bare.value, places(squish.bare.sigma)), both(squish.target, 3)
        rows.append(f"Squish with no gasket {bare}, wanted {target}.")
        rows.append(f"Base gasket: {squish_sentence(squish)}.")
    return "\n".join(textwrap.fill(row, WIDTH, subsequent_indent="  ") for row in rows)


def _parts(results: Iterable[PartResult]) -> str:
    rows = [f"{'part':<18} {'size':<33} {'thickness':<20} {'holes':>5}"]
    for one in results:
        left, low, right, high = one.outline.bounds
        x, y = right - left, high - low
        size = box(x, y)
        thickness = both(one.part.thickness) if one.part.thickness else "-"
        name = f"{one.name} x{one.part.count}" if one.part.count > 1 else one.name
        if len(name) > 18:
            rows.append(name)
            name = ""
        rows.append(f"{name:<18} {size:<33} {thickness:<20} {len(one.outline.inner):>5}")
    return "\n".join(rows)


def _files(evaluation: Evaluation, out: Path, files: Mapping[str, bytes], unprinted: int) -> str:
    if not files:
        return "Put the stops right, or add --anyway to write files that say so in their names."
    whole = sum(len(one.layout.sheets) for one in evaluation.sheets)
    kinds = " ".join(sorted({Path(name).suffix for name in files} & {".dxf", ".svg", ".pdf"}))
    sheets = f", {_count(whole, 'sheet')} (.dxf .svg)" if whole else ""
    count = 3 * len(evaluation.parts) - unprinted  # DXF, SVG and PDF
    ground = [name for name, ones in evaluation.grindings.items() if ones]
    by = f", templates to grind by (.dxf .pdf) for {' and '.join(ground)}" if ground else ""
    each = f"{_count(count, 'file')} ({kinds} for each part)" if count else ""
    text = f"{each}{sheets}{by} and report.json in {out}".removeprefix(", ")
    return textwrap.fill(text, WIDTH, break_long_words=False, break_on_hyphens=False)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" + ("" if number == 1 else "s")
