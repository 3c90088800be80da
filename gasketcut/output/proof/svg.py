"""Proof of our own SVG: a reader of exactly what is written (M, L, A and Z with six decimals, and circles)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import asin, hypot, tan
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import numpy as np

from gasketcut.arrays import Array
from gasketcut.cutting.path.stroke import Stroke
from gasketcut.errors import ReadBackError
from gasketcut.output.picture import BESIDE
from gasketcut.output.proof.lines import divided, prove_lines, round_of
from gasketcut.output.svg import MARGIN
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Segment
from gasketcut.tolerances import READ_BACK

_SPACE = "{http://www.w3.org/2000/svg}"
_NUMBER = r"-?\d+\.\d{6}"
_PLACE = rf"{_NUMBER} {_NUMBER}"
_PATH = re.compile(rf"M{_PLACE}(?: (?:L{_PLACE}|A({_NUMBER}) \1 0 0 [01] {_PLACE}))+(?: Z)?")
_STEP = re.compile(rf"([MLAZ])(?:({_NUMBER}) ({_NUMBER}) 0 0 ([01]) )?(?:({_NUMBER}) ({_NUMBER}))?")
_FIGURE = re.compile(_NUMBER)
_LENGTH = re.compile(r"(\d+\.\d+)mm")
_GROUP = {"id", "fill", "stroke", "stroke-width", "stroke-dasharray"}
_ROUNDED = 1e-5  # mm: ten times the last digit written


@dataclass(frozen=True, slots=True)
class Read:
    """Width and height [mm], and layer and line of each stroke, in mm from the lower left corner, y up."""

    size: Point
    lines: tuple[tuple[str, Array], ...]


def prove_svg(data: bytes, strokes: Sequence[Stroke], name: str, at: Point | None = None) -> None:
    """Every stroke stands in the group of its layer, in its turn, where it should, and a unit is a millimetre.

    at : how far the strokes' origin lies right of and below the upper left corner [mm]; None: as on a part's own file,
         whose edge is MARGIN off the strokes all round

    Raise `ReadBackError` if a stroke is missing, lies in another group or strays by more than READ_BACK, and for
    anything that this program does not write: it would be cut too.
    """
    read = read_svg(data, name)
    wanted = [
        (layer, round_of(stroke.circle) if stroke.circle else divided(stroke.segments))
        for layer in dict.fromkeys(stroke.layer for stroke in strokes)
        for stroke in strokes
        if stroke.layer == layer
    ]
    everything = np.vstack([line for _, line in wanted])
    low, high = everything.min(axis=0), everything.max(axis=0)
    if at is None:
        at = (MARGIN - float(low[0]), float(high[1]) + MARGIN)
        size = high - low + 2 * MARGIN
        if np.max(np.abs(size - read.size)) > READ_BACK:
            raise ReadBackError(f"{name}: the SVG is {_words(read.size)} mm large, its strokes ask for {_words(size)}")
    # Rows that go down the page were turned up by the reader; one shift is left.
    shift = np.array((at[0], read.size[1] - at[1]))
    prove_lines(read.lines, [(layer, line + shift) for layer, line in wanted], name)


def prove_size(data: bytes, size: Point, name: str) -> None:
    """A picture's width and height are those asked for [mm], to the hundredth that is written, one unit a millimetre.

    What is on it is not compared: nothing is cut by it. Raise `ReadBackError` otherwise.
    """
    found = _size(_root(data, name), name)
    if max(abs(one - other) for one, other in zip(found, size, strict=True)) > 0.005 + _ROUNDED:
        raise ReadBackError(f"{name}: the SVG is {_words(found)} mm large, asked for was {_words(size)}")


def read_svg(data: bytes, name: str) -> Read:
    """The strokes of a file of ours; what lies in the group of a picture beside them is passed over.

    Raise `ReadBackError` for anything else than is written.
    """
    root = _root(data, name)
    width, height = _size(root, name)
    lines: list[tuple[str, Array]] = []
    for child in root:
        tag, layer = child.tag.removeprefix(_SPACE), child.get("id", "")
        if tag in ("title", "desc") or (tag, layer) == ("g", BESIDE):
            continue
        if tag != "g" or not set(child.attrib) <= _GROUP or any(layer == other for other, _ in lines):
            raise _unknown(name, child)
        lines += [(layer, _line(shape, name) * (1, -1) + (0, height)) for shape in child]
    return Read((width, height), tuple(lines))


def _root(data: bytes, name: str) -> Element:
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        raise ReadBackError(f"{name}: the SVG written cannot be read ({error})") from error
    if root.tag != f"{_SPACE}svg" or not set(root.attrib) <= {"width", "height", "viewBox", "font-family"}:
        raise _unknown(name, root)
    return root


def _size(root: Element, name: str) -> Point:
    """Width and height; raise `ReadBackError` if a unit is no millimetre."""
    found = [_LENGTH.fullmatch(root.get(side, "")) for side in ("width", "height")]
    sides = [one[1] for one in found if one]
    if len(sides) != 2 or root.get("viewBox") != f"0 0 {sides[0]} {sides[1]}":
        raise ReadBackError(f"{name}: a unit of the SVG is no millimetre; this is a fault of the program")
    return float(sides[0]), float(sides[1])


def _line(shape: Element, name: str) -> Array:
    """Points along it, y down as they stand there."""
    tag, given = shape.tag.removeprefix(_SPACE), shape.attrib
    if tag == "circle" and set(given) == {"cx", "cy", "r"} and all(map(_FIGURE.fullmatch, given.values())):
        circle = Circle((float(given["cx"]), -float(given["cy"])), float(given["r"]))
        return round_of(circle) * (1, -1)  # the same way round as any other once it is turned up
    if tag == "path" and set(given) == {"d"} and not len(shape):
        segments = list(_segments(given["d"], name))
        if segments:
            return divided(segments)
    raise _unknown(name, shape)


def _segments(steps: str, name: str) -> Iterator[Segment]:
    """Lines and arcs along one path: M, then L and A, and Z at the end of a closed one."""
    if not _PATH.fullmatch(steps):
        raise ReadBackError(f"{name}: the SVG holds a path that is not understood: {steps[:40]}")
    start = here = (0.0, 0.0)
    for step in _STEP.finditer(steps):
        letter, before = step[1], here
        here = start if letter == "Z" else (float(step[5]), float(step[6]))
        if letter == "M":
            start = here
        elif here != before:
            yield Segment(before, here, _bulge(step, hypot(here[0] - before[0], here[1] - before[1])))


def _bulge(step: re.Match[str], chord: float) -> float:
    """Of an arc that turns at most half a circle; source: SVG 1.1, F.6, a radius too small is as large as need be."""
    if step[1] != "A":
        return 0.0
    bulge = tan(asin(min(1.0, chord / (2 * float(step[2])))) / 2) if float(step[2]) > 0 else 0.0
    return bulge if step[4] == "1" else -bulge


def _unknown(name: str, found: Element) -> ReadBackError:
    words = " ".join(
        [found.tag.removeprefix(_SPACE), *(f'{key}="{value[:30]}"' for key, value in found.attrib.items())]
    )
    return ReadBackError(f"{name}: the SVG holds <{words}>, which is not written here; this is a fault of the program")


def _words(size: Sequence[float]) -> str:
    return f"{size[0]:.3f} x {size[1]:.3f}"
