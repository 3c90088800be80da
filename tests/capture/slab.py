"""A photograph of a thick part on the target sheet: a pinhole over a real slab, with walls that hide and are seen.

Each ray meets the top face, or a wall, or the sheet. What of the slab a pixel sees is the union of its sections at nine
heights; each edge is blurred by a Gaussian of its distance, as in `tests/scans.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np
from scipy.spatial.transform import Rotation
from scipy.special import erf

from gasketcut.capture.image.picture_file import Scan
from gasketcut.capture.scale.target import SIZE
from tests.capture.test_photo import sheet
from tests.scans import rounded, srgb

OUTER, CORNER, BORE = (80.0, 70.0), 9.0, 44.0
HOLES = ((-33.0, -28.0, 8.5), (33.0, -28.0, 8.5), (33.0, 28.0, 8.5), (-33.0, 28.0, 5.5))
WINDOW = (31.0, 0.0, 7.0, 18.0, 3.0)
"""Middle, width, height, corner [mm]."""

_HEIGHTS = 9


@dataclass(frozen=True)
class Pose:
    """Where the camera is and how it looks, the part's place and turn on the sheet, and its thickness and shades.

    tilt   : of the sheet against the picture, about an axis `about` [deg]
    height : of the camera over the sheet [mm]
    bare   : on a bare sheet of A4 on a dark table, in place of the target
    beside : where the middle of the picture hits the sheet, from the sheet's middle [mm]
    focus  : of the picture's longer side
    wall   : linear light of the walls; `lit` by how much more or less to the side the light comes from
    """

    thickness: float
    tilt: float = 0.0
    about: float = 0.0
    turn: float = 0.0
    height: float = 330.0
    beside: tuple[float, float] = (0.0, 0.0)
    focus: float = 0.75
    size: tuple[int, int] = (1050, 1400)
    at: tuple[float, float] = (90.0, 130.0)
    part_turn: float = 0.0
    face: float = 0.1
    wall: float = 0.14
    lit: float = 0.0
    bare: bool = False
    seed: int = 1


def plate(u, v):
    """Signed distance, negative in the material."""
    distance = rounded(u, v, *OUTER, CORNER)
    for x, y, width in ((0.0, 0.0, BORE), *HOLES):
        distance = np.maximum(distance, width / 2 - np.hypot(u - x, v - y))
    x, y, width, height, corner = WINDOW
    return np.maximum(distance, -rounded(u - x, v - y, width, height, corner))


def pictured(pose: Pose, stated: float | None = None) -> Scan:
    """stated : the focal length that the file names, of the longer side."""
    columns, rows = pose.size
    focus = pose.focus * max(pose.size)
    u, v = np.meshgrid((np.arange(columns) - (columns - 1) / 2) / focus, ((rows - 1) / 2 - np.arange(rows)) / focus)
    c, s = cos(radians(pose.about)), sin(radians(pose.about))
    turned = Rotation.from_rotvec(np.radians(pose.tilt) * np.array([c, s, 0.0])) * Rotation.from_euler(
        "z", pose.turn, degrees=True
    )
    ray = np.einsum("ij,jrc->irc", turned.as_matrix(), np.stack([u, v, -np.ones_like(u)]))
    ahead = turned.apply([0.0, 0.0, -1.0])
    middle = np.array([SIZE[0] / 2 + pose.beside[0], SIZE[1] / 2 + pose.beside[1], 0.0])
    eye = middle - ahead * pose.height / -ahead[2]

    def at(z):
        reach = (z - eye[2]) / ray[2]
        return eye[0] + reach * ray[0], eye[1] + reach * ray[1], reach / focus

    def on_part(x, y):
        c, s = cos(radians(pose.part_turn)), sin(radians(pose.part_turn))
        x, y = x - pose.at[0], y - pose.at[1]
        return plate(c * x + s * y, -s * x + c * y)

    x, y, pixel = at(0.0)
    shade = 0.85 - 0.75 * _covered(_paper(x, y) if pose.bare else sheet(x, y, part=False), pixel)
    near = np.hypot(x - pose.at[0], y - pose.at[1]) < 70.0
    rows_, columns_ = np.nonzero(near)
    cut = np.s_[rows_.min() : rows_.max() + 1, columns_.min() : columns_.max() + 1]
    whole = None
    for z in np.linspace(0.0, pose.thickness, _HEIGHTS):
        x, y, pixel = (one[cut] for one in at(z))
        top = on_part(x, y)
        whole = top if whole is None else np.minimum(whole, top)
    seen, face = _covered(whole, pixel), _covered(top, pixel)
    down, right = np.gradient(whole)
    towards = right / np.maximum(np.hypot(down, right), 1e-9)
    walls = pose.wall * (1 + pose.lit * towards)
    shade[cut] = shade[cut] * (1 - seen) + walls * (seen - face) + pose.face * face
    grey = srgb(np.clip(shade, 0, 1)) * 255 + np.random.default_rng(pose.seed).normal(0, 2.0, shade.shape)
    encoded = np.clip(np.round(grey), 0, 255) / 255
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    return Scan(linear.astype(np.float32), None, (), stated)


def _paper(x, y):
    return np.minimum(105.0 - np.abs(x - SIZE[0] / 2), 148.5 - np.abs(y - SIZE[1] / 2))


def _covered(distance, pixel):
    return 0.5 * (1 - erf(distance / (0.9 * pixel * 2**0.5)))


def poses(count, seed):
    """Chances of a careful hand: tilted by up to 10 deg, from 280 to 420 mm; thickness from 0.3 to 3 mm."""
    draw = np.random.default_rng(seed)
    made = []
    for number in range(count):
        way = (*draw.uniform(-1, 1, 2), *draw.uniform(-1, 1, 2))
        long = draw.random() < 0.3
        made.append(
            Pose(
                thickness=0.3 * 10 ** draw.uniform(0, 1),
                tilt=draw.uniform(0, 10),
                about=draw.uniform(0, 360),
                turn=draw.uniform(-15, 15) + (90 if long else draw.choice([0, 180])),
                height=draw.uniform(330, 420) if long else draw.uniform(310, 420),
                beside=(8 * way[0], 8 * way[1]),
                focus=draw.uniform(0.7, 0.8),
                size=(1400, 1050) if long else (1050, 1400),
                at=(92 + 8 * way[2], 130 + 15 * way[3]),
                part_turn=draw.uniform(-20, 20),
                face=draw.uniform(0.05, 0.3),
                wall=draw.uniform(0.05, 0.3),
                lit=draw.uniform(-0.5, 0.5),
                seed=number,
            )
        )
    return made
