"""The bytes of a DXF file as tags: which letters they stand for, and where each line begins."""

from __future__ import annotations

import re
from array import array

import numpy as np

from gasketcut.received.faults.flaw import Flaw, NotReadableError
from gasketcut.received.text.tag_text import TagText

_BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"  # the format's own first bytes, DXF reference
_OTHERS = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a zip archive"),
    (b"AC10", "a DWG; save it as DXF"),
    (b"<", "a web page or an SVG"),
    (b"{", "JSON"),
)
_CODEPAGES = {"ANSI_932": "cp932", "ANSI_936": "gbk", "ANSI_949": "cp949", "ANSI_950": "big5", "DOS932": "cp932"}
_MOST_CODE = 32_767  # DXF reference knows none above 1071
_BLOCK = 1_000_000  # bytes that are split into lines at once: the lines of a whole file weigh ten times the file


def tag_text(data: bytes, flaws: list[Flaw]) -> TagText:
    """The file's tags, and what is wrong with its letters and lines; raise `NotReadableError` for what is no DXF."""
    if data.startswith(_BINARY):
        flaws.append(Flaw("binary", None, "binary DXF", "save it as text (ASCII) DXF"))
        return TagText.of(*_binary(data))
    data, encoding = _decodable(data, flaws)
    if b"\n" not in data and b"\r" in data:
        flaws.append(Flaw("line-ends", None, "lines end in CR alone", "save it with CR LF"))
        data = data.replace(b"\r", b"\n")
    return _split(data.rstrip(), encoding, flaws)


def _binary(data: bytes) -> tuple[list[int], list[str]]:
    from ezdxf.lldxf.tagger import binary_tags_loader

    codes, values = [], []
    try:
        for tag in binary_tags_loader(data):
            codes.append(int(tag.code))
            values.append(str(tag.value))
    except Exception as error:  # the library raises whatever its own reading of the bytes ends in
        if not codes:
            raise NotReadableError("is a binary DXF that cannot be read") from error
    return codes, values


def _decodable(data: bytes, flaws: list[Flaw]) -> tuple[bytes, str]:
    """The bytes without marks, and the encoding in which each line can be read by itself."""
    if not data.strip():
        raise NotReadableError("is empty")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        flaws.append(Flaw("encoding", None, "the file is UTF-16", "save it as plain DXF"))
        return data.decode("utf-16", errors="replace").encode("utf-8", errors="replace"), "utf-8"
    if data.startswith(b"\xef\xbb\xbf"):
        flaws.append(Flaw("bom", None, "begins with a byte order mark", "save it without one"))
        data = data[3:]
    start = data[:1000].lstrip() or data.lstrip()
    for magic, what in _OTHERS:
        if start.startswith(magic):
            raise NotReadableError(f"is no DXF but {what}")
    if data.isascii():
        return data, "ascii"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        page = re.search(rb"\$DWGCODEPAGE\s+3\s+(\S+)", data[:20_000])
        name = page[1].decode("ascii", "replace").upper() if page else ""
        return data, _CODEPAGES.get(name, "cp1252")
    declared = re.search(rb"AC(10\d\d)", data[:2000])
    if declared and int(declared[1]) < 1021:  # UTF-8 from R2007 on, a code page before
        flaws.append(Flaw("encoding", None, "is UTF-8, which its version does not know", "keep names to plain letters"))
    return data, "utf-8"


def _split(data: bytes, encoding: str, flaws: list[Flaw]) -> TagText:
    """Two lines a tag; what follows a line that is no group code is not read."""
    codes, places = array("h"), array("I")
    at = 0
    while at < len(data):
        end = _line_end(data, at + _BLOCK)
        lines = data[at:end].split(b"\n")
        if len(lines) % 2 and end < len(data):  # a tag is not cut in two
            end = _line_end(data, end + 1)
            lines = data[at:end].split(b"\n")
        starts = at + np.concatenate([[0], np.cumsum(np.fromiter(map(len, lines), np.int64, len(lines)) + 1)])[::2]
        found = _codes(lines[0::2])
        bad = len(found) < len(lines[0::2])
        if bad:
            number = len(codes) + len(found)
            if number == 0:
                raise NotReadableError("is no DXF: its first line is no group code")
            name = lines[2 * len(found)].decode(encoding, "replace").strip()[:20]
            text = f"line {2 * number + 1} holds {name!r} where a group code belongs"
            flaws.append(Flaw("damaged", None, f"{text}; what follows is not read", "ask for the file again"))
        elif len(lines) % 2:  # the last code has no value
            found.pop()
        codes.extend(found)
        places.extend(starts[: len(found)].tolist())
        at = int(starts[len(found)]) if len(found) < len(starts) else end + 1
        if bad:
            break
        at = end + 1
    places.append(min(at, len(data) + 1))
    return TagText(data, encoding, codes, places)


def _line_end(data: bytes, at: int) -> int:
    end = data.find(b"\n", at)
    return end if end >= 0 else len(data)


def _codes(names: list[bytes]) -> array[int]:
    """Up to the first that is no number."""
    try:
        return array("h", map(int, names))
    except (ValueError, OverflowError):
        found = array("h")
        for name in names:
            try:
                found.append(max(-_MOST_CODE, min(_MOST_CODE, int(name))))
            except ValueError:
                break
        return found
