"""Photographs of a part on the target sheet: a pinhole camera with a bent lens, from the side, in bad light."""

import json
from math import cos, hypot, radians, sin

import numpy as np
import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image
from scipy.ndimage import gaussian_filter
from scipy.special import erf

from gasketcut.capture.image.picture_file import PictureError, Scan
from gasketcut.capture.scale.target import BARS, PITCH, SIZE, dots
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import trace
from gasketcut.cli import main
from tests.capture.test_trace import errors
from tests.scans import BORE, gasket, srgb

pytest.importorskip("contourpy")
MIDDLE = (90.0, 126.0)


def sheet(x, y, stretch=(1.0, 1.0), part=True):
    """Signed distance to the nearest dark thing on the sheet [mm], negative inside; outside the paper it is dark."""
    x, y = x / stretch[0], y / stretch[1]
    column, row = np.round(x / PITCH), np.round(y / PITCH)
    known = np.zeros((40, 40))
    for dot in dots():
        known[round(dot.at[0] / PITCH), round(dot.at[1] / PITCH)] = dot.width
    inside = (column >= 0) & (column < 16) & (row >= 0) & (row < 22)
    width = np.where(inside, known[np.clip(column, 0, 39).astype(int), np.clip(row, 0, 39).astype(int)], 0.0)
    distance = np.where(width > 0, np.hypot(x - column * PITCH, y - row * PITCH) - width / 2, 3.0)
    for (x0, y0), (x1, y1) in BARS:
        along = np.maximum(np.maximum(x0 - x, x - x1), np.maximum(y0 - y, y - y1))
        distance = np.minimum(distance, along - 0.1)
    x, y = x * stretch[0], y * stretch[1]
    if part:
        distance = np.minimum(distance, gasket(x - MIDDLE[0], y - MIDDLE[1]))
    off = np.maximum(np.abs(x - SIZE[0] / 2) - SIZE[0] / 2 - 12, np.abs(y - SIZE[1] / 2) - SIZE[1] / 2 - 12)
    return np.minimum(distance, -off)


def bare(x, y):
    """The part alone on A4 paper, on a dark table."""
    distance = gasket(x - MIDDLE[0], y - MIDDLE[1])
    off = np.maximum(np.abs(x - SIZE[0] / 2) - 105.0, np.abs(y - SIZE[1] / 2) - 148.5)
    return np.minimum(distance, -off)


def photo(tilt=0.0, k1=0.0, k2=0.0, turn=0.0, size=(1050, 1400), distance=300.0, noise=2.0, light=None, mirror=False,
          stretch=(1.0, 1.0), part=True, on=None, off=(0.0, 0.0), grey=None):  # fmt: skip
    """What a camera sees from `distance` mm, tilted about the x axis; its lens bends by k1 and k2, `off` the middle.

    The bend is of the usual direction, from straight to bent rays, so it is no exact inverse of the program's own.
    """
    columns, rows = size
    focus = 0.75 * max(size)
    right, down = np.arange(columns) - (columns - 1) / 2 - off[0], np.arange(rows) - (rows - 1) / 2 - off[1]
    u, v = np.meshgrid(right / focus, down / focus)
    bent = u**2 + v**2
    scale = np.ones_like(bent)
    for _ in range(8):  # from bent to straight by fixed point
        square = bent / scale**2
        scale = 1 + k1 * square + k2 * square**2
    a, b = u / scale, -v / scale
    # Rays from the camera above the sheet's middle, looking at it, tilted.
    c, s = cos(radians(tilt)), sin(radians(tilt))
    ray = np.stack([a, b * c - s, -b * s - c])
    eye = np.array([0.0, distance * s, distance * c])
    reach = -eye[2] / ray[2]
    x, y = eye[0] + reach * ray[0], eye[1] + reach * ray[1]
    c, s = cos(radians(turn)), sin(radians(turn))
    x, y = c * x - s * y, s * x + c * y
    if mirror:
        x = -x
    x, y = x + SIZE[0] / 2, y + SIZE[1] / 2
    gap = on(x, y) if on is not None else sheet(x, y, stretch, part and grey is None)
    pixel = reach / focus  # mm a pixel, near enough for the blur
    inside = 0.5 * (1 - erf(gap / (0.9 * pixel * 2**0.5)))
    shade = 0.85 - 0.75 * inside
    if grey is not None:  # a part that is less dark than the dots
        shade -= (0.85 - grey) * 0.5 * (1 - erf(gasket(x - MIDDLE[0], y - MIDDLE[1]) / (0.9 * pixel * 2**0.5)))
    if light is not None:
        shade = shade * light(u, v)
    grey = srgb(np.clip(shade, 0, 1)) * 255 + np.random.default_rng(5).normal(0, noise, shade.shape)
    encoded = np.clip(np.round(grey), 0, 255) / 255
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    return Scan(linear.astype(np.float32), None, ())


