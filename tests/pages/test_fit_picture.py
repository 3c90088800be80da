"""The findings as pictures: numbers beside the part, each place enlarged with what, where, how much, what to do."""

import itertools
import re

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.output.picture import Stroke, Words
from gasketcut.pages.charts.detail import HIGH, WIDE
from gasketcut.pages.charts.fit import A_PAGE, fit_files, fit_pictures

JOB = """units = "mm"
[[part]]
name = "carb"
kind = "intake"
opening = { round = 19.6 }
studs = { at = [[-21, 0], [21, 0]], size = "M5" }
outline = { lobes = 6, ring = 4, fillet = 8 }
absent = ["oil", "water", "drain", "dowel"]
set_back = 0.2
[[part.port]]
name = "intake"
shape = { round = 19.4 }
[[part.passage]]
name = "impulse"
at = [0, -13.2]
shape = { round = 2.5 }
cut = { round = 2.4 }
[[part.port]]
name = "bleed"
at = [14.6, 0.4]
shape = { round = 1.2 }
[[part.port]]
name = "vent"
at = [14.6, -0.9]
shape = { round = 1.0 }
"""


@pytest.fixture(scope="module")
def result():
    return evaluate(parse_job(JOB)).parts["carb"]


def said(result):
    return [one for one in result.findings if one.weight != "note" and one.at is not None]


def test_every_number_stands_alone_and_leads_to_its_place(result):
    picture = fit_pictures(result)[0]
    numbers = [mark for mark in picture.marks if isinstance(mark, Words) and mark.text.isdigit()]

    assert sorted(int(mark.text) for mark in numbers) == list(range(1, len(said(result)) + 1))
    for one, other in itertools.combinations(numbers, 2):
        assert one.anchor != other.anchor or abs(one.at[1] - other.at[1]) >= 4.0
    for mark in picture.marks:
        if isinstance(mark, Words):
            assert 0 <= mark.at[0] <= picture.width
            assert 0 <= mark.at[1] <= picture.height


def test_each_finding_is_enlarged_with_its_port_and_its_deed(result):
    pages = fit_pictures(result)[1:]
    assert len(pages) == -(-len(said(result)) // A_PAGE)
    text = " ".join(mark.text for page in pages for mark in page.marks if isinstance(mark, Words))
    for number, finding in enumerate(said(result), 1):
        assert f"{number} {finding.rule}" in " ".join(text.split())
    for name in ("port 'intake'", "passage 'impulse'", "port 'bleed'"):
        assert name in text
    assert text.count("Do: ") == text.count("Drawn ") == len(said(result))


def test_the_overhang_can_be_seen_at_the_scale_that_is_stated(result):
    text = " ".join(mark.text for page in fit_pictures(result)[1:] for mark in page.marks if isinstance(mark, Words))
    scales = [float(one) for one in re.findall(r"Drawn (\d+) : 1", text)]
    for finding, scale in zip(said(result), scales, strict=True):
        if finding.unit == "mm" and finding.found and abs(finding.found) > 0.08:
            assert abs(finding.found) * scale >= 4.0


def test_nothing_is_drawn_beyond_the_frames(result):
    for page in fit_pictures(result)[1:]:
        strokes = [mark for mark in page.marks if isinstance(mark, Stroke)]
        assert strokes
        for mark in strokes:
            assert all(-1e-6 <= x <= WIDE + 1e-6 and -1e-6 <= y <= page.height + 1e-6 for x, y in mark.points)
        assert page.height % (HIGH + 5.0) == pytest.approx(0, abs=1e-6)


def test_a_motion_is_drawn_for_the_finding_that_speaks_of_it(result):
    moved = [one for one in said(result) if one.rule == "worst overhang"]
    assert moved
    for finding in moved:
        found = result.clearance_of(finding)
        assert found is not None
        assert f"'{found.window.name}'" in finding.text
    assert result.clearance_of(next(one for one in said(result) if one.rule == "overhang")) is None


def test_the_svg_holds_all_pages_below_each_other(result):
    files = fit_files([result])
    pages = fit_pictures(result)
    high = float(re.search(rb'height="([\d.]+)mm"', files["carb-fit.svg"])[1])
    assert high == pytest.approx(sum(page.height for page in pages), abs=0.01)
