"""What a file is by its first bytes, where it is no picture that we read as it stands, and what to do instead.

Source of the marks: each format's own description (ISO/IEC 14496-12 for those with `ftyp`, TIFF 6.0, ISO/IEC 18181-2).
"""

from __future__ import annotations

_HEIC = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
RAW = "is a camera's raw picture; save it as JPEG or TIFF in the camera's program"
_DRAWING = "is a drawing, no picture"

_BEGINNINGS = (
    (b"%!PS", "is PostScript; print it to a PDF"),
    (b"\xff\x0a", "is JPEG XL; save it as PNG or JPEG"),
    (b"\x00\x00\x00\x0cJXL ", "is JPEG XL; save it as PNG or JPEG"),
    (b"8BPS", "is a picture in layers; flatten it and save it as PNG or TIFF"),
    (b"gimp xcf", "is a picture in layers; export it as PNG or TIFF"),
    (b"AT&TFORM", "is DjVu; save the page as PNG with its dpi"),
    (b"FUJIFILMCCD-RAW", RAW),
    (b"IIU\x00", RAW),
    (b"IIRO", RAW),
    (b"MMOR", RAW),
    (b"PK\x03\x04", "is an archive or a document of an office program; take the picture out of it"),
    (b"\xd0\xcf\x11\xe0", "is a document of an office program; take the picture out of it"),
    (b"{\\rtf", "is a text document; take the picture out of it"),
)

_FILM = (b"qt  ", b"isom", b"iso2", b"mp41", b"mp42", b"M4V ", b"3gp4", b"3gp5")


class UnusableError(Exception):
    """What is wrong with a file and what to do; for the end of `name: ...`."""


def is_pdf(data: bytes) -> bool:
    """Within the first kilobyte, as some programs write something before it."""
    return b"%PDF-" in data[:1024]


def is_heic(data: bytes) -> bool:
    """A telephone's own form, by its brand."""
    return data[4:8] == b"ftyp" and data[8:12] in _HEIC


def otherwise(data: bytes) -> str:
    """What is wrong with a file that could not be opened, and what to do; for the end of `name: ...`."""
    for beginning, words in _BEGINNINGS:
        if data.startswith(beginning):
            return words
    if data[:4] in (b"II*\x00", b"MM\x00*"):
        return "is a TIFF that cannot be read; save it again without compression, or as PNG"
    if is_heic(data):
        return "is HEIC that cannot be read; save it as JPEG"
    if data[4:8] == b"ftyp":
        if data[8:12] == b"crx ":
            return RAW
        if data[8:12] in _FILM:
            return "is a film; take a photograph, or save one picture of it as PNG"
        if data[8:12] in (b"avif", b"avis"):
            return "is AVIF, which this computer's Pillow cannot read; save it as JPEG or PNG"
    start = data[:1024].lstrip(b"\xef\xbb\xbf \r\n\t")
    if b"<svg" in start:
        return f"{_DRAWING}; save it as PNG with its dpi"
    if (start.startswith(b"0") and b"SECTION" in start) or start.startswith(b"AutoCAD Binary DXF"):
        return f"{_DRAWING}; gasketcut inspect looks at DXF files"
    if not data:
        return "is empty"
    return "is no picture (PNG, JPEG, TIFF, WebP, HEIC, AVIF, BMP or GIF), and no PDF"


def is_raw(tags: object) -> bool:
    """Whether the tags of a TIFF say that it is a camera's raw picture, of which only a small preview would be seen."""
    return any(tag in tags for tag in (50706, 50740, 33421))  # type: ignore[operator]  # DNG version, private data, CFA
