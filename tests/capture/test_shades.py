"""Part, paper and card in all shades: a scale from the card that holds, or a reason and what to do."""

from itertools import product

import numpy as np
import pytest

from gasketcut.capture.image.picture_file import PictureError, linear, read_scan
from gasketcut.capture.seeing.in_scan import seen_in_scan
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import trace
from tests.capture.shaded import card_at, part_at, shaded
from tests.scans import BORE, HOLES

pytest.importorskip("contourpy")

SHADES = (25, 60, 95, 130, 165, 200, 230, 250)  # of part and paper: 30 levels apart at the least, or left out
CARDS = (10, 40, 72, 107, 142, 177, 212, 242)  # 12 levels from the paper at the least, or left out
GRID = [
    (paper, part, card)
    for paper, part, card in product(SHADES, SHADES, CARDS)
    if abs(paper - part) >= 30 and abs(paper - card) >= 12
]

SAID = [
    (245, 200, 90),  # a grey part on white paper, a dark card
    (25, 70, 235),
    (245, 200, 215),  # a card a little lighter than the part
    (130, 60, 200),  # the part darker than the paper, the card lighter
    (60, 130, 72),  # a card that hardly stands out
]


@pytest.mark.parametrize(("paper", "part", "card"), SAID)
def test_a_part_and_a_card_are_told_apart_by_their_own_shades(paper, part, card):
    """The dpi of the file is wrong by 1.3 %: only the card gives these sizes."""
    found = trace(shaded(paper, part_at(part), card_at(card), tag=152))
    (one,) = found.parts
    widths = sorted(2 * hole.circle.radius for hole in one.holes)

    assert found.scale.source == "card"
    assert (found.scale.sx, found.scale.sy) == pytest.approx((25.4 / 150,) * 2, rel=5e-4)
    assert widths == pytest.approx(sorted([BORE, *(width for _, _, width in HOLES)]), abs=0.03)


def outcome(paper, part, card, **how):
    """The relative error of the scale by the card and how many parts there are; or what was refused."""
    try:
        seen = seen_in_scan(read_scan(shaded(paper, part_at(part), card_at(card), **how)), TraceSettings())
    except PictureError as error:
        return str(error)
    assert seen.scale.source == "card"
    unit = 25.4 / how["dpi"]
    return max(abs(seen.scale.sx / unit - 1), abs(seen.scale.sy / unit - 1)), seen.silhouettes


@pytest.mark.slow
def test_the_whole_grid_of_shades():
    assert len(GRID) > 400
    refused, worst = [], 0.0
    for number, (paper, part, card) in enumerate(GRID):
        found = outcome(paper, part, card, dpi=100, tag=101.3, seed=number)
        if isinstance(found, str):
            refused.append(found)
            continue
        off, (silhouette,) = found
        worst = max(worst, off)
        bore = max(np.ptp(ring, axis=0).mean() for ring in silhouette.inner) * 0.254
        assert bore == pytest.approx(BORE, abs=0.2), (paper, part, card)
    print(f"{len(GRID)} scans, {len(refused)} refused, scale within {worst * 100:.3f} %")

    assert worst < 0.001
    assert len(refused) <= 0.1 * len(GRID)
    assert all("--no-card" in reason for reason in refused)


@pytest.mark.slow
def test_a_sixth_of_it_as_a_camera_program_keeps_it():
    """JPEG at 85, and more grain."""
    chance = np.random.default_rng(20)
    refused, worst = [], 0.0
    picked = chance.permutation(len(GRID))[: len(GRID) // 6]
    for number in picked:
        found = outcome(*GRID[number], dpi=150, tag=148, grain=3.0, jpeg=85, seed=int(number))
        if isinstance(found, str):
            refused.append(found)
            continue
        worst = max(worst, found[0])
        assert len(found[1]) == 1
    print(f"{len(picked)} scans, {len(refused)} refused, scale within {worst * 100:.3f} %")

    assert worst < 0.001
    assert len(refused) <= 0.1 * len(picked)


@pytest.mark.parametrize("ground", [25, 130, 245])
def test_uneven_light_is_made_even_on_any_paper(ground):
    """It falls off by a fifth across the picture; only a bright ground was made even."""
    from gasketcut.capture.image.flat_field import flat_field

    light = read_scan(shaded(ground, part_at(90 if ground != 130 else 30), dpi=100, grain=1.0)).light
    down, across = np.indices(light.shape) / np.array(light.shape)[:, None, None]
    fall = (0.8 + 0.2 * across + 0.1 * down).astype(np.float32)
    made = flat_field(light * fall, to_rim=True)
    corners = np.array([made[:30, :30], made[:30, -30:], made[-30:, :30], made[-30:, -30:]]).mean(axis=(1, 2))
    wanted = float(linear(np.array([ground / 255], dtype=np.float32))[0])

    assert corners.max() / corners.min() == pytest.approx(1.0, abs=0.01)
    assert corners.mean() == pytest.approx(wanted, rel=0.15)