SEEN = {
    "straight": {},
    "tilted": {"tilt": 10.0},
    "steep": {"tilt": 20.0, "distance": 340.0},
    "bent lens": {"k1": 0.05},
    "very bent lens": {"k1": 0.12, "k2": -0.05, "tilt": 5.0},
    "turned": {"turn": 90.0, "size": (1400, 1050), "distance": 330.0},
    "upside down": {"turn": 180.0},
    "lens off the middle": {"k1": 0.08, "off": (60.0, -40.0)},
    "a grey part": {"grey": 0.4},
    "uneven light": {"light": lambda u, v: 1 - 0.5 * (u**2 + v**2) - 0.25 * u},
}


@pytest.mark.slow
@pytest.mark.parametrize("name", SEEN)
def test_a_photograph_on_the_target(name):
    # A pixel here is some 0.3 mm, three times a telephone's.
    found = trace(photo(**SEEN[name]), TraceSettings(target=True, bars=(100.0, 100.0)))
    (part,) = found.parts
    bore, holes, places, radii = errors(part, 0.0)

    assert found.scale.source == "target"
    assert found.scale.off < 0.02
    assert bore < 0.02
    assert places < 0.02
    assert holes < 0.02
    assert radii < 0.1
    assert any("tilted by more" in warning for warning in found.warnings) == (name in ("tilted", "steep"))
    across = np.ptp(np.array(part.outline.contour.flattened(0.001)), axis=0)
    assert across.tolist() == pytest.approx([60.0, 64.0], abs=0.03)


@pytest.mark.slow
def test_a_telephone_that_sharpens_is_corrected():
    """At 0.13 mm a pixel; uncorrected the bore is off by 0.027 mm, the small holes by 0.036."""
    plain = photo(size=(2250, 3000))
    grey = srgb(plain.light) * 255
    made = np.clip(np.round(grey + 0.8 * (grey - gaussian_filter(grey, 1.5))), 0, 255) / 255
    linear = np.where(made <= 0.04045, made / 12.92, ((made + 0.055) / 1.055) ** 2.4)
    found = trace(Scan(linear.astype(np.float32), None, ()), TraceSettings(target=True, bars=(100.0, 100.0)))
    bore, holes, places, _ = errors(found.parts[0], 0.0)

    assert any("has been sharpened" in warning for warning in found.warnings)
    assert max(bore, holes, places) < 0.02


@pytest.mark.slow
def test_the_bars_as_measured_put_a_printers_error_right():
    # Printed 1 % too long across and 0.5 % too short along: the part is measured against it.
    picture = photo(stretch=(0.995, 1.01))
    wrong = trace(picture, TraceSettings(target=True))
    right = trace(picture, TraceSettings(target=True, bars=(99.5, 101.0)))

    assert any("measured the bars" in warning for warning in wrong.warnings)
    largest = [max(2 * hole.circle.radius for hole in found.parts[0].holes) for found in (wrong, right)]
    assert abs(largest[0] - BORE) > 0.05
    assert largest[1] == pytest.approx(BORE, abs=0.03)
    assert right.scale.sigma < wrong.scale.sigma


