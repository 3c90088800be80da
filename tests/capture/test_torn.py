"""Torn edges: asked about, never mended in silence; joined over where the user says so, against the whole part."""

import io
import json
from functools import cache

import numpy as np
import pytest
from click.testing import CliRunner

from gasketcut import read_job
from gasketcut.capture.image.picture_file import read_scan
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.torn.bridge import bridge_of
from gasketcut.capture.traced import trace
from gasketcut.cli import main
from gasketcut.errors import GasketError
from gasketcut.output.data.trace import trace_data, trace_text
from gasketcut.shape.loop import Circle
from tests.capture.torn_scans import BORE, CORNER, SIDE, bitten
from tests.scans import BORE as BORE_WIDTH
from tests.scans import CORNER as RADIUS
from tests.scans import HEIGHT, WIDTH, rounded, scan

pytest.importorskip("contourpy")

WHOLE = WIDTH * HEIGHT - (4 - np.pi) * RADIUS**2
BITES = {"side": SIDE, "corner": CORNER, "bore": BORE}
DPI = 150
# At 150 dpi a whole gasket's outline comes out 0.8 mm2 small of its 3770 (measured): 4 um all round.
AREA = 1.2


def png(picture):
    stream = io.BytesIO()
    picture.save(stream, "PNG", dpi=(DPI, DPI))
    return stream.getvalue()


@cache
def seen(*names):
    return read_scan(png(scan(dpi=DPI, shapes=((bitten(*(BITES[name] for name in names)), 0.0, 0.0),))))


@cache
def torn(*names, bridges=()):
    return trace(seen(*names), TraceSettings(bridges=tuple(bridge_of(one) for one in bridges)))


def bridges_offered(found):
    """The numbers that would bridge each ragged edge, whatever else is offered for it."""
    rows = [do for one in found.questions for do in one.do if do.startswith("--bridge ")]
    return [row.split()[1].removesuffix(":") for row in rows]


def test_a_whole_part_has_numbers_and_no_question():
    found = torn()

    assert [one.number for one in found.parts[0].stretches] == list(range(1, 9))
    assert found.questions == ()


@pytest.mark.parametrize(
    ("bite", "words"), [("side", "the straight edge goes on"), ("corner", "a corner of radius 9.0")]
)
def test_a_ragged_edge_is_asked_about_and_joined_where_that_is_wanted(bite, words):
    found = torn(bite)
    (asked,) = bridges_offered(found)
    plain, made = found.parts[0], torn(bite, bridges=(asked,))

    assert plain.bridges == ()
    assert len(plain.outline.contour.points) > 8
    assert plain.outline.contour.area < WHOLE - 15  # nothing was filled in silence
    assert made.questions == ()
    (part,) = made.parts
    assert part.bridges[0].text.startswith(f"bridged {asked}: {words}")
    assert len(part.outline.contour.points) == 8
    assert part.outline.contour.area == pytest.approx(WHOLE, abs=AREA)
    assert [one.radius for one in part.outline.contour.segments() if one.bulge] == pytest.approx([RADIUS] * 4, abs=0.03)
    assert part.outline.deviation < 0.06
    assert ("the hole of 5.49 mm" in part.bridges[0].text) == (bite == "corner")  # it went with the corner


def test_a_torn_bore_becomes_round_again():
    found = torn("bore")
    (question,) = found.questions
    (window,) = torn("bore", bridges=tuple(bridges_offered(found))).parts[0].windows

    assert "of W1" in question.text
    assert isinstance(window.edge.contour, Circle)
    assert 2 * window.edge.contour.radius == pytest.approx(BORE_WIDTH, abs=0.01)


def test_several_tears_are_bridged_together():
    found = torn("side", "corner", "bore")
    made = torn("side", "corner", "bore", bridges=tuple(bridges_offered(found)))
    (part,) = made.parts

    assert len(part.bridges) == 3
    assert part.outline.contour.area == pytest.approx(WHOLE, abs=AREA)


def test_straight_where_that_is_said():
    asked = f"{bridges_offered(torn('corner'))[0]}:straight"
    (part,) = torn("corner", bridges=(asked,)).parts
    first, last = (next(one for one in part.stretches if one.number == number) for number in
                   (part.bridges[0].asked.first, part.bridges[0].asked.last))  # fmt: skip
    far = np.hypot(*np.subtract(first.end, last.start))

    assert "straight across" in part.bridges[0].text
    assert min(abs(one.chord - far) for one in part.outline.contour.segments() if not one.bulge) < 0.05


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("3-4", "meet, so there is nothing between"),
        ("1-99", "no stretch 99; they go from 1 to 8"),
        ("2-2", "closes no"),
    ],
)
def test_ends_that_cannot_be_joined(asked, words):
    with pytest.raises(GasketError, match=words):
        torn(bridges=(asked,))


def slotted(u, v):
    """A plate with a tongue, a square notch and a round one: clean edges, whatever their form."""
    plate = rounded(u, v, 60.0, 40.0, 6.0)
    tongue = np.maximum(np.abs(u - 12) - 3, np.abs(v - 20) - 3)
    notch = np.maximum(np.abs(u + 12) - 2, np.abs(v - 20) - 3)
    return np.maximum(np.maximum(np.minimum(plate, tongue), -notch), 4.0 - np.hypot(u, v + 20.0))


@pytest.mark.parametrize("turn", [0.0, 20.0])
def test_what_was_cut_so_is_not_called_torn(turn):
    found = trace(png(scan(dpi=DPI, shapes=((slotted, 0.0, 0.0),), turn=turn)))

    assert bridges_offered(found) == []


def test_by_command_with_what_was_joined_in_text_data_and_job(tmp_path):
    (tmp_path / "old.png").write_bytes(png(scan(dpi=DPI, shapes=((bitten(SIDE), 0.0, 0.0),))))
    words = ["trace", str(tmp_path / "old.png"), "--out", str(tmp_path / "old.toml"), "--replace"]
    plain = trace_data(torn("side"))
    (asked,) = bridges_offered(torn("side"))
    said, bridged = trace_text(torn("side"), "x"), trace_text(torn("side", bridges=(asked,)), "x")
    data = json.loads(CliRunner().invoke(main, [*words, "--bridge", asked, "--json"], catch_exceptions=False).stdout)
    wrong = CliRunner().invoke(main, [*words, "--bridge", "twelve"])

    assert [one["number"] for one in plain["stretches"]] == list(range(1, len(plain["stretches"]) + 1))
    assert {one["shape"] for one in plain["stretches"]} == {"line", "arc"}
    assert "or meant to be so?" in said
    assert f"--bridge {asked}" in said
    assert f"bridged {asked}: the straight edge goes on" in bridged
    assert data["bridges"][0]["text"].startswith(f"bridged {asked}")
    assert data["stretches"] == plain["stretches"]
    assert f"# bridged {asked}" in (tmp_path / "old.toml").read_text(encoding="utf-8")
    assert len(read_job(str(tmp_path / "old.toml")).parts) == 1
    assert wrong.exit_code == 2
    assert "12-14:straight" in wrong.output
