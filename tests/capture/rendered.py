"""Scans with a known truth: exact outlines drawn by an SVG rasteriser four times as fine (1200 dpi for 300), blurred,
averaged down, disturbed.

Coverage is drawn white on black, one thing after another, and mixed in linear light by us: so no encoding of the
rasteriser's enters. Source of the disturbances' sizes: our choice, about as an office scanner shows them.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np
import resvg_py
from PIL import Image
from scipy.ndimage import gaussian_filter

from gasketcut.shape.loop import Circle, Contour, Loop
from tests.scans import srgb

TIMES = 4
"""As many dots to the side are drawn as the picture has."""

CARD_SIZE, CARD_CORNER = (85.60, 53.98), 3.18  # mm; ISO/IEC 7810 ID-1


@dataclass(frozen=True)
class Thing:
    """Contours [mm, y up] filled by the even-odd rule with a linear light from 0 to 1, turned [deg] about their own
    origin and put at a place of the page, from its lower left corner."""

    contours: Sequence[Contour]
    light: float
    at: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0

    def placed(self, x, y):
        """Where a point of its own lies on the page."""
        c, s = cos(radians(self.turn)), sin(radians(self.turn))
        return self.at[0] + c * x - s * y, self.at[1] + s * x + c * y


@dataclass(frozen=True)
class Disturbed:
    """What a scanner adds. `blur` a Gaussian's sigma in mm; `grain` and `dust` as counted; `jpeg` a quality or None;
    `skew` x by so much of y; `stretch` of x alone; `shade` a factor by the place, each from 0 to 1."""

    blur: float = 0.04
    grain: float = 2.0
    jpeg: int | None = None
    skew: float = 0.0
    stretch: tuple[float, float] = (1.0, 1.0)
    shade: Callable[[np.ndarray, np.ndarray], np.ndarray] | None = None
    dust: int = 0
    sharpen: tuple[float, float] | None = None
    seed: int = 1


def card(at: tuple[float, float], light: float, turn: float = 90.0) -> Thing:
    """A blank bank card about its middle, long side along x before it is turned."""
    (w, h), r = CARD_SIZE, CARD_CORNER
    x, y, quarter = w / 2, h / 2, 2**0.5 - 1
    points = ((-x + r, -y), (x - r, -y), (x, -y + r), (x, y - r), (x - r, y), (-x + r, y), (-x, y - r), (-x, -y + r))
    return Thing((Loop(points, (0.0, quarter) * 4),), light, at, turn)


def light_of(things: Sequence[Thing], page: tuple[float, float], dpi: int, ground: float, how: Disturbed) -> np.ndarray:
    """Linear light as the scanner's sensor sees it, before grain; shape (rows, columns), row 0 at the top."""
    unit = dpi * TIMES / 25.4  # dots a mm
    columns, rows = (int(size / 25.4 * dpi) * TIMES for size in page)
    light = np.full((rows, columns), ground, dtype=np.float32)
    for thing in things:
        window, covered = _coverage(thing, columns, rows, unit, how)
        light[window] += covered * (np.float32(thing.light) - light[window])
    chance = np.random.default_rng(how.seed)
    for _ in range(how.dust):
        x, y, size = chance.uniform(1, page[0] - 1), chance.uniform(1, page[1] - 1), chance.uniform(0.04, 0.2)
        column, row, reach = (int(value * unit) for value in (x, y, size))
        spot = light[max(row - reach, 0) : row + reach + 1, max(column - reach, 0) : column + reach + 1]
        spot[:] = spot * 0.4 if ground > 0.4 else spot * 0.4 + 0.5
    light = gaussian_filter(light, how.blur * unit)
    return light.reshape(rows // TIMES, TIMES, columns // TIMES, TIMES).mean(axis=(1, 3))


def picture_of(
    things: Sequence[Thing],
    page: tuple[float, float] = (100.0, 120.0),
    dpi: int = 300,
    ground: float = 0.9,
    how: Disturbed = Disturbed(),
) -> Image.Image:
    """A grey picture, 8 bit, encoded as sRGB; things lie over each other in their order."""
    light = light_of(things, page, dpi, ground, how)
    rows, columns = light.shape
    if how.shade is not None:
        across, up = np.meshgrid((np.arange(columns) + 0.5) / columns, 1 - (np.arange(rows) + 0.5) / rows)
        light = light * how.shade(across, up)
    grey = srgb(np.clip(light, 0, 1)) * 255
    if how.sharpen is not None:
        amount, radius = how.sharpen
        grey = grey + amount * (grey - gaussian_filter(grey, radius))
    grey = grey + np.random.default_rng(how.seed + 1).normal(0, how.grain, grey.shape)
    picture = Image.fromarray(np.clip(np.round(grey), 0, 255).astype(np.uint8))
    if how.jpeg is None:
        return picture
    stream = io.BytesIO()
    picture.save(stream, "JPEG", quality=how.jpeg)
    return Image.open(io.BytesIO(stream.getvalue()))


def png_of(picture: Image.Image, dpi: int | None) -> bytes:
    """As a file, with its dpi or without."""
    stream = io.BytesIO()
    picture.save(stream, "PNG", **({} if dpi is None else {"dpi": (dpi, dpi)}))
    return stream.getvalue()


def _coverage(thing, columns, rows, unit, how):
    """The window of the fine picture that it lies in, and how much of each pixel there it covers, from 0 to 1."""
    c, s = cos(radians(thing.turn)), sin(radians(thing.turn))
    sx, sy = how.stretch
    # The page's mm, y up, to fine pixels, y down; skewed and stretched as the scanner does it.
    page = np.array([[unit * sx, 0, 0], [0, -unit * sy, rows], [0, 0, 1]])
    own = np.array([[c, -s, thing.at[0]], [s, c, thing.at[1]], [0, 0, 1]])
    matrix = page @ np.array([[1, how.skew, 0], [0, 1, 0], [0, 0, 1]]) @ own
    places = np.vstack([one.flattened(0.05) for one in thing.contours])
    x, y = matrix[:2] @ np.column_stack([places, np.ones(len(places))]).T
    reach = 4 + 0.05 * unit  # arcs bow out of their chords
    left, top = max(int(x.min() - reach), 0), max(int(y.min() - reach), 0)
    right, bottom = min(int(x.max() + reach), columns), min(int(y.max() + reach), rows)
    if right <= left or bottom <= top:
        return (slice(0, 0), slice(0, 0)), np.zeros((0, 0), dtype=np.float32)
    matrix[:2, 2] -= left, top
    place = " ".join(str(number) for number in matrix[:2].T.ravel())
    words = " ".join(_words(contour) for contour in thing.contours)
    drawn = resvg_py.svg_to_bytes(
        svg_string=f'<svg xmlns="http://www.w3.org/2000/svg" width="{right - left}" height="{bottom - top}">'
        f'<rect width="{right - left}" height="{bottom - top}"/><path transform="matrix({place})" d="{words}" '
        f'fill="#fff" fill-rule="evenodd"/></svg>'
    )
    with Image.open(io.BytesIO(bytes(drawn))) as picture:
        covered = np.asarray(picture.convert("L"), dtype=np.float32) / 255
    return (slice(top, bottom), slice(left, right)), covered


def _words(contour: Contour) -> str:
    if isinstance(contour, Circle):
        (x, y), r = contour.center, contour.radius
        return f"M{x - r} {y} A{r} {r} 0 1 1 {x + r} {y} A{r} {r} 0 1 1 {x - r} {y} Z"
    x, y = contour.points[0]
    words = [f"M{x} {y}"]
    for segment in contour.segments():
        x, y = segment.end
        arc = f"A{segment.radius} {segment.radius} 0 0 {int(segment.bulge > 0)} " if segment.bulge else "L"
        words.append(f"{arc}{x} {y}")
    return " ".join([*words, "Z"])
