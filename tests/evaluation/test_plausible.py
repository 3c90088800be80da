"""A job as a whole: parts of a size that no small engine has, and paper that is too small."""

import pytest

from gasketcut import Options, evaluate, parse_job, read_job, render
from gasketcut.output.text.make import make_text
from gasketcut.rendering.job_files import unprinted

PLATE = """[[part]]
name = "plate"
kind = "flat"
opening = {{ round = {opening} }}
outline = {{ rectangle = [{x}, {y}] }}
{more}
"""


def job(x, y, units="mm", more="", first="", opening=None):
    part = PLATE.format(x=x, y=y, more=more, opening=opening or min(x, y) / 2)
    return parse_job(f'units = "{units}"\n{first}\n{part}')


def unusual(job):
    return [one.text for one in evaluate(job).findings if one.rule == "unusual"]


@pytest.mark.parametrize(
    ("x", "y", "units", "says"),
    [
        (55.46, 31.25, "in", 'in mm this is 1,409 x 794; did you mean units = "mm"?'),
        (3.0, 2.0, "mm", 'in mm this is 3 x 2; did you mean units = "in"?'),
        (1400.0, 60.0, "mm", "in mm this is 1,400 x 60; are its numbers and their units right?"),
    ],
)
def test_a_size_that_no_small_engine_has_is_asked_about_once(x, y, units, says):
    assert unusual(job(x, y, units)) == [says]
    assert unusual(job(x, y, units, first='sure = ["part.size"]')) == []


@pytest.mark.parametrize(("x", "y", "units"), [(399.0, 60.0, "mm"), (8.1, 8.1, "mm"), (3.0, 2.0, "in")])
def test_an_ordinary_size_is_left_alone(x, y, units):
    assert unusual(job(x, y, units)) == []


def test_mixed_magnitudes_are_one_warning():
    other = PLATE.format(x=210, y=150, opening=60, more="").replace('"plate"', '"other"')
    (said,) = unusual(job(9.0, 9.0, more=other))
    assert said.startswith("'other' is 210.0 mm (8.27 in) long and 'plate' 9.0 mm (0.35 in)")


def test_a_base_gasket_in_another_unit_than_the_bore():
    text = PLATE.format(x=50, y=50, opening=12, more="").replace('"flat"', '"base"')
    said = unusual(parse_job(f'units = "mm"\n{text}[engine]\nbore = 44\n'))
    assert said == [
        "its opening of 12.00 mm (0.472 in) does not go with a bore of 44.00 mm (1.732 in); was one of them typed in "
        "another unit?"
    ]


def test_holes_that_swallow_the_part():
    said = unusual(job(60, 40, opening=8, more="holes = { at = [[-20, 0], [20, 0]], diameter = 18.0 }"))
    assert said == ["a hole of 18.00 mm (0.709 in) swallows a part of 60.0 mm (2.36 in) x 40.0 mm (1.57 in); is its "
                    "diameter right?"]  # fmt: skip
    assert unusual(job(60, 40, opening=8, more="holes = { at = [[-20, 0], [20, 0]], diameter = 5.0 }")) == []


def test_the_demo_is_plausible():
    assert unusual(read_job("demo")) == []


def test_paper_that_cannot_hold_the_template_never_stops_the_dxf(tmp_path):
    evaluation = evaluate(job(55.46, 31.25, "in"))
    files = render(evaluation)
    (said,) = unprinted(evaluation)

    assert set(files) == {"plate.dxf", "plate.svg", "report.json"}
    assert (said.rule, said.weight, said.part) == ("paper", "warn", "plate")
    assert "has no full-size PDF: 1," in said.text
    assert b"has no full-size PDF" in files["report.json"]
    text = " ".join(make_text(evaluation, tmp_path, files, unprinted(evaluation)).split())
    assert "has no full-size PDF" in text
    assert 'did you mean units = "mm"? Do: check' in text
    assert "2 files (.dxf .svg for each part)" in text
    assert unprinted(evaluate(job(100, 60))) == ()
    assert "plate.pdf" in render(evaluate(job(100, 60)), Options())
