"""An opening of the sheet whose port in the metal nobody measured: nothing is proven of it, and nothing overhangs."""

import json

import numpy as np
import pytest

from gasketcut import evaluate, parse_job
from gasketcut.capture.edges.fitted_edge import FittedEdge
from gasketcut.capture.job_text import job_text
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart, TracedWindow
from gasketcut.capture.uncertainty.scale_spread import each
from gasketcut.capture.uncertainty.uncertainty import Uncertainty
from gasketcut.shape.loop import Loop
from gasketcut.verdict import Verdict

CARB = """
units = "mm"
[[part]]
name = "carb"
kind = "{kind}"
outline = {{ rectangle = [60, 40] }}
studs = {{ at = [[-22, 0], [22, 0]], size = "M5" }}
absent = ["impulse", "oil", "water", "drain", "dowel"]
[[part.port]]
name = "intake"
"""
CUT = "cut = { rectangle = [20, 16], corner = 3 }\n"
METAL = "shape = { rectangle = [18.5, 14.5], corner = 3 }\n"


def result(more, kind="intake"):
    return evaluate(parse_job(CARB.format(kind=kind) + more)).parts["carb"]


@pytest.mark.parametrize("kind", ["intake", "flat"])
def test_an_opening_without_its_metal_is_not_proven_and_its_port_is_named(kind):
    found = result(CUT, kind)
    assert found.verdict is Verdict.NOT_PROVEN
    assert found.unsaid == ("metal port 'intake' not measured",)
    assert not any("overhang" in one.rule or "hangs" in one.text for one in found.findings)
    assert found.polygon.area == pytest.approx(result(CUT + METAL, kind).polygon.area)


def test_the_command_says_so_in_one_line(command):
    done = command("fit", "job.toml", text=CARB.format(kind="intake") + CUT)
    assert done.returncode == 1
    assert "NOT PROVEN: not everything was said of carb (metal port 'intake' not measured)" in done.stdout
    data = json.loads(command("fit", "job.toml", "--json").stdout)
    assert data["parts"][0]["unsaid"] == ["metal port 'intake' not measured"]


def test_with_the_metal_measured_the_opening_is_held_against_it():
    found = result(CUT + METAL)
    assert found.verdict is Verdict.FITS
    assert [one.window.name for one in found.clearances] == ["intake"]


def test_a_spacer_of_it_is_not_proven_either_and_a_blank_closes_it():
    more = CUT + "".join(f'[[part]]\nname = "{kind}"\nkind = "{kind}"\nof = "carb"\n' for kind in ("spacer", "blank"))
    parts = evaluate(parse_job(CARB.format(kind="intake") + more)).parts
    assert parts["spacer"].unsaid == ("metal port 'intake' not measured",)
    assert parts["blank"].unsaid == ()


def test_a_port_without_shape_and_cut_says_what_to_write():
    job = parse_job(CARB.format(kind="intake"))
    assert "the window in the metal" in " ".join(str(one.message) for one in job.lacking("part"))


def test_a_traced_window_is_an_opening_of_the_sheet():
    def edge(x, y):
        return FittedEdge(Loop(((-x, -y), (x, -y), (x, y), (-x, y)), (0.0,) * 4), 0.01, 0.0)

    sure = Uncertainty(each(0.001), 0.005, 0.0, 0.1)
    window = TracedWindow("W1", edge(10.0, 8.0))
    part = TracedPart(edge(30.0, 20.0), (), (window,), np.zeros((0, 2)), (), (0.0, 0.0), sure)
    traced = Traced(Scale("resolution", 0.1, 0.1, each(0.001)), (part,), (), (), 0)
    text = job_text(traced, "old gasket", [PartSaid()])
    (spec,) = parse_job(text).parts
    assert "shape = { rectangle" not in text
    assert (spec.windows, [one.name for one in spec.unmeasured]) == ((), ["W1"])
    found = evaluate(parse_job(text)).parts["traced"]
    assert found.unsaid == ("metal port 'W1' not measured",)
    assert found.polygon.area == pytest.approx(60 * 40 - 20 * 16, abs=1e-3)
