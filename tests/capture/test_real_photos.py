"""Photographs of a real chessboard through a real lens: the map of the target sheet and the straightness of edges.

Truth: squares of 25 mm, and the camera as its owners calibrated it (tests/photographs/README.md).
"""

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter, map_coordinates
from scipy.spatial.transform import Rotation

from gasketcut.capture.scale.bare_sheet import _straightened, _unbent
from gasketcut.capture.scale.lens import improved, mapped, straight

FOLDER = Path(__file__).parent / "photographs"
ROWS, COLUMNS, SQUARE = 6, 9, 25.0
BOARD = np.array([(column * SQUARE, row * SQUARE) for row in range(ROWS) for column in range(COLUMNS)])
ENDS = [0, COLUMNS - 1, (ROWS - 1) * COLUMNS, ROWS * COLUMNS - 1]
HALF, MIDDLE = 320.0, np.array([319.5, 239.5])  # of 640 x 480 pixels
VIEWS = {"left05.jpg": 4, "left08.jpg": 7, "left11.jpg": 9, "left12.jpg": 10, "left14.jpg": 12}  # rows of the poses


def published(name):
    text = (FOLDER / "left_intrinsics.yml").read_text(encoding="utf-8")
    found = re.search(name + r":.*?data: \[(.*?)\]", text, re.DOTALL)
    return np.array([float(number) for number in found[1].split(",")])


CAMERA = published("camera_matrix").reshape(3, 3)


def predicted(pose):
    """Where the published camera sees the corners: three radial and two tangential terms."""
    x, y, z = (Rotation.from_rotvec(pose[:3]).apply(np.column_stack([BOARD / 1000, np.zeros(len(BOARD))])) + pose[3:]).T
    x, y = x / z, y / z
    k1, k2, p1, p2, k3 = published("distortion_coefficients")
    square = x * x + y * y
    bend = 1 + k1 * square + k2 * square**2 + k3 * square**3
    u = x * bend + 2 * p1 * x * y + p2 * (square + 2 * x * x)
    v = y * bend + p1 * (square + 2 * y * y) + 2 * p2 * x * y
    return np.column_stack([CAMERA[0, 0] * u + CAMERA[0, 2], CAMERA[1, 1] * v + CAMERA[1, 2]])


def corners(name):
    """The corners as the picture has them, from near the published ones: where all gradients about point past."""
    image = np.asarray(Image.open(FOLDER / name).convert("L"), dtype=float)
    down, right = np.gradient(gaussian_filter(image, 0.7))
    j, i = np.mgrid[-5:6, -5:6].astype(float)
    weight = np.exp(-(i * i + j * j) / 9)
    found = []
    for place in predicted(published("extrinsic_parameters").reshape(-1, 6)[VIEWS[name]]):
        for _ in range(20):
            x, y = place[0] + i, place[1] + j
            a, b = (map_coordinates(slope, [y, x], order=1) for slope in (right, down))
            xx, xy, yy = (np.sum(weight * p * q) for p, q in ((a, a), (a, b), (b, b)))
            sides = [np.sum(weight * a * (a * x + b * y)), np.sum(weight * b * (a * x + b * y))]
            place = np.linalg.solve([[xx, xy], [xy, yy]], sides)  # noqa: PLW2901  # it creeps to the corner
        found.append(place)
    return np.array(found)


def rms(off):
    return float(np.sqrt(np.mean(np.sum(off**2, axis=-1))))


@pytest.mark.parametrize("name", VIEWS)
def test_the_corners_are_where_the_published_camera_sees_them(name):
    pose = published("extrinsic_parameters").reshape(-1, 6)[VIEWS[name]]
    theirs = published("per_view_reprojection_errors")[VIEWS[name]]

    assert rms(corners(name) - predicted(pose)) == pytest.approx(theirs, abs=0.1)  # pixels


@pytest.mark.parametrize("name", VIEWS)
def test_the_map_of_the_target_predicts_corners_it_was_not_made_from(name):
    places = (corners(name) - MIDDLE) / HALF
    used = (np.arange(ROWS)[:, None] + np.arange(COLUMNS)).ravel() % 2 == 0  # every other one, as on a chessboard
    numbers = straight(places[ENDS], BOARD[ENDS])
    flat = rms(mapped(numbers, places) - BOARD)
    for _ in range(12):
        numbers, _ = improved(numbers, places[used], BOARD[used])
    square = np.hypot(*np.diff((places * HALF + MIDDLE).reshape(ROWS, COLUMNS, 2), axis=1).reshape(-1, 2).T).mean()
    off = rms(mapped(numbers, places[~used]) - BOARD[~used])

    # The published calibration, with more terms and thirteen pictures, leaves 0.16 to 0.24 pixels.
    assert off / SQUARE * square < 0.3
    assert flat > 10 * off  # without the lens it would be millimetres
    middle = MIDDLE + numbers[10:12] * HALF
    assert middle.tolist() == pytest.approx([CAMERA[0, 2], CAMERA[1, 2]], abs=12.0)  # it is 23 off the picture's


@pytest.mark.parametrize("name", VIEWS)
def test_four_straight_edges_straighten_what_lies_between_them(name):
    """The rows and columns at the rim are the edges of a sheet; the others must come out straight by them."""
    grid = ((corners(name) - MIDDLE) / HALF).reshape(ROWS, COLUMNS, 2)
    edges = [grid[0], grid[:, -1], grid[-1], grid[:, 0]]
    within = [*grid[1:-1], *(grid[:, column] for column in range(1, COLUMNS - 1))]
    bend, _, _ = _straightened(edges)

    def bowed(bend):
        lines = [_unbent(points, bend) for points in within]
        spread = [np.linalg.svd(line - line.mean(axis=0))[1][1] / len(line) ** 0.5 for line in lines]
        return float(np.sqrt(np.mean(np.square(spread)))) * HALF

    assert bowed(bend) < 0.3  # pixels; 0.35 to 0.63 as they are
    assert bowed(bend) < 0.65 * bowed(np.zeros(2))
