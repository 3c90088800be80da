"""Proof of any PDF of ours: the number of its pages and their size; not what is drawn or said on them."""

from __future__ import annotations

from collections.abc import Sequence

from gasketcut.errors import ReadBackError
from gasketcut.output.proof.pdf_reader import pages_of
from gasketcut.plane import Point

SAME_SIZE = 0.001
"""mm; sizes of paper are written to the fourth decimal of a point."""


def prove_pages(data: bytes, sizes: Sequence[Point], name: str, *, photographs: bool = False) -> None:
    """As many pages as sizes [mm], each of its own; raise `ReadBackError` otherwise.

    photographs : may a page hold one?
    """
    found = [page.size for page in pages_of(data, name, photographs=photographs)]
    if len(found) != len(sizes):
        raise ReadBackError(f"{name}: the PDF holds {len(found)} pages, made were {len(sizes)}")
    for number, (one, size) in enumerate(zip(found, sizes, strict=True), 1):
        if not is_same_size(one, size):
            raise ReadBackError(
                f"{name}: page {number} of the PDF is {size_words(one)} mm, asked for was {size_words(size)}"
            )


def is_same_size(one: Point, other: Point) -> bool:
    """Are they, as far as a PDF's numbers go?"""
    return max(abs(one[0] - other[0]), abs(one[1] - other[1])) < SAME_SIZE


def size_words(size: Point) -> str:
    """As a message gives it."""
    return f"{size[0]:.3f} x {size[1]:.3f}"
