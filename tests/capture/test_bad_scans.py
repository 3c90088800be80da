"""Scans that cannot be traced: what was seen is said, and what to do."""

import dataclasses

import numpy as np
import pytest

from gasketcut.capture.image.picture_file import PictureError, read_scan
from gasketcut.capture.seeing.in_scan import seen_in_scan
from gasketcut.capture.settings import TraceSettings
from tests.capture.shaded import card_at, part_at, shaded
from tests.scans import gasket

pytest.importorskip("contourpy")


def seen(picture, **how):
    return seen_in_scan(read_scan(picture), TraceSettings(**how))


def upper(u, v):
    return np.maximum(gasket(u, v), -v)


def strip(u, v):
    return np.abs(u) - 3.0 + 0.0 * v


def dot_grid(u, v):
    """Seven dots of 6 mm each way, 12 mm apart."""
    x, y = (np.clip(np.round(one / 12.0), -3, 3) * 12.0 for one in (u, v))
    return np.hypot(u - x, v - y) - 3.0


@pytest.mark.parametrize(
    ("things", "what"),
    [
        ((), "one shade only, so no part shows: lay the part on white paper"),
        ((part_at(243),), "one shade only"),  # two levels from the paper
        ((part_at(90, x=10.0),), "runs out of the picture at the left; scan it with a margin"),
        ((part_at(90, x=150.0, y=90.0),), "at the right and top"),
        ((part_at(90, x=150.0), card_at(60, x=50.0)), "the part runs out of the picture at the right"),
        ((part_at(90), card_at(60, x=150.0)), "what runs out of the picture at the right has to lie in it whole"),
        ((part_at(90), card_at(60, x=137.0)), "the part, or a card beside it, runs out of the picture at the right"),
        (((dot_grid, 30, (60.0, 52.0), 0.0),), "49 dots of one size .* give --target"),
    ],
)
def test_what_is_seen_and_what_to_do(things, what):
    with pytest.raises(PictureError, match=what):
        seen(shaded(245, *things))


def test_a_photograph_that_nobody_called_one():
    scan = dataclasses.replace(read_scan(shaded(245, part_at(90))), focus=3000.0)
    with pytest.raises(PictureError, match=r"a camera took this picture.* --target"):
        seen_in_scan(scan, TraceSettings())


def test_a_part_darker_than_the_paper_and_lighter_is_refused():
    picture = shaded(140, part_at(230), (upper, 40, (42.0, 52.0), 3.0), tag=150)
    with pytest.raises(PictureError, match="darker than the paper in one place and lighter in another: lay paper"):
        seen(picture)


def test_a_part_of_two_shades_on_one_side_of_the_papers_is_one_part():
    found = seen(shaded(245, part_at(150), (upper, 40, (42.0, 52.0), 3.0), tag=150))

    assert len(found.silhouettes) == 1
    assert len(found.silhouettes[0].inner) == 5


def test_the_halo_of_sharpening_and_a_shadow_make_no_part_of_two_tones():
    from tests.scans import gasket as whole

    def shadow(u, v):
        return whole(u - 0.3, v + 0.3)

    found = seen(shaded(150, (shadow, 90, (42.0, 52.0), 3.0), part_at(230), tag=150))

    assert len(found.silhouettes[0].inner) == 5


def test_the_lids_dark_edge_is_left_out():
    found = seen(shaded(245, part_at(90), (strip, 20, (164.0, 52.0), 0.0), tag=150))

    assert len(found.silhouettes) == 1
    assert not any("runs out" in one for one in found.warnings)


def test_a_second_part_that_is_cut_off_is_left_out_and_said():
    found = seen(shaded(245, part_at(90), part_at(60, x=150.0), tag=150))

    assert len(found.silhouettes) == 1
    assert any("runs out of the picture at the right and is left out" in one for one in found.warnings)


def test_two_parts_of_different_shades_are_each_measured_at_their_own_edge():
    found = seen(shaded(130, part_at(60), part_at(235, x=118.0), tag=150))
    sizes = [np.ptp(max(one.inner, key=len), axis=0).mean() * 25.4 / 150 for one in found.silhouettes]

    assert sizes == pytest.approx([46.0, 46.0], abs=0.05)
