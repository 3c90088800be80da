"""A page of a PDF as a picture. Needs pypdfium2 (`pip install 'gasketcut[pdf]'`).

A scanner's program puts one picture on the page, whole or in strips, which is taken as it is: drawn anew it would be
softer, and strips would have light seams. What else is on a page, layers or a drawing, is drawn as it would be printed,
as fine as the largest picture on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Any

import numpy as np
from PIL import Image

from gasketcut.capture.image.file_kind import UnusableError

_POINTS = 72.0
"""In an inch."""

_WITHOUT_SCAN = 300.0
"""dpi for a page on which there is no picture. Our choice."""

_COARSEST, _FINEST = 72.0, 1200.0

_LEAST = 0.1
"""Of the page that its pictures must cover to be a scan. Our choice."""

_SAME = 0.005
"""Strips' dpi may differ by that share, as their ends are rounded. Our choice."""

_ALIKE = 10.0
"""Of 255, by which the pictures may differ from the page as printed, in the mean, when both are small. Our choice."""

_DEEP = 6
"""Groups within groups that are looked through."""

_DAMAGED = "is damaged and cannot be read; scan it again, or save the page as PNG"

Dpi = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PdfPage:
    """A picture and its dpi along x and y; of so many pages; whether there is a scan on it."""

    picture: Image.Image
    dpi: Dpi
    count: int
    scanned: bool


def pdf_page(data: bytes, number: int, most: int) -> PdfPage:
    """The page of that number, from 1; raise `UnusableError`.

    most : pixels that a picture may have
    """
    try:
        import pypdfium2
    except ImportError as error:
        raise UnusableError(
            "is a PDF, for which pip install 'gasketcut[pdf]' is needed; or save the page as PNG with its dpi, e.g. "
            "from the scanner's program"
        ) from error
    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        locked = "password" in str(error).lower()
        raise UnusableError("is locked with a password; save it without one" if locked else _DAMAGED) from error
    try:
        count = len(document)
        if not 1 <= number <= count:
            raise UnusableError(f"has {count} page{'s' if count != 1 else ''}, so no page {number}")
        page = document[number - 1]
        pictures = _pictures(page, pypdfium2.raw)
        scanned = sum(map(_area, pictures)) > _LEAST * page.get_width() * page.get_height()
        fine = max(_dpi_of(max(pictures, key=_area))) if scanned else _WITHOUT_SCAN
        fine = min(max(fine, _COARSEST), _FINEST)
        width, height = (round(size / _POINTS * fine) for size in page.get_size())
        if max(width * height, *(one.get_px_size()[0] * one.get_px_size()[1] for one in pictures), 0) > most:
            raise UnusableError(
                f"page {number} has {width} x {height} pixels at {fine:.0f} dpi, more than {most // 10**6} million; "
                "scan at 300 dpi, or cut it to the part"
            )
        picture, dpi = _taken_out(page, pictures, pypdfium2.raw) or _printed(page, fine)
    except pypdfium2.PdfiumError as error:
        raise UnusableError(_DAMAGED) from error
    finally:
        document.close()
    return PdfPage(picture, dpi, count, scanned)


def _pictures(page: Any, raw: Any) -> list[Any]:
    found = page.get_objects(filter=[raw.FPDF_PAGEOBJ_IMAGE], max_depth=_DEEP)
    return [one for one in found if min(one.get_px_size()) > 0 and _area(one) > 0]


def _area(one: Any) -> float:
    a, b, c, d, _, _ = one.get_matrix().get()
    return float(hypot(a, b) * hypot(c, d))


def _dpi_of(one: Any) -> Dpi:
    """Along the picture's own rows and columns."""
    a, b, c, d, _, _ = one.get_matrix().get()
    columns, rows = one.get_px_size()
    return columns / hypot(a, b) * _POINTS, rows / hypot(c, d) * _POINTS


def _printed(page: Any, dpi: float) -> tuple[Image.Image, Dpi]:
    """The page drawn, and its true dpi: it is stretched to whole pixels."""
    picture = page.render(scale=dpi / _POINTS, may_draw_forms=False).to_pil()
    wide, high = page.get_size()
    return picture, (picture.width / wide * _POINTS, picture.height / high * _POINTS)


def _taken_out(page: Any, pictures: list[Any], raw: Any) -> tuple[Image.Image, Dpi] | None:
    """The page put together from its pictures; None if there is more to it, or they are not shown as they are.

    Words that a program has read in the scan lie over it unseen, so texts do not count.
    """
    others = {raw.FPDF_PAGEOBJ_IMAGE, raw.FPDF_PAGEOBJ_PATH, raw.FPDF_PAGEOBJ_SHADING}
    if not pictures or sum(one.type in others for one in page.get_objects(max_depth=_DEEP)) != len(pictures):
        return None
    upright = [_upright(one) for one in pictures]
    (across, up), turned = upright[0][1], page.get_rotation()
    if max(across, up) > _FINEST or any(
        abs(x / across - 1) > _SAME or abs(y / up - 1) > _SAME for _, (x, y) in upright
    ):
        return None
    wide, high = page.get_size() if turned in (0, 180) else page.get_size()[::-1]
    left, low, _, _ = page.get_bbox()
    size = round(wide / _POINTS * across), round(high / _POINTS * up)
    whole = Image.new("RGB" if any(one.mode != "L" for one, _ in upright) else "L", size, "white")
    for one, (picture, _) in zip(pictures, upright, strict=True):
        begins, _, _, top = one.get_bounds()
        whole.paste(picture, (round((begins - left) / _POINTS * across), round((low + high - top) / _POINTS * up)))
    if turned:
        whole = whole.rotate(-turned, expand=True)
    dpi = (across, up) if turned in (0, 180) else (up, across)
    small = page.render(scale=0.5, may_draw_forms=False).to_pil().convert("L")
    alike = whole.convert("L").resize(small.size, Image.Resampling.BOX)
    off = np.abs(np.asarray(small, dtype=float) - np.asarray(alike, dtype=float)).mean()
    return (whole, dpi) if off < _ALIKE else None


def _upright(one: Any) -> tuple[Image.Image, Dpi]:
    """A picture as it lies on the page, and its dpi along and up the page."""
    a, b, c, d, _, _ = one.get_matrix().get()
    across, up = _dpi_of(one)
    picture = one.get_bitmap().to_pil()
    if abs(b) + abs(c) > abs(a) + abs(d):  # on its side
        picture = picture.transpose(Image.Transpose.TRANSPOSE)
        (a, d), (across, up) = (-c, -b), (up, across)
    if a < 0:
        picture = picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    if d < 0:
        picture = picture.transpose(Image.Transpose.FLIP_TOP_BOTTOM)
    return picture, (across, up)
