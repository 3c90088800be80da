"""No figure is printed with two values: terminal, JSON, build sheet and pictures say the same of every stage."""

import io
import json
import re

import pdfplumber
import pytest
from svgelements import SVG, Text

from gasketcut import evaluate, parse_job
from gasketcut.length import IN
from gasketcut.output.data.squish import squish_data
from gasketcut.output.text.squish import squish_text
from gasketcut.pages.build_sheet.record import record_pdf, record_text
from gasketcut.pages.build_sheet.sections import record_sections
from gasketcut.pages.charts.files import squish_files
from gasketcut.pages.paper_files import wheel_pdf
from gasketcut.profile.papers import Paper
from tests.engine.test_one_after import ENGINE, WORK
from tests.output.test_inches_first import JOB as INCH_JOB

MORE = 'boost = { kind = "transfer", opens = "124 deg" }\nsecond = { kind = "transfer", opens = "122 deg" }\n'
INCH = INCH_JOB[: INCH_JOB.index("[[work]]")]
JOBS = {
    "gasket": ENGINE,
    "gasket and work": ENGINE + WORK,
    "two works": ENGINE + WORK + '[[work]]\nport = "intake"\nremove = 0.4\nwiden = 1.0\n',
    "five ports": ENGINE.replace("intake =", f"{MORE}intake =") + WORK,
    "exceeded": ENGINE + WORK.replace("165", "140"),
    "inches": INCH,
    "inches and work": INCH + '[[work]]\nport = "exhaust"\nremove = 0.02\n',
    "spacer": ENGINE.replace("target = 0.508\nleast = 0.40", "target = 0.80\nleast = 0.75") + WORK,
    "read again": ENGINE.replace("readings = [", 'readings = [{ at = "left", value = 1.32 }, ') + WORK,
    "true the faces": ENGINE.replace('at = "right", value = 0.92', 'at = "right", value = 1.32') + WORK,
    "base cut": ENGINE.replace("target = 0.508\nleast = 0.40", "target = 0.30\nleast = 0.25"),
}


@pytest.fixture(scope="module", params=JOBS)
def said(request):
    """The job's evaluation, its JSON, its text and its build sheet."""
    evaluation = evaluate(parse_job(JOBS[request.param]))
    answer = evaluation.squish
    sheet = record_text("t", "2026-01-01", record_sections(evaluation))
    return evaluation, json.loads(json.dumps(squish_data(answer))), squish_text(answer, "t", ()), sheet


def stages(data):
    """Those that are shown: without work `gasket_only` is none, and where nothing is changed below it is `before`."""
    alone = [data["gasket_only"]] if data["gasket_only"] not in (None, data["before"]) else []
    return [data["before"], *alone, data["after"]]


def halves(state, *keys):
    """The +- that stand under those keys; nothing where none is known."""
    found = state["plus_minus"] or {}
    for key in keys:
        found = found.get(key, {})
    return found


def shown(value, half, decimals, per=1.0):
    """As a cell has to show it."""
    if value is None:
        return "-"
    ends = value if isinstance(value, list) else [value]
    words = "-".join(f"{one / per:.{decimals}f}" for one in ends)
    half = max(half) if isinstance(half, list) else half
    return words + (f" +- {half / per:.{decimals}f}" if half and round(half / per, decimals) > 0 else "")


def rows_of(data, units):
    """Name of each row, and how its cells have to read, from the JSON."""
    length = (3, IN) if units == "in" else (2, 1.0)
    named = [
        ("base thickness, fitted", "fitted_mm", *length),
        ("squish", "squish_mm", *length),
        ("chamber", "chamber_cc", 2, 1.0),
        ("ratio, full stroke", "ratio_full_stroke", 2, 1.0),
        ("ratio, trapped", "ratio_trapped", 2, 1.0),
        ("cranking pressure, kPa", "gauge_kpa", 0, 1.0),
        ("  in psi", "gauge_kpa", 0, 6.894757),
        ("blowdown", "blowdown_deg", 1, 1.0),
    ]
    for name, key, decimals, per in named:
        yield name, [shown(one[key], halves(one).get(key), decimals, per) for one in stages(data)]
    for name in data["after"]["ports"]:
        for words, key in (("opens, [AB]TDC", "opens_deg"), ("open for", "duration_deg")):
            ports = [(one["ports"][name], halves(one, "ports", name)) for one in stages(data)]
            yield f"{name} {words}", [shown(port[key], half.get(key), 1) for port, half in ports]


