"""Scans whose every true figure is known and whose scale is as unsure as stated: by them the ranges are calibrated.

Shapes  a plate with round corners, a bore, two to five holes and a window, all about the middle of the page.
Scale   the file's dpi are off by 0.2 % each way (one standard deviation); cards have any size within the limits of
        ISO/IEC 7810; caliper readings are off by 0.02 mm; the scanner is out of square by 0.5 mm on a metre. These
        numbers stand here by themselves, not as the program has them, so that a wrong one there shows.
Sharp   a third of the scans are sharpened, as scanners' programs do unasked.
Chance  errors of the scale are drawn from strata, so that few scans hold as many large ones as they should.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from math import cos, dist, hypot, radians, sin
from statistics import NormalDist

import numpy as np
from PIL import Image, ImageFilter
from scipy.special import erf

from gasketcut.capture.known_distance import KnownDistance
from gasketcut.capture.lettering import from_the_left, letter
from gasketcut.capture.settings import TraceSettings
from gasketcut.job.calipers import CaliperReading
from gasketcut.length import Measured
from gasketcut.shape.loop import Circle, Loop
from tests.capture.rendered import Disturbed, Thing, picture_of
from tests.scans import rounded, srgb

_DPI_OFF = 0.002
"""Of a length, along x and across each, one standard deviation (ACRS 1997, five desk-top scanners)."""

_OUT_OF_SQUARE = 0.0005
"""Radians, one standard deviation: 0.1 mm on 200 mm."""

_CALIPER_OFF = 0.02
"""mm, one standard deviation."""

_CARD_SIDES = ((85.47, 85.72), (53.92, 54.03))
"""Least and most of the long and the short side of a card [mm] (ISO/IEC 7810, ID-1)."""

_SHARPENED, _SHARPER = 1 / 3, (30, 100)
"""Share of the scans that are sharpened, and by how many per cent of what a blur takes away. Our choice."""

SOURCES = ("dpi", "card", "two readings", "one reading", "a job's readings")


@dataclass(frozen=True)
class Plate:
    """Width, height and corner; holes by place and width, the bore first; a window by place and size [mm]; its turn."""

    width: float
    height: float
    corner: float
    holes: tuple[tuple[float, float, float], ...]
    window: tuple[float, float, float, float]
    turn: float

    def signed(self, u, v):
        """Distance from the edge, negative in the material."""
        distance = rounded(u, v, self.width, self.height, self.corner)
        for x, y, width in self.holes:
            distance = np.maximum(distance, width / 2 - np.hypot(u - x, v - y))
        x, y, w, h = self.window
        return np.maximum(distance, -rounded(u - x, v - y, w, h, min(w, h) / 4))

    def contours(self):
        """The same as circles, lines and arcs."""
        x, y, w, h = self.window
        holes = [Circle((u, v), width / 2) for u, v, width in self.holes]
        return [box(self.width, self.height, self.corner), *holes, box(w, h, min(w, h) / 4).moved(x, y)]

    def turned(self, x, y):
        c, s = cos(radians(self.turn)), sin(radians(self.turn))
        return c * x - s * y, s * x + c * y

    def size(self, width=None, height=None, corner=None):
        """Of the box round a turned rectangle with round corners; round the plate itself if none is given."""
        w, h, r = (width, height, corner) if width else (self.width, self.height, self.corner)
        c, s = abs(cos(radians(self.turn))), abs(sin(radians(self.turn)))
        return (w - 2 * r) * c + (h - 2 * r) * s + 2 * r, (w - 2 * r) * s + (h - 2 * r) * c + 2 * r


def box(width, height, corner):
    """A rectangle with round corners about its middle."""
    x, y, r, quarter = width / 2, height / 2, corner, 2**0.5 - 1
    points = ((-x + r, -y), (x - r, -y), (x, -y + r), (x, y - r), (x - r, y), (-x + r, y), (-x, y - r), (-x, -y + r))
    return Loop(points, (0.0, quarter) * 4)


@dataclass(frozen=True)
class Simulated:
    """A file, what is said of it, and what is in it."""

    data: bytes
    settings: TraceSettings
    plate: Plate
    source: str
    dpi: int


def plate_of(chance: np.random.Generator) -> Plate:
    """One of random sizes."""
    width, height = chance.uniform(42, 58), chance.uniform(36, 50)
    corner = chance.uniform(4, 7)
    x, y = width / 2 - corner - 0.5, height / 2 - corner - 0.5
    corners = [(-x, -y), (x, -y), (x, y), (-x, y)]
    small = [(u, v, chance.uniform(3.2, 6.5)) for u, v in corners[: int(chance.integers(2, 5))]]
    bore = (-width / 6, 0.0, chance.uniform(0.3, 0.42) * min(width, height))
    window = (width / 4, 0.0, chance.uniform(6, 9), chance.uniform(8, 0.35 * height))
    turn = 0.0 if chance.random() < 0.2 else float(chance.uniform(-45, 45))
    return Plate(width, height, corner, (bore, *small), window, turn)


def strata(seed: int, count: int, columns: int) -> np.ndarray:
    """Numbers from 0 to 1, shape (count, columns): each column has one in each of `count` equal stretches."""
    chance = np.random.default_rng(seed)
    places = np.column_stack([chance.permutation(count) for _ in range(columns)])
    return (places + chance.random((count, columns))) / count


def simulated(
    number: int, shares: np.ndarray, source: str, *, rasterised: bool = False, dpis=(150, 150, 200, 300)
) -> Simulated:
    """The scan of that number, by formula, or by an SVG rasteriser (slow).

    shares : from 0 to 1, of the errors of both scales, of the square, and of both sides of a card or both readings
    """
    chance = np.random.default_rng(number)
    plate = plate_of(chance)
    dpi = int(chance.choice(dpis))
    normal = [NormalDist().inv_cdf(float(share)) for share in shares]
    stretch = (1 + _DPI_OFF * normal[0], 1 + _DPI_OFF * normal[1])
    skew = _OUT_OF_SQUARE * normal[2]
    dark = chance.random() < 0.7
    light, ground = (chance.uniform(0.05, 0.3), chance.uniform(0.6, 0.95))
    part, ground = (light, ground) if dark else (ground, light)
    page = (76.0, 76.0) if source != "card" else (170.0, 100.0)
    at = (38.0, 38.0) if source != "card" else (39.0, 50.0)
    card = None
    if source == "card":
        sizes = [low + float(share) * (high - low) for share, (low, high) in zip(shares[3:], _CARD_SIDES, strict=True)]
        lies = 90.0 if chance.random() < 0.6 else float(chance.uniform(0, 90))
        card = (122.0, 50.0, *sizes, lies, part if chance.random() < 0.5 else float(chance.uniform(0.05, 0.3)))
    sharp = None
    if chance.random() < _SHARPENED:
        sharp = float(chance.uniform(0.7, 1.5)), int(chance.integers(*_SHARPER))
    draw = rastered if rasterised else drawn
    picture = draw(plate, dpi, page, at, stretch, skew, part, ground, card, chance)
    if sharp is not None:
        picture = picture.filter(ImageFilter.UnsharpMask(radius=sharp[0], percent=sharp[1], threshold=0))
    stream = io.BytesIO()
    tags = {} if source == "card" else {"dpi": (dpi, dpi)}
    if chance.random() < 0.5:
        picture.save(stream, "JPEG", quality=85, **tags)
    else:
        picture.save(stream, "PNG", **tags)
    return Simulated(stream.getvalue(), _said(plate, source, normal[3:], number), plate, source, dpi)


def _said(plate: Plate, source: str, errors: list[float], number: int) -> TraceSettings:
    along, across = readings(plate, errors)
    if source == "two readings":
        return TraceSettings(along=along, across=across)
    if source == "one reading":
        return TraceSettings(along=along)
    if source == "a job's readings":
        return TraceSettings(calipers=between_holes(plate, np.random.default_rng(number + 500_000)))
    return TraceSettings()


def between_holes(plate: Plate, chance: np.random.Generator) -> tuple[CaliperReading, ...]:
    """Of every two centres, as a caliper reads them."""
    places = [plate.turned(x, y) for x, y, _ in plate.holes]
    order = from_the_left(places, max(plate.size()))
    return tuple(
        CaliperReading(
            first=letter(a),
            second=letter(b),
            reading=Measured(dist(places[order[a]], places[order[b]]) + float(chance.normal(0, _CALIPER_OFF)), 0.02),
        )
        for b in range(len(order))
        for a in range(b)
    )


def readings(plate: Plate, errors) -> tuple[KnownDistance, KnownDistance]:
    """What a caliper reads, by names that only the plate itself knows: the box of its outline."""
    width, height = plate.size()
    return (
        KnownDistance("left", "right", width + _CALIPER_OFF * errors[0]),
        KnownDistance("bottom", "top", height + _CALIPER_OFF * errors[1]),
    )


def drawn(plate, dpi, page, at, stretch, skew, part, ground, card, chance) -> Image.Image:
    """As an office scanner would see it: blurred, lit unevenly, grainy, dusty."""
    pixel = 25.4 / dpi
    columns, rows = int(page[0] / pixel), int(page[1] / pixel)
    shift = chance.uniform(-0.5, 0.5, 2) * pixel
    across, up = np.meshgrid((np.arange(columns) + 0.5) * pixel, (rows - np.arange(rows) - 0.5) * pixel)
    # What the scanner puts at a place of the picture lay there before it was stretched and put out of square.
    y = (up - at[1] - shift[1]) / stretch[1]
    x = (across - at[0] - shift[0]) / stretch[0] - skew * y
    c, s = cos(radians(plate.turn)), sin(radians(plate.turn))
    # Optics, and the pixel's own width as a Gaussian of the same variance.
    blur = hypot(chance.uniform(0.03, 0.07), pixel / 12**0.5) * 2**0.5
    share = 0.5 * (1 - erf(plate.signed(c * x + s * y, -s * x + c * y) / blur))
    shade = ground + (part - ground) * share
    if card is not None:
        px, py, long, short, lies, tone = card
        p, q = (x - (px - at[0])), (y - (py - at[1]))
        c, s = cos(radians(lies)), sin(radians(lies))
        on = 0.5 * (1 - erf(rounded(c * p + s * q, -s * p + c * q, long, short, 3.18) / blur))
        shade = shade * (1 - on) + tone * on
    for _ in range(int(chance.integers(0, 30))):
        px, py, size = chance.uniform(1, page[0] - 1), chance.uniform(1, page[1] - 1), chance.uniform(0.04, 0.15)
        spot = 0.5 * (1 - erf((np.hypot(across - px, up - py) - size) / blur))
        shade = shade * (1 - 0.6 * spot) if ground > 0.4 else shade + 0.4 * spot
    slope = chance.uniform(-0.08, 0.08, 2)
    shade = shade * (1 + slope[0] * (across / page[0] - 0.5) + slope[1] * (up / page[1] - 0.5))
    grey = srgb(np.clip(shade, 0, 1)) * 255 + chance.normal(0, chance.uniform(0.5, 4), shade.shape)
    return Image.fromarray(np.clip(np.round(grey), 0, 255).astype(np.uint8))


def rastered(plate, dpi, page, at, stretch, skew, part, ground, card, chance) -> Image.Image:
    """The same by an SVG rasteriser, which knows nothing of distances or of our sums."""
    things = [Thing(plate.contours(), part, at, plate.turn)]
    if card is not None:
        x, y, long, short, lies, tone = card
        things.append(Thing([box(long, short, 3.18)], tone, (x, y), lies))
    slope = chance.uniform(-0.08, 0.08, 2)
    how = Disturbed(
        blur=float(chance.uniform(0.03, 0.07)),
        grain=float(chance.uniform(0.5, 4)),
        skew=skew,
        stretch=stretch,
        shade=lambda across, up: 1 + slope[0] * (across - 0.5) + slope[1] * (up - 0.5),
        dust=int(chance.integers(0, 30)),
        seed=int(chance.integers(0, 2**31)),
    )
    return picture_of(things, page, dpi, ground, how)


def truths(plate: Plate, part) -> list[tuple[str, str, float]]:
    """Of every figure of a traced part: its kind, whose it is, and the true value; holes are known by their place."""
    found = []
    true = {}
    for hole in part.holes:
        x, y = hole.circle.center
        near = min(plate.holes, key=lambda one: hypot(plate.turned(*one[:2])[0] - x, plate.turned(*one[:2])[1] - y))
        true[hole.name] = (*plate.turned(*near[:2]), near[2])
        found.append(("diameter", hole.name, near[2]))
        found += [("place", f"{hole.name}{axis}", true[hole.name][n]) for n, axis in enumerate("xy")]
    names = [hole.name for hole in part.holes]
    found += [
        ("distance", f"{a}-{b}", hypot(true[a][0] - true[b][0], true[a][1] - true[b][1]))
        for n, a in enumerate(names)
        for b in names[n + 1 :]
    ]
    found += [("outline", axis, value) for axis, value in zip("xy", plate.size(), strict=True)]
    w, h = plate.window[2:]
    found += [("window", axis, value) for axis, value in zip("xy", plate.size(w, h, min(w, h) / 4), strict=True)]
    x, y = plate.turned(*plate.window[:2])
    found += [("window place", "x", x), ("window place", "y", y)]
    return found
