"""The letters of holes: those that were printed are those that are read, whatever the scale."""

import io
from math import dist

import numpy as np
import pytest

from gasketcut.capture.known_distance import KnownDistance
from gasketcut.capture.lettering import from_the_left, letter
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import trace
from tests.scans import scan

pytest.importorskip("contourpy")


def jpeg(seed):
    """A part that lies level, so that its holes stand in columns, as a camera's file keeps it."""
    stream = io.BytesIO()
    scan(turn=0.0, seed=seed, noise=1.0).save(stream, "JPEG", quality=90, dpi=(300, 300))
    return stream.getvalue()


@pytest.mark.parametrize("dpi", [None, 280.0])
def test_a_distance_between_letters_is_taken_between_the_holes_that_were_printed_so(dpi):
    """By pixels two holes of one column changed places: the outline came out 40.66 mm for 60."""
    picture = jpeg(seed=2)
    printed = {hole.name: hole.circle.center for hole in trace(picture).parts[0].holes}

    assert sorted(printed) == ["A", "B", "C", "D", "E"]
    for a, b in [("A", "D")] if dpi else [("A", "D"), ("B", "E")]:
        known = KnownDistance(a, b, dist(printed[a], printed[b]))
        found = trace(picture, TraceSettings(along=known, dpi=dpi)).parts[0]
        assert np.ptp(found.ring, axis=0) == pytest.approx([60.0, 64.0], abs=0.02)
        for hole in found.holes:
            assert dist(hole.circle.center, printed[hole.name]) < 0.02


def test_the_order_is_the_same_by_every_scale():
    chance = np.random.default_rng(5)
    for _ in range(50):
        places = [tuple(place) for place in chance.normal(0, 40, (9, 2))]
        order = from_the_left(places, 120.0)
        for scale in (0.997, 1.0034, 25.4 / 300):
            assert from_the_left([(x * scale, y * scale) for x, y in places], 120.0 * scale) == order


def test_a_column_is_read_from_the_top():
    places = [(0.1, -5.0), (0.0, 5.0), (20.0, -3.0), (20.05, 8.0), (9.0, 0.0)]

    assert from_the_left(places, 60.0) == [1, 0, 4, 3, 2]
    assert [letter(n) for n in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]
