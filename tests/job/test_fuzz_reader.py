"""Jobs spoilt at random: whatever stands in the file, the answer is a job, or faults with their lines."""

from __future__ import annotations

import re
import warnings
from math import pi

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from gasketcut import JobError, parse_job
from gasketcut.errors import ShapeError
from gasketcut.job.model import Job
from gasketcut.parts.part import Part, outline_of
from gasketcut.profile.own import shipped
from gasketcut.shape.loop import Outline
from gasketcut.tolerances import ARC_FIT, CHORD
from tests.making import built

DEMO = shipped("demo").read_text(encoding="utf-8")

MORE = """
units = "mm"

[engine]
bore = 44.0
ports.exhaust = { width = 26.0, height = 11.0, corner = 3.0 }

[[part]]
name = "ring"
kind = "flat"
nick = true
outline = { round = 80.0 }
opening = { slot = [30.0, 12.0], turn = "20 deg", at = [1.5, -2.5] }
holes = { circle = 60.0, count = 6, diameter = "1/4 in", start = "15 deg" }

[[part]]
name = "five corners"
kind = "flat"
outline = { points = [[0, 0], [60, 5], [70, 40], [30, 30], [-10, 45]], corner = 4.0 }
holes = [{ at = [[10, 10], [50, 15]], size = "M5" }, { at = [30, 20], slot = [9.0, 4.5], turn = "70 deg" }]

[[part]]
name = "collar"
kind = "flat"
opening = { rectangle = [30.0, 18.0], corner = 5.0 }
outline = { grow = 6.0 }
port = { shape = { oval = [14.0, 9.0] }, at = [0.0, 14.0], cut = true }
set_back = 0.5

[[part]]
name = "pad"
kind = "blank"
of = "collar"

[[part]]
name = "four slots"
kind = "outlet"
outlet = { percent = 60.0, form = "slot", ratio = 2.5, count = 4, circle = 26.0 }
outline = { round = 60.0 }

[[part]]
name = "to file by"
kind = "outlet"
form = "template"
drill = 3.0
outlet = { round = 16.0 }
"""

TOKEN = re.compile(r'#[^\n]*|"[^"\n]*"|[A-Za-z_][\w-]*|[+-]?\d+(?:\.\d+)?|\s+|.')
NUMBER = re.compile(r"[+-]?\d+(?:\.\d+)?")

WILD_NUMBERS = (
    *("0", "-0.0", "-7", "1e-7", "1e-300", "1e308", "-1e308", "nan", "-nan", "inf", "-inf", "2000.0", "2000.1"),
    *("1" + "0" * 30, "1" + "0" * 400, "9" * 5000, "0xffff", "0x" + "f" * 400, "0b1", "1_000"),
)
WILD_VALUES = (
    *("true", "false", '""', '"x"', '" "', "[]", "{}", "[[1, 2], [3, 4]]", "[[]]", "{ round = 4 }", "1979-05-27"),
    *('"0,5 mm"', '"20 mil"', '"1 1/8 in"', '"3/0 in"', '"5 mm +- 0.1"', '"5 mm +- 9999999999999 m"', '"-3 deg"'),
    *('"nan deg"', f'"{"9" * 80} mm"', f'"{"9" * 400} deg"', '"""a\nb"""', "''", r'"\u001b[31m"', '"é"', "07:32:00"),
    *("]", "}", '"', "'''", "=", "\n", "#", "\x00", "\r", ".", "units", "[engine]", "[[part]]", "part = 1", "\ufeff"),
)


def tokens(text):
    found = TOKEN.findall(text)
    assert "".join(found) == text
    return found


@st.composite
def spoilt(draw, most):
    """The demo or the other job with up to `most` of its tokens deleted, doubled, swapped or replaced."""
    words = tokens(draw(st.sampled_from((DEMO, MORE))))
    solid = [place for place, word in enumerate(words) if not word.isspace() and word[0] != "#"]
    numbers = [place for place in solid if NUMBER.fullmatch(words[place])]
    for _ in range(draw(st.integers(1, most))):
        at = draw(st.sampled_from(solid))
        match draw(st.sampled_from(("delete", "double", "swap", "value", "number"))):
            case "delete":
                words[at] = ""
            case "double":
                words[at] *= 2
            case "swap":
                other = draw(st.sampled_from(solid))
                words[at], words[other] = words[other], words[at]
            case "value":
                words[at] = draw(st.sampled_from(WILD_VALUES))
            case "number":
                words[draw(st.sampled_from(numbers))] = draw(st.sampled_from(WILD_NUMBERS))
    return "".join(words)


