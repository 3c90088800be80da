"""A piece that is missing of a part that turns or mirrors onto itself: asked about, and filled in against the whole."""

import io
from functools import cache
from math import cos, radians, sin

import pytest

from gasketcut.capture.image.picture_file import read_scan
from gasketcut.capture.proposals.choice import accepting
from gasketcut.capture.traced import trace
from tests.capture.torn_scans import CORNER, EAR, LOBE, QUARTER, WINDOW, bitten, crank, lobes, one_ear, plate, square
from tests.scans import gasket, scan

pytest.importorskip("contourpy")

DPI, TURN = 150, 3.0
TORN = {  # the whole, what is torn off, the hole in that, and by how much of a turn it is its own image
    "mirror": (gasket, CORNER, (23.5, 25.5)),
    "half": (crank, EAR, (19.0, 19.0)),
    "third": (lobes, LOBE, (0.0, 24.0)),
    "quarter": (square, QUARTER, (21.0, 21.0)),
}


@cache
def seen(shape, *bites):
    stream = io.BytesIO()
    torn = bitten(*([*map(tuple, bite)] for bite in bites), shape=shape)
    scan(dpi=DPI, turn=TURN, shapes=((torn, 0.0, 0.0),)).save(stream, "PNG", dpi=(DPI, DPI))
    return read_scan(stream.getvalue())


@cache
def found(name, *kinds):
    shape, bite, _ = TORN[name]
    return trace(seen(shape, tuple(bite)), accept=accepting(kinds))


SLOW = pytest.mark.slow
EACH = [
    pytest.param("mirror", marks=SLOW),
    pytest.param("half", marks=SLOW),
    "third",
    pytest.param("quarter", marks=SLOW),
]


@pytest.mark.parametrize("name", EACH)
def test_it_is_asked_about_once_with_what_can_be_done(name):
    (question,) = found(name).questions

    assert (question.kind, question.number) == ("missing", 1)
    assert "torn off, or meant to be so?" in question.text
    assert question.do[0].startswith("--accept missing-piece: ")
    assert [one.accepted for one in found(name).proposals if one.kind == "missing-piece"] == [False]


@pytest.mark.parametrize("name", EACH)
def test_filled_in_it_is_the_whole_part(name):
    shape, _, hole = TORN[name]
    (plain,), (part,) = found(name).parts, found(name, "missing-piece").parts
    (whole,) = trace(seen(shape)).parts
    bore = max(part.holes, key=lambda one: one.circle.radius).circle.center
    made = part.holes[-1]
    (x, y), c, s = (
        (made.circle.center[0] - bore[0], made.circle.center[1] - bore[1]),
        cos(radians(TURN)),
        sin(radians(TURN)),
    )

    assert plain.outline.contour.area < whole.outline.contour.area - 30  # nothing was filled in silence
    assert part.outline.contour.area == pytest.approx(whole.outline.contour.area, abs=0.6)
    assert len(part.holes) == len(whole.holes) == len(plain.holes) + 1
    assert [one.name for one in part.holes[:-1]] == [one.name for one in plain.holes]  # nobody's name changed
    assert (c * x + s * y, -s * x + c * y) == pytest.approx(hole, abs=0.02)
    assert found(name, "missing-piece").questions == ()


@SLOW
def test_a_window_that_was_torn_open_comes_back_too():
    torn = seen(plate, tuple(WINDOW))
    (plain,), (whole,) = trace(torn).parts, trace(seen(plate)).parts
    filled = trace(torn, accept=accepting(("missing-piece",)))
    (part,) = filled.parts

    assert [one.name for one in plain.windows] == ["W1"]
    assert [one.name for one in part.windows] == ["W1", "W2"]
    assert len(part.holes) == len(whole.holes) == 1
    assert len(part.rings) == 3
    for made, meant in zip(part.windows, whole.windows, strict=True):
        (x, y), (u, v) = made.middle, meant.middle
        dx, dy = (
            part.holes[0].circle.center[0] - whole.holes[0].circle.center[0],
            part.holes[0].circle.center[1] - whole.holes[0].circle.center[1],
        )
        assert (x - dx, y - dy) == pytest.approx((u, v), abs=0.05)
        assert made.edge.contour.area == pytest.approx(meant.edge.contour.area, abs=0.3)
    (said,) = [one.text for one in filled.proposals if one.kind == "missing-piece"]
    assert said.endswith(", with window W2")


@pytest.mark.parametrize("shape", [one_ear, *(pytest.param(one, marks=SLOW) for one in (gasket, crank, lobes, square))])
def test_a_whole_part_lacks_nothing(shape):
    assert trace(seen(shape)).questions == ()
