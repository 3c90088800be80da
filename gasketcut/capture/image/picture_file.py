"""A scanned picture as light: linear, from 0 to 1, with what its file says of its scale.

The half level between part and ground lies in linear light, not in the encoded numbers: at 300 dpi that is 0.045 mm on
every diameter.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from gasketcut.capture.image.shades import distinct_colour, sampled
from gasketcut.errors import GasketError
from gasketcut.outside import Source, bytes_of, name_of

Light = NDArray[np.float32]

MOST_PIXELS = 120_000_000
"""An A3 page at 600 dpi has 70 million. Our choice."""

_BLIND = {(72.0, 72.0), (96.0, 96.0)}  # what programs write when they do not know

_EXIF, _ON_FILM = 0x8769, 0xA405
"""Where a camera writes (Exif 2.32), and what: the focal length that shows as much on 35 mm film."""

_DIAGONAL = 43.27
"""mm, of a picture of 36 x 24 mm on film, which that number is referred to (CIPA DCG-001)."""


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


def read_scan(source: Source) -> Scan:
    """The picture upright and grey; raise `PictureError` with what to do instead, `GasketError` if there is no file."""
    data, name = bytes_of(source), name_of(source, "the picture")
    if data.startswith(b"%PDF"):
        raise PictureError(f"{name}: is a PDF; save the page as PNG with its dpi, e.g. from the scanner's program")
    if data[4:12] in (b"ftypheic", b"ftypheix", b"ftypmif1"):
        raise PictureError(f"{name}: is HEIC; save it as JPEG or PNG")
    before = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = None  # our own limit below has a message for the user
    try:
        picture = Image.open(io.BytesIO(data))
        width, height = picture.size
        if width * height > MOST_PIXELS:
            raise PictureError(
                f"{name}: has {width} x {height} pixels, more than {MOST_PIXELS // 10**6} million; "
                "scan at 300 dpi, or cut it to the part"
            )
        warnings = []
        if getattr(picture, "n_frames", 1) > 1:
            warnings.append("holds several pictures; only the first is used")
        dpi = _dpi(picture, warnings)
        focus = _focus(picture)
        turned = picture.getexif().get(0x0112, 1) in (5, 6, 7, 8)
        light = _light(ImageOps.exif_transpose(picture), warnings)
    except PictureError:
        raise
    except UnidentifiedImageError as error:
        raise PictureError(f"{name}: is no PNG, TIFF or JPEG") from error
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError) as error:
        raise PictureError(f"{name}: is damaged and cannot be read ({error})") from error
    finally:
        Image.MAX_IMAGE_PIXELS = before
    if dpi is not None and turned:
        dpi = dpi[::-1]
    if min(light.shape) < 20:
        raise PictureError(f"{name}: is only {light.shape[1]} x {light.shape[0]} pixels")
    return Scan(light, dpi, tuple(warnings), focus)


def _dpi(picture: Image.Image, warnings: list[str]) -> tuple[float, float] | None:
    given = picture.info.get("dpi")
    try:
        x, y = (float(number) for number in given) if given else (0.0, 0.0)
    except (TypeError, ValueError):
        x = y = 0.0
    if not (20 < x < 10_000 and 20 < y < 10_000):
        warnings.append("the file names no dpi")
        return None
    if (round(x), round(y)) in _BLIND:
        warnings.append(f"the file says {x:.0f} dpi, which programs write when they do not know; it is not used")
        return None
    if abs(x / y - 1) > 0.001:
        warnings.append(f"the file says {x:g} dpi along x but {y:g} along y")
    return x, y


def _focus(picture: Image.Image) -> float | None:
    """The focal length of the picture's longer side, if the camera wrote it."""
    try:
        said = picture.getexif().get_ifd(_EXIF)
        on_film = float(said.get(_ON_FILM, 0))
    except (TypeError, ValueError, ZeroDivisionError, SyntaxError, OSError, KeyError):
        return None
    if not 8 <= on_film <= 800:
        return None
    long, short = max(picture.size), min(picture.size)
    return on_film / _DIAGONAL * hypot(1.0, short / long)


def _light(picture: Image.Image, warnings: list[str]) -> Light:
    """In grey; in one colour if part and ground differ much more in that, which `warnings` then says."""
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
            warnings.append(f"part and ground differ in colour more than in lightness: only the {name} of it is used")
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