def single(text):
    """The job once for each of its parts, with that part alone (a pad with what it is a copy of)."""
    first, *parts = re.split(r"(?m)^(?=\[\[part\]\])", text)
    copied = [part for part in parts if 'name = "collar"' in part]
    return [first + "".join(copied if "\nof = " in part else []) + part for part in parts]


@st.composite
def resized(draw, most):
    """A job of one part with up to `most` of its numbers scaled, between a ten-thousandth and ten thousand times."""
    words = tokens(draw(st.sampled_from((*single(DEMO), *single(MORE)))))
    first = words.index("part")
    numbers = [at for at, word in enumerate(words) if NUMBER.fullmatch(word) and at > first]
    for _ in range(draw(st.integers(1, most))):
        at = draw(st.sampled_from(numbers))
        factor = draw(st.sampled_from((0.5, 2.0)) | st.floats(0.8, 1.25) | st.floats(-4, 4).map(lambda e: 10**e))
        value = float(words[at]) * factor
        words[at] = f"{value:.6f}" if "." in words[at] else str(round(value))
    return "".join(words)


def read(text):
    """The job, or None if it was refused in the proper way."""
    try:
        job = parse_job(text)
    except JobError as error:
        assert error.faults
        for fault in error.faults:
            assert 1 <= fault.line <= text.count("\n") + 1, str(error)[:500]
            assert fault.message.strip()
            assert fault.source == text.split("\n")[fault.line - 1]
            assert 1 <= fault.column <= len(fault.source) + 1, str(error)[:500]
            first, shown, caret = fault.text("job").split("\n")
            assert re.match(r"job:\d+:\d+: ", first), first
            assert not caret.strip(" ^")
            at = caret.index("^")
            under = fault.source[fault.column - 1 : fault.column]
            assert fault.column > len(fault.source.rstrip()) or not under.isprintable() or shown[at] == under
        event("refused")
        return None
    assert isinstance(job, Job)
    event("read")
    return job


def build(text):
    job = read(text)
    if job is None:
        return
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            parts = built(job)
        except (JobError, ShapeError) as error:
            assert str(error).strip()
            event("cannot be drawn")
            return
        for part in parts:
            agrees(part, outline_of(part))
    event("drawn")


def agrees(part: Part, outline: Outline):
    """The outline is the part: as many contours, no vertex further off than the tolerance, the same area."""
    assert outline.deviation <= ARC_FIT, part.name
    assert len(outline.contours) == 1 + len(part.solid.interiors), part.name
    edges = part.solid.length
    assert abs(outline.area - part.solid.area) <= edges * (ARC_FIT + CHORD) + pi * CHORD, part.name


QUICK = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
LONG = settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@pytest.mark.parametrize("text", [DEMO, MORE], ids=["demo", "more"])
def test_the_jobs_are_whole_before_they_are_spoilt(text):
    parts = built(parse_job(text))

    assert len(parts) == text.count("[[part]]")
    for part in parts:
        agrees(part, outline_of(part))


@QUICK
@given(spoilt(most=3))
def test_a_spoilt_job_is_read_or_refused_with_lines(text):
    read(text)


@pytest.mark.slow
@LONG
@given(spoilt(most=12))
def test_a_badly_spoilt_job_is_read_or_refused_with_lines(text):
    read(text)


@QUICK
@given(resized(most=3))
def test_a_resized_job_is_drawn_within_the_tolerance_or_refused(text):
    build(text)


@pytest.mark.slow
@LONG
@given(resized(most=12))
def test_a_badly_resized_job_is_drawn_within_the_tolerance_or_refused(text):
    build(text)
