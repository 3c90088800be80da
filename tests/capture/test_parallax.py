"""Photographs of parts that are not thin: what their height over the sheet does to them is undone."""

import dataclasses
from math import dist

import numpy as np
import pytest

from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.scale.photo import PHOTO
from gasketcut.capture.scale.walls import without_walls
from gasketcut.capture.seeing import in_photo
from gasketcut.capture.seeing.in_photo import seen_in_photo
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced_part import part_of
from tests.capture import slab
from tests.capture.slab import BORE, HOLES, OUTER, Pose, pictured, plate, poses

pytest.importorskip("contourpy")


def measured(scan, thickness):
    seen = seen_in_photo(scan, TraceSettings(target=True, bars=(100.0, 100.0), thickness=thickness))
    return part_of(seen.silhouettes[0], seen.scale, None), seen


def errors(part, turn):
    """By which the outline's sizes, the holes' widths and places, and the window's edge are off [mm]."""
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))

    def upright(points):
        return np.array(points) @ np.array([[c, -s], [s, c]])

    outline = upright(part.outline.contour.flattened(0.001))
    middle = (outline.min(axis=0) + outline.max(axis=0)) / 2
    off = list(np.ptp(outline, axis=0) - OUTER)
    holes = {tuple(upright([hole.circle.center])[0] - middle): 2 * hole.circle.radius for hole in part.holes}
    for x, y, width in ((0.0, 0.0, BORE), *HOLES):
        at = min(holes, key=lambda one: dist(one, (x, y)))
        off += [holes[at] - width, dist(at, (x, y))]
    assert len(part.windows) == 1
    edge = upright(part.rings[-1]) - middle  # as seen: what lines and arcs make of a pixel of 0.3 mm is not asked here
    return np.array([*off, np.quantile(np.abs(plate(*edge.T)), 0.95)])


def test_a_thick_part_comes_out_as_large_as_it_is():
    # From 330 mm: uncorrected its outline would be 0.37 mm too wide.
    pose = Pose(thickness=1.5, tilt=4.0, about=30.0, turn=20.0, part_turn=7.0)
    picture = pictured(pose, pose.focus)
    part, seen = measured(picture, pose.thickness)
    as_seen, _ = measured(picture, 0.0)

    assert np.abs(errors(part, 7.0)).max() < 0.04
    low, high = as_seen.ring.min(axis=0), as_seen.ring.max(axis=0)
    assert np.all(high - low > np.ptp(part.ring, axis=0) + 0.3)
    assert seen.scale.camera.at[2] == pytest.approx(330.0, rel=0.03)
    assert seen.scale.sigma > PHOTO


def test_light_walls_are_not_taken_for_the_sheet():
    # Without their shade the bore comes out 0.2 mm too wide, and three of the holes are not round.
    pose = Pose(thickness=3.0, tilt=5.0, about=30.0, turn=20.0, wall=0.45)
    part, _ = measured(pictured(pose, pose.focus), pose.thickness)

    assert np.abs(errors(part, 0.0)).max() < 0.04


def test_a_small_hole_leaves_no_wall_as_it_is_seen(monkeypatch):
    """A ring of 20 points switched the correction off for the whole picture: the bore came out 0.19 mm too wide."""
    monkeypatch.setattr(slab, "HOLES", (*HOLES, (-36.0, 0.0, 2.15)))
    pose = Pose(thickness=3.0, tilt=5.0, about=30.0, turn=20.0, wall=0.45)
    part, _ = measured(pictured(pose, pose.focus), pose.thickness)

    assert np.abs(errors(part, 0.0)).max() < 0.04
    assert min(2 * hole.circle.radius for hole in part.holes) == pytest.approx(2.15, abs=0.04)


def test_walls_that_stay_as_seen_are_said_and_widen_the_range(monkeypatch):
    pose = Pose(thickness=3.0, tilt=5.0, about=30.0, size=(750, 1000))
    picture = pictured(pose, pose.focus)
    (_, seen), (_, plain) = measured(picture, 3.0), measured(picture, 0.0)
    swapped = without_walls(1.0 - picture.light, 0.5, plain.scale, plain.silhouettes, 3.0)
    short = tuple(Silhouette(one.outer[:: len(one.outer) // 20], ()) for one in plain.silhouettes)
    unread = without_walls(picture.light, 0.5, plain.scale, short, 3.0)
    monkeypatch.setattr(in_photo, "without_walls", lambda *_: swapped)
    _, said = measured(picture, 3.0)

    assert not any("stay where they are seen" in warning for warning in seen.warnings)
    assert swapped.silhouettes == plain.silhouettes
    assert "not darker than the sheet" in swapped.why
    assert unread.silhouettes == short
    assert "long enough" in unread.why
    # A wall is seen 3 / 327 as wide as it lies beside the camera's foot: here by 25 to 130 mm.
    assert 0.2 / 12**0.5 < swapped.unsure * plain.scale.sx < 1.2 / 12**0.5
    assert any("stay where they are seen, +- " in warning for warning in said.warnings)
    assert said.shifts[0].sigma == pytest.approx(np.hypot(seen.shifts[0].sigma, swapped.unsure))


@pytest.mark.slow
def test_on_a_bare_sheet_too():
    pose = Pose(thickness=1.5, tilt=4.0, about=30.0, height=400.0, bare=True)
    picture = pictured(pose, pose.focus)
    seen = seen_in_photo(picture, TraceSettings(sheet=(210.0, 297.0), thickness=1.5))
    part = part_of(seen.silhouettes[0], seen.scale, None)

    assert np.abs(errors(part, 0.0)).max() < 0.1  # the edges of the paper are good to 0.02 mm here
    assert seen.scale.camera.at[2] == pytest.approx(400.0, rel=0.01)


def test_what_is_not_known_of_the_height_is_said():
    pose = Pose(thickness=1.5, size=(750, 1000))
    picture = pictured(pose)
    said = {}
    for stated in (None, pose.focus):
        _, seen = measured(dataclasses.replace(picture, focus=stated), 1.5)
        said[stated] = seen.scale.camera.sigma, " ".join(seen.warnings)
    _, unsaid = measured(picture, 0.0)

    # Straight from above the sheet does not show the focal length: a guess of 20 %, or what the file names, to 5 %.
    assert said[None][0] == pytest.approx(0.2, abs=0.01)
    assert "names its focal length" in said[None][1]
    assert said[pose.focus][0] == pytest.approx(0.05, abs=0.002)
    assert "is drawn 0.45 mm smaller on 100 mm" in said[pose.focus][1]
    assert any("give --thickness" in warning for warning in unsaid.warnings)


def test_a_slanted_view_shows_the_focal_length():
    pose = Pose(thickness=1.0, tilt=18.0, height=400.0, focus=1.1, size=(750, 1000))
    _, seen = measured(pictured(pose), 1.0)

    assert seen.scale.camera.sigma < 0.03
    assert seen.scale.camera.at[2] == pytest.approx(400.0, rel=0.03)


@pytest.mark.slow
@pytest.mark.parametrize("pose", poses(20, seed=3), ids=lambda pose: f"{pose.thickness:.1f} mm, {pose.tilt:.0f} deg")
def test_any_thickness_from_any_side(pose):
    stated = pose.focus * np.random.default_rng(pose.seed).uniform(0.97, 1.03)  # lenses are rounded, and focus near by
    part, _ = measured(pictured(pose, stated), pose.thickness)

    off = np.abs(errors(part, pose.part_turn))
    assert off[:-1].max() <= 0.06
    assert off[-1] <= 0.1  # a bar between window and bore is three pixels wide here
