"""What a person sees after a run: the answer first, then the parts, then what to do. 80 columns, no colour needed."""

from __future__ import annotations

import textwrap
from pathlib import Path

from gasketcut.length import IN, both
from gasketcut.output.data.report import Made, Report
from gasketcut.output.sheet_files import layout_text
from gasketcut.output.text.finding import WIDTH, findings_text
from gasketcut.output.text.quote import quote_text
from gasketcut.output.text.squish import squish_sentence
from gasketcut.profile.loading import load


def answer(report: Report, out: Path, *, written: bool) -> str:
    """The whole text, without a line end at its end."""
    blocks = [report.title, _verdict(report, written=written), _parts(report.made)]
    said = tuple(finding for finding in report.findings if finding.weight != "note")
    if said:
        blocks.append(findings_text(said))
    notes = len(report.findings) - len(said)
    if notes:
        blocks.append(f"{_count(notes, 'note')} more in report.json; gasketcut fit shows them.")
    if report.quote is not None:
        cutter = load("cutters")[report.quote.total.process]["says"]
        blocks.append(quote_text(report.quote, cutter))
    if report.sheets:
        blocks.append(layout_text(report.sheets))
    blocks.append(_files(report, out, written=written))
    return "\n\n".join(block for block in blocks if block)


def _verdict(report: Report, *, written: bool) -> str:
    bad = sorted({finding.part or "job" for finding in report.findings if finding.weight == "stop"})
    if not bad:
        rows = [f"FITS: {_count(len(report.made), 'part')}, nothing hangs into a port."]
        loose = sorted({one.part or "job" for one in report.findings if one.rule == "worst overhang" and one.found})
        if loose:
            rows = [f"FITS as drawn, but can shift into a port: {', '.join(loose)}."]
    elif written:
        rows = [f"DOES NOT FIT: {', '.join(bad)}. Written all the same, as you asked."]
    else:
        rows = [f"DOES NOT FIT: {', '.join(bad)}. Nothing was written."]
    if report.squish is not None:
        bare, target = both(report.squish.bare.value, 3), both(report.squish.target, 3)
        rows.append(f"Squish with no gasket {bare}, wanted {target}.")
        rows.append(f"Base gasket: {squish_sentence(report.squish)}.")
    return "\n".join(textwrap.fill(row, WIDTH, subsequent_indent="  ") for row in rows)


def _parts(made: tuple[Made, ...]) -> str:
    rows = [f"{'part':<18} {'size':<33} {'thickness':<20} {'holes':>5}"]
    for one in made:
        left, low, right, high = one.outline.bounds
        x, y = right - left, high - low
        size = f"{x:.1f} x {y:.1f} mm ({x / IN:.2f} x {y / IN:.2f} in)"
        thickness = both(one.part.thickness) if one.part.thickness else "-"
        name = f"{one.part.name} x{one.part.count}" if one.part.count > 1 else one.part.name
        if len(name) > 18:
            rows.append(name)
            name = ""
        rows.append(f"{name:<18} {size:<33} {thickness:<20} {len(one.outline.inner):>5}")
    return "\n".join(rows)


def _files(report: Report, out: Path, *, written: bool) -> str:
    if not written:
        return "Put the stops right, or add --anyway to write files that say so in their names."
    names = [name for one in report.made for name in one.files]
    kinds = " ".join(sorted({Path(name).suffix for name in names}))
    sheets = sum(len(one.layout.sheets) for one in report.sheets)
    whole = f", {_count(sheets, 'sheet')} (.dxf .svg)" if sheets else ""
    text = f"{_count(len(names), 'file')} ({kinds} for each part){whole} and report.json in {out}"
    return textwrap.fill(text, WIDTH, break_long_words=False, break_on_hyphens=False)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" + ("" if number == 1 else "s")
