"""A scanned picture as light: linear, from 0 to 1, with what its file says of its scale.

The half level between part and ground lies in linear light, not in the encoded numbers: at 300 dpi that is 0.045 mm on
every diameter.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from math import hypot
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from gasketcut.capture.image.file_kind import RAW, UnusableError, is_heic, is_pdf, is_raw, otherwise
from gasketcut.capture.image.pdf_page import pdf_page
from gasketcut.capture.image.shades import distinct_colour, sampled
from gasketcut.errors import GasketError
from gasketcut.outside import Source, bytes_of, name_of, shown

Light = NDArray[np.float32]

MOST_PIXELS = 120_000_000
"""An A3 page at 600 dpi has 70 million. Our choice."""

MOST_BYTES = 500_000_000
"""That page takes 420 MB with three colours of 16 bits, not compressed. Our choice."""

_FORMATS = ("PNG", "JPEG", "MPO", "TIFF", "WEBP", "BMP", "GIF", "PPM", "AVIF", "JPEG2000", "HEIF")
"""Of those that Pillow knows: no others, as some of them start other programs."""

_BLIND = {(72.0, 72.0), (96.0, 96.0)}  # what programs write when they do not know

_EXIF, _ON_FILM = 0x8769, 0xA405
"""Where a camera writes (Exif 2.32), and what: the focal length that shows as much on 35 mm film."""

_DIAGONAL = 43.27
"""mm, of a picture of 36 x 24 mm on film, which that number is referred to (CIPA DCG-001)."""

_FRAMES, _CUT = (4 / 3, 3 / 2, 16 / 9, 1.0), 0.01
"""Sides of the pictures that cameras take. One that is off by more was cut since, and shows less than the file says.
Our choice."""


class PictureError(GasketError, ValueError):
    """A file that is no picture we can use, or a picture in which no part can be made out."""


@dataclass(frozen=True, slots=True)
class Scan:
    """`light` has shape (height, width), row 0 at the top; what the file does not say is None.

    dpi   : along x and y
    focus : focal length of a camera, of the picture's longer side
    """

    light: Light
    dpi: tuple[float, float] | None
    warnings: tuple[str, ...]
    focus: float | None = None


def read_scan(source: Source, page: int | None = None) -> Scan:
    """The picture upright and grey; raise `PictureError` with what to do instead, `GasketError` if there is no file.

    page : of a file of several, from 1; None: the first
    """
    name = name_of(source, "the picture")
    if not isinstance(source, bytes) and Path(source).is_file() and Path(source).stat().st_size > MOST_BYTES:
        raise PictureError(f"{name}: is larger than {MOST_BYTES // 10**6} MB; scan at 300 dpi, in grey")
    data = bytes_of(source)
    said: list[str] = []
    before = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = None  # our own limit below has a message for the user
    try:
        with warnings.catch_warnings(action="ignore"):  # what a library says of odd tags is nothing to the user
            scan = (_from_pdf if is_pdf(data) else _from_picture)(data, page, said)
    except UnusableError as error:
        raise PictureError(f"{name}: {error}") from error
    except UnidentifiedImageError as error:
        raise PictureError(f"{name}: {otherwise(data)}") from error
    except Exception as error:  # libraries raise whatever they come upon in a damaged file
        raise PictureError(f"{name}: is damaged and cannot be read ({shown(str(error))})") from error
    finally:
        Image.MAX_IMAGE_PIXELS = before
    if min(scan.light.shape) < 20:
        raise PictureError(f"{name}: is only {scan.light.shape[1]} x {scan.light.shape[0]} pixels")
    return scan


def _from_pdf(data: bytes, page: int | None, said: list[str]) -> Scan:
    found = pdf_page(data, 1 if page is None else page, MOST_PIXELS)
    said += _of_several(found.count, page, "page")
    if not found.scanned:
        said.append(f"there is no scan on this page; it is drawn at {found.dpi[0]:.0f} dpi")
    light = _light(found.picture, said)
    return Scan(light, found.dpi, tuple(said))


def _from_picture(data: bytes, page: int | None, said: list[str]) -> Scan:
    if is_heic(data):
        _read_heic()
    picture: Image.Image = Image.open(io.BytesIO(data), formats=[one for one in _FORMATS if one in _known()])
    width, height = picture.size
    if width * height > MOST_PIXELS:
        raise UnusableError(
            f"has {width} x {height} pixels, more than {MOST_PIXELS // 10**6} million; scan at 300 dpi, or cut it to "
            "the part"
        )
    if picture.format == "TIFF" and is_raw(getattr(picture, "tag_v2", {})):
        raise UnusableError(RAW)
    # What a camera adds to a JPEG (format MPO) is a preview or a map of brightness: the first picture is the one.
    count = 1 if picture.format == "MPO" and page is None else getattr(picture, "n_frames", 1)
    if page is not None and not 1 <= page <= count:
        raise UnusableError(f"has {count} page{'s' if count > 1 else ''}, so no page {page}")
    said += _of_several(count, page, "picture" if picture.format in ("GIF", "WEBP") else "page")
    if page is not None and page > 1:
        picture.seek(page - 1)
        if picture.size[0] * picture.size[1] > MOST_PIXELS:
            raise UnusableError(f"page {page} has more than {MOST_PIXELS // 10**6} million pixels; scan at 300 dpi")
    dpi, focus = _dpi(picture, said), _focus(picture)
    turned = picture.getexif().get(0x0112, 1) in (5, 6, 7, 8)
    light = _light(ImageOps.exif_transpose(picture), said)
    return Scan(light, dpi[::-1] if dpi is not None and turned else dpi, tuple(said), focus)


def _of_several(count: int, page: int | None, noun: str) -> list[str]:
    if count == 1:
        return []
    return [f"{noun} {page or 1} of {count} is used" + ("" if page else "; --page takes another")]


def _known() -> dict[str, object]:
    Image.init()
    return Image.OPEN  # type: ignore[return-value]  # by format


def _read_heic() -> None:
    """Let Pillow read HEIC, if it can be had."""
    try:
        from pillow_heif import register_heif_opener
    except ImportError as error:
        raise UnusableError(
            "is HEIC, for which pip install 'gasketcut[heic]' is needed; or save it as JPEG (telephones have a setting "
            "for that: most compatible)"
        ) from error
    register_heif_opener()


def _dpi(picture: Image.Image, said: list[str]) -> tuple[float, float] | None:
    given = picture.info.get("dpi")
    try:
        x, y = (float(number) for number in given) if given else (0.0, 0.0)
    except (TypeError, ValueError):
        x = y = 0.0
    if not (20 < x < 10_000 and 20 < y < 10_000):
        said.append("the file names no dpi")
        return None
    if (round(x), round(y)) in _BLIND:
        said.append(f"the file says {x:.0f} dpi, which programs write when they do not know; it is not used")
        return None
    if abs(x / y - 1) > 0.001:
        said.append(f"the file says {x:g} dpi along x but {y:g} along y")
    return x, y


def _focus(picture: Image.Image) -> float | None:
    """The focal length of the picture's longer side, if the camera wrote it."""
    try:
        said = picture.getexif().get_ifd(_EXIF)
        on_film = float(said.get(_ON_FILM, 0))
    except (TypeError, ValueError, ZeroDivisionError, SyntaxError, OSError, KeyError):
        return None
    long, short = max(picture.size), min(picture.size)
    if not 8 <= on_film <= 800 or min(abs(long / short / frame - 1) for frame in _FRAMES) > _CUT:
        return None
    return on_film / _DIAGONAL * hypot(1.0, short / long)


