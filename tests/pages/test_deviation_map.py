"""The map of a cut part's deviations: parts of every size have their page."""

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.comparing.cut.cut_comparison import compare_cut
from gasketcut.evaluation.as_cut import CutContours, as_cut
from gasketcut.output.picture import as_svg
from gasketcut.pages.charts.deviation import deviation_map
from tests.comparing.cut_parts import JOB, cut_as

LARGE = JOB.replace("rectangle = [60.0, 64.0]", "rectangle = [300.0, 420.0]")


@pytest.mark.parametrize(("job", "off"), [(JOB, 0.02), (LARGE, 0.02), (LARGE, 12.0)], ids=["60", "420", "420 off"])
def test_a_part_of_any_size_and_any_fault_has_its_bar(job, off):
    evaluation = evaluate(parse_job(job))
    drawn = evaluation.parts["carb-gasket"].outline
    right = drawn.bounds[2]
    found = compare_cut(drawn, cut_as(drawn, notch=(right - off, -1.5, right + 1.0, 1.5)))
    checks = as_cut(evaluation, "carb-gasket", CutContours(found.contours[0], found.inner, found.not_drawn))
    made = deviation_map(found, checks, "off")
    assert made.width == pytest.approx(170.0)
    assert 0 < made.height <= 297.0
    assert b"mm off the drawing" in as_svg(made)