def test_terminal_and_build_sheet_show_what_the_json_says(said):
    evaluation, data, text, sheet = said
    for name, wanted in rows_of(data, evaluation.job.units):
        for where in (f" now {text.split(' now ', 1)[1]}", sheet):
            found = re.findall(rf"^{name} +(\S.*?)$", where, re.MULTILINE)
            assert any(_numbers(row) == wanted for row in found), (name, wanted, found)


def _numbers(row):
    return re.findall(r"-?\d+(?:\.\d+)?(?:-\d+(?:\.\d+)?)?(?: \+- \d+(?:\.\d+)?)?|(?<!\S)-(?!\S)", row)


def test_the_build_sheet_expects_what_the_answer_says(said):
    _, data, _, sheet = said
    for name, port in data["after"]["ports"].items():
        assert re.search(rf"{name} opens, deg [AB]TDC \(expected {port['opens_deg']:.1f}\)", sheet), name
    low, high = data["after"]["gauge_kpa"]
    assert f"(expected {low:.0f} to {high:.0f} kPa)" in sheet


def test_the_rings_show_what_the_json_says(said):
    evaluation, data, _, _ = said
    picture = SVG.parse(io.BytesIO(squish_files(evaluation.squish, "t")["port-timing.svg"]))
    words = [one.text for one in picture.elements(lambda one: isinstance(one, Text))]
    wanted = [
        [f"{one['ports'][name]['opens_deg']:.1f}", f"{one['ports'][name]['duration_deg']:.1f}"]
        for name in data["after"]["ports"]
        for one in stages(data)
    ]
    heads = [stage.value for stage, _ in evaluation.squish.stages]
    rows = [words[at + 1 : at + 3] for at, one in enumerate(words) if one in heads]

    assert rows == wanted


def test_the_wheel_opens_every_port_where_the_answer_does(said):
    evaluation, data, _, _ = said
    for event in evaluation.events:
        if event.what == "opens":
            assert abs(event.new) == pytest.approx(data["after"]["ports"][event.port]["opens_deg"], abs=1e-4)
    with pdfplumber.open(io.BytesIO(wheel_pdf(evaluation))) as document:
        words = "\n".join(page.extract_text() for page in document.pages)
    for name, port in data["after"]["ports"].items():
        assert re.search(rf"{name} opens .*{port['opens_deg']:.2f} (after|before)", words), name


def test_side_by_side_is_the_same_engine(said):
    _, data, text, sheet = said
    if data["answer"] is None:
        pytest.skip("no choice is the answer")
    first = data["side_by_side"][0]
    assert first["after"] == data["after"]
    shown_here = [one for one in data["side_by_side"] if one["after"] is not None]
    for where in (text.split("with everything that is planned:")[-1], sheet.split("side by side\n")[-1]):
        block = where.split("\n\n")[0]
        for name, port in data["after"]["ports"].items():
            wanted = [f"{one['after']['ports'][name]['duration_deg']:.1f}" for one in shown_here]
            assert re.findall(r"[\d.]+", re.search(rf"{name} open, deg\s+(\d.*)", block)[1]) == wanted
            assert f"{port['duration_deg']:.1f}" == wanted[0]
        wanted = [f"{one['after']['ratio_trapped']:.2f}" for one in shown_here]
        assert re.findall(r"[\d.]+", re.search(r"ratio, trapped\s+(\d.*)", block)[1]) == wanted


def test_paper_and_text_of_the_build_sheet_are_one(said):
    evaluation, _, _, sheet = said
    pdf = record_pdf("t", "2026-01-01", record_sections(evaluation), Paper("A4", 210.0, 297.0))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        words = " ".join(" ".join(page.extract_text().split()) for page in document.pages)
    for row in re.findall(r"^(?:exhaust|transfer|intake) open for .*$", sheet, re.MULTILINE):
        assert " ".join(row.split()) in words


def test_nothing_is_wider_than_a_screen(said):
    _, _, text, sheet = said
    lines = [*text.split("with everything that is planned:")[-1].split("\n"), *sheet.split("\n")]
    assert [line for line in lines if len(line) > 80] == []
