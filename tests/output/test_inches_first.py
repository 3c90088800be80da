"""A job in inches is answered in inches first, on the screen, on paper and in every picture; mm stand beside them."""

import io
import re

import pdfplumber
import pytest

from gasketcut import evaluate, parse_job, render
from gasketcut.length import in_order, places, plus_minus, span
from gasketcut.output.text.finding import findings_text
from gasketcut.output.text.make import make_text
from gasketcut.output.text.squish import squish_text
from gasketcut.pages.build_sheet.record import record_text
from gasketcut.pages.build_sheet.sections import record_sections
from gasketcut.pages.charts.fit import fit_files
from gasketcut.pages.paper_files import stencil_pdf, wheel_pdf

JOB = """units = "in"
title = "Hay rake"
[engine]
bore = 1.75
stroke = 1.375
rod = 2.25
chamber_cc = 6.2
rpm = 9500
squish_band = 0.25
[engine.ports]
exhaust = { opens = "103 deg", width = 1.0, height = "7/16 in", corner = 0.125, centre = "90 deg" }
transfer = { opens = "121 deg", width = 0.5, height = 0.25, centre = "0 deg" }
[squish]
target = 0.020
least = 0.016
gasket_present = "0.020 in +- 0.0004"
readings = [{ at = "left", value = "0.036 in +- 0.0008" }, { at = "right", value = "0.0366 in +- 0.0008" }]
[[stock]]
name = "can sheet"
thickness = 0.004
material = "can"
sheets = 4
[[work]]
port = "exhaust"
remove = 0.02
[[part]]
name = "base"
kind = "base"
stock = "can sheet"
opening = { round = 1.77 }
set_back = 0.015
studs = { at = [[-1.063, -0.866], [1.063, -0.866], [1.063, 0.945], [-1.063, 0.945]], size = "#10" }
outline = { lobes = 0.26, ring = 0.18, fillet = 0.24 }
[[part.port]]
name = "transfer left"
at = [-0.886, 0.02]
shape = { rectangle = [0.394, 0.59], corner = 0.1 }
joins = ["bore"]
[ring]
gap = 0.010
"""
NUMBER = r"[-+]?\d[\d.,]*"
TURNED = {
    "mm": re.compile(rf"(?<![/\d.]){NUMBER}\s+in\s+\({NUMBER}[^()]*\s+mm\)"),
    "in": re.compile(rf"(?<![/\d.]){NUMBER}\s+mm\s+\({NUMBER}[^()]*\s+in\)"),
}
BESIDE = {"in": re.compile(rf"{NUMBER}\s+in\s+\({NUMBER}"), "mm": re.compile(rf"{NUMBER}\s+mm\s+\({NUMBER}")}
BAR = re.compile(r"100(\.0)? mm\s+\(3\.937 in\)")
"""The bars that a print is measured by: metric on every page."""


def in_mm(text):
    """The same job with its numbers in mm."""
    inches = re.sub(r'"(\d+)/(\d+) in"', lambda m: str(int(m[1]) / int(m[2])), text)
    skip = ("chamber_cc", "rpm", "sheets")
    rows = []
    for row in inches.split("\n"):
        metric = re.sub(r"(?<![\w#\"])-?\d+\.\d+(?! deg)", lambda m: f"{float(m[0]) * 25.4:.6f}", row)
        rows.append(
            (row if row.startswith(skip) else metric)
            .replace(" in +- ", " mm +- ")
            .replace('units = "in"', 'units = "mm"')
        )
    done = "\n".join(rows)
    return re.sub(r'"(\d\.\d+) (mm) \+- (\S+)"', lambda m: f'"{float(m[1]) * 25.4} mm +- {m[3]}"', done)


def pdf_text(data):
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return "\n".join(page.extract_text() for page in pdf.pages)


def said(job, tmp_path):
    """Everything that is said of the job, by where it is said."""
    evaluation = evaluate(job)
    files = render(evaluation)
    fits = fit_files(evaluation.parts.values())
    return {
        "squish": squish_text(evaluation.squish, "t", evaluation.profiles.squish.advice),
        "make": make_text(evaluation, tmp_path, files),
        "fit": findings_text(evaluation.findings, job.units),
        "record": record_text("t", "2026-01-01", record_sections(evaluation)),
        "report": files["report.json"].decode(),
        "template": pdf_text(files["base.pdf"]),
        "wheel": pdf_text(wheel_pdf(evaluation)),
        "stencil": pdf_text(stencil_pdf(evaluation)),
        **{name: data.decode() for name, data in fits.items() if name.endswith(".svg")},
    }


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_job_s_unit_stands_first_and_the_other_beside_it(tmp_path, units):
    job = parse_job(JOB if units == "in" else in_mm(JOB))
    for where, text in said(job, tmp_path).items():
        rest = BAR.sub("", text)
        assert not TURNED[units].findall(rest), (where, TURNED[units].findall(rest))
        assert BESIDE[units].search(rest), where


def test_the_answer_is_the_same_in_either_unit():
    one, other = evaluate(parse_job(JOB)), evaluate(parse_job(in_mm(JOB)))
    assert one.verdict is other.verdict
    assert one.parts["base"].clear_mm == pytest.approx(other.parts["base"].clear_mm, abs=1e-4)
    assert one.squish.best.squish == pytest.approx(other.squish.best.squish, abs=1e-5)


def test_columns_are_headed_with_the_job_s_unit(tmp_path):
    inches = said(parse_job(JOB), tmp_path)
    assert "fitted in" in inches["squish"]
    assert "1 x can sheet         0.004     0.019 0.020 0.022" in inches["squish"]
    assert "fitted in" in inches["record"]
    assert "fitted mm" not in inches["record"]


def test_a_line_broken_between_number_and_unit_is_turned_too():
    assert in_order("0.41 mm (0.016\n  in) bare, 0.43 to\n 0.64 mm (0.017 to 0.025 in)", "in") == (
        "0.016 in (0.41\n  mm) bare, 0.017 to 0.025 in (0.43 to\n 0.64 mm)"
    )


@pytest.mark.parametrize("text", ["5 mm2 (0.01 in)", "0.5 mm thick (see 2 in)", "at 600 mm/min", "M5 (0.2 in)"])
def test_what_is_no_length_in_both_systems_stays(text):
    assert in_order(text, "in") == text


def test_digits_are_those_that_the_uncertainty_carries():
    assert [places(sigma) for sigma in (0.3, 0.02, 0.01, 0.009, 0.002, 0.0001)] == [2, 2, 2, 3, 3, 4]
    assert plus_minus(0.01) == "+- 0.01 mm (0.0004 in)"
    assert span(0.4999, 0.5001) == "0.50 mm (0.020 in)"