@pytest.mark.parametrize(
    ("how", "what"),
    [
        ({"mirror": True}, "mirrored"),
        ({"part": False}, "nothing lies in the middle"),
        ({"distance": 120.0}, "dots of the target|corners|one line"),
    ],
)
def test_what_cannot_be_measured_is_said(how, what):
    with pytest.raises(PictureError, match=what):
        trace(photo(**how), TraceSettings(target=True, bars=(100.0, 100.0)))


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_target_prints_its_dots_and_bars_where_they_are_said_to_be(tmp_path, paper):
    said = CliRunner().invoke(
        main, ["target", "--paper", paper, "--out", str(tmp_path / "t.pdf")], catch_exceptions=False
    )
    page = pypdfium2.PdfDocument(tmp_path / "t.pdf")[0]
    ink = page.render(scale=10 / 72 * 25.4, grayscale=True).to_numpy()
    ink = ink.reshape(ink.shape[:2]) < 128  # ten pixels a mm
    left, low = (page.get_width() / 72 * 25.4 - SIZE[0]) / 2, (page.get_height() / 72 * 25.4 - SIZE[1]) / 2

    assert said.exit_code == 0
    assert left > 10
    assert low > 10  # inside any printer's margin
    for dot in dots():
        x, y = (left + dot.at[0]) * 10, ink.shape[0] - (low + dot.at[1]) * 10
        row, column = int(y) - 58, int(x) - 58
        rows, columns = np.nonzero(ink[row : row + 117, column : column + 117])
        assert columns.mean() + column + 0.5 == pytest.approx(x, abs=1.0)
        assert rows.mean() + row + 0.5 == pytest.approx(y, abs=1.0)
        assert len(rows) == pytest.approx(np.pi / 4 * (dot.width * 10) ** 2, rel=0.03)


def test_by_command(tmp_path):
    picture = photo(tilt=3.0, k1=0.03)
    Image.fromarray((srgb(picture.light) * 255).round().astype(np.uint8)).save(tmp_path / "p.jpg", quality=92)
    words = ["trace", str(tmp_path / "p.jpg"), "--target", "--bars", "100.0x100.0", "--out", str(tmp_path / "p.toml"),
             "--overlay", str(tmp_path / "p.svg"), "--json"]  # fmt: skip
    said = CliRunner().invoke(main, words, catch_exceptions=False)
    data = json.loads(said.stdout)

    assert said.exit_code == 0
    assert data["scale"]["source"] == "target"
    assert max(hole["diameter_mm"]["value"] for hole in data["holes"]) == pytest.approx(BORE, abs=0.05)
    places = [[one["value"] for one in hole["at"]] for hole in data["holes"]]
    assert max(hypot(*place) for place in places) < 40
    assert CliRunner().invoke(main, [*words[:4], "fifty", *words[5:]]).exit_code == 2


@pytest.mark.slow
@pytest.mark.parametrize("how", [{}, {"k1": 0.05}, {"k1": 0.05, "tilt": 8.0}, {"turn": 90.0, "size": (1400, 1050)}])
def test_a_bare_sheet_with_the_straightness_of_its_edges(how):
    how = {"distance": 360.0, **how}
    found = trace(photo(on=bare, **how), TraceSettings(sheet=(210.0, 297.0)))
    turn = -90.0 if "turn" in how else 0.0
    (part,) = found.parts
    widths = sorted(2 * hole.circle.radius for hole in part.holes)

    assert found.scale.source == "sheet"
    assert widths == pytest.approx([4.0, 5.5, 5.5, 5.5, BORE], rel=2e-3)
    assert min(errors(part, turn)[2], errors(part, turn + 180)[2]) < 0.1
    assert found.scale.sigma == 0.007  # paper is no better than that, whatever the sums say
    assert any("cut to a millimetre" in warning for warning in found.warnings)


def test_no_sheet_no_scale():
    with pytest.raises(PictureError, match="no whole sheet of paper on a darker table"):
        trace(photo(on=lambda x, y: gasket(x - 90, y - 126)), TraceSettings(sheet=(210.0, 297.0)))
