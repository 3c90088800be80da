"""Paper sizes of `profiles/papers.toml` against two libraries that carry them, and the rules of the standards."""

import tomllib
from math import sqrt

import papersize
import pytest
from reportlab.lib import pagesizes

from gasketcut.profile.own import shipped

PT = 72 / 25.4  # points in a millimetre
EXACT = 1e-9  # mm; both libraries hold exact millimetres or inches, only the division rounds
PAPERS = tomllib.loads(shipped("papers").read_text(encoding="utf-8"))["paper"]
every_paper = pytest.mark.parametrize("name", PAPERS)


def size(name):
    return PAPERS[name]["width"], PAPERS[name]["height"]


def test_the_two_papers_of_the_world_are_there():
    assert {"a4", "letter"} <= set(PAPERS)


@every_paper
def test_reportlab_has_the_same_size(name):
    points = getattr(pagesizes, name.upper())

    assert size(name) == pytest.approx([side / PT for side in points], abs=EXACT)


@every_paper
def test_papersize_has_the_same_size(name):
    sides = papersize.parse_papersize(name, "mm")

    assert size(name) == pytest.approx([float(side) for side in sides], abs=EXACT)


@every_paper
def test_papers_are_kept_upright_and_hold_nothing_else(name):
    width, height = size(name)

    assert width < height
    assert set(PAPERS[name]) == {"width", "height"}


@pytest.mark.parametrize("name", [name for name in PAPERS if name[0] == "a" and name[1:].isdigit()])
def test_a_sizes_come_from_a0_by_halving(name):
    # ISO 216: A0 is a square metre, its sides as 1 to the square root of 2; each next one is half of it, rounded down.
    width, height = 841, 1189
    for _ in range(int(name[1:])):
        width, height = height // 2, width

    assert size(name) == (width, height)
    assert height / width == pytest.approx(sqrt(2), abs=0.01)


@pytest.mark.parametrize(
    ("name", "inches"),
    # ANSI/ASME Y14.1: A, B are letter and tabloid; legal is common practice.
    [(name, inches) for name, inches in {"letter": (8.5, 11), "legal": (8.5, 14), "tabloid": (11, 17)}.items()
     if name in PAPERS],
)  # fmt: skip
def test_inch_sizes_are_whole_and_half_inches(name, inches):
    assert size(name) == pytest.approx([side * 25.4 for side in inches], abs=EXACT)