def _light(picture: Image.Image, said: list[str]) -> Light:
    """In grey; in one colour if part and ground differ much more in that, which `said` then tells."""
    if picture.mode in ("I;16", "I;16B", "I;16L", "I"):
        grey = np.asarray(picture, dtype=np.float32)
        top = 65535.0 if grey.max() > 255 else 255.0
        return linear(grey / top)
    if picture.mode == "F":
        grey = np.asarray(picture, dtype=np.float32)
        return linear(np.clip(grey / max(float(grey.max()), 1e-9), 0.0, 1.0))
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        clear = picture.convert("RGBA")
        ground = Image.new("RGBA", clear.size, (255, 255, 255, 255))
        picture = Image.alpha_composite(ground, clear)
    if picture.mode not in ("L", "1"):
        channels = np.asarray(picture.convert("RGB"))
        table = linear(np.arange(256, dtype=np.float32) / 255.0)
        weights = np.array([0.2126, 0.7152, 0.0722], dtype=np.float32)  # ITU-R BT.709
        few = table[sampled(channels).reshape(-1, 3)]
        colour = distinct_colour(few @ weights, few)
        if colour is not None:
            number, name = colour
            said.append(f"part and ground differ in colour more than in lightness: only the {name} of it is used")
            return np.asarray(table[channels[..., number]])
        light: Light = sum(table[channels[..., n]] * weights[n] for n in range(3))
        return light
    table = linear(np.arange(256, dtype=np.float32) / 255.0)
    found: Light = table[np.asarray(picture.convert("L"))]
    return found


def linear(numbers: Light) -> Light:
    """IEC 61966-2-1 (sRGB) undone; from 0 to 1."""
    result: Light = np.where(numbers <= 0.04045, numbers / 12.92, ((numbers + 0.055) / 1.055) ** 2.4)
    return result.astype(np.float32)


def encoded(light: Light) -> Light:
    """As IEC 61966-2-1 (sRGB) writes linear light; from 0 to 1."""
    result: Light = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)
    return result.astype(np.float32)
