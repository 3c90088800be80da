"""When the ports are open now and on each way, a ring of rings below the other, with what is done and what it gives."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping

from gasketcut.engine.ports.timing import Timing
from gasketcut.engine.ways.result import WaysResult
from gasketcut.engine.ways.way import Way
from gasketcut.output.picture import Picture, arc, as_svg
from gasketcut.output.proof.svg import prove_size
from gasketcut.output.text.ways import NAMES, deed_sentence, figure_text, missed_words
from gasketcut.pages.charts.files import picture_page

TALLEST = 254.0
"""mm: as many ways are drawn as fit below the title of a page."""

_WIDTH, _LEAST, _OUTER = 170.0, 47.0, 19.0
_LETTERS = 74  # that fit beside the rings
_PORT, _LINE, _HEAD = 3.6, 3.4, 9.0  # mm from row to row, and above them


def ways_files(result: WaysResult, title: str) -> dict[str, bytes]:
    """`ways.svg` and `ways.pdf`."""
    picture = ways_picture(result)
    files = {"ways.svg": as_svg(picture), "ways.pdf": picture_page([picture], title, "ways")}
    prove_size(files["ways.svg"], (picture.width, picture.height), "ways")
    return files


def ways_picture(result: WaysResult) -> Picture:
    """The engine as it stands on top."""
    ports = result.now.ports
    rows = [("now", ports, _broken([_figures(result.reached_now)]))]
    rows += [
        (f"{number}. {way.name}", way.state.ports, _broken(_lines(way))) for number, way in enumerate(result.ways, 1)
    ]
    heights = [max(_LEAST, _HEAD + _PORT * len(ports) + _LINE * len(lines)) for _, _, lines in rows]
    while len(heights) > 2 and sum(heights) > TALLEST - 10:
        heights.pop()
    height = 10.0 + sum(heights)
    picture = Picture(_WIDTH, height, "Ways to what is wanted", result.units)
    picture.words(
        (2, height - 6), "When the ports are open: now dashed, on each way solid, outermost ring first", 10, bold=True
    )
    top = height - 10.0
    for (name, opened, lines), tall in zip(rows, heights, strict=False):
        if name != "now":
            picture.line((2, top), (_WIDTH - 2, top), width=0.15, grey=0.6)
        _row(picture, top - _LEAST / 2, name, opened, ports if name != "now" else {}, lines)
        top -= tall
    return picture


def _lines(way: Way) -> list[str]:
    found = [f"{number}) {deed_sentence(deed)}" for number, deed in enumerate(way.deeds, 1)]
    found.append(_figures(way.reached))
    words = "; ".join(missed_words(way))
    found.append(f"misses {words}" if words else "meets all that is wanted")
    return found + [f"STOP: {one.text}" for one in way.findings if one.weight == "stop"]


def _figures(reached: Mapping[str, float]) -> str:
    shown = ("squish_mm", "blowdown_deg", "trapped", "cranking_psi")
    return ", ".join(f"{NAMES[one]} {figure_text(one, reached[one])}" for one in shown if one in reached)


def _row(
    picture: Picture, y: float, name: str, ports: Mapping[str, Timing], before: Mapping[str, Timing], lines: list[str]
) -> None:
    center = (26.0, y)
    picture.line(*arc(center, _OUTER, 0, 360), width=0.2)
    for turn in range(0, 360, 30):
        picture.line(arc(center, _OUTER, turn, turn)[0], arc(center, _OUTER - 1.5, turn, turn)[0], width=0.15)
    picture.words((center[0], y + _OUTER + 1.0), "TDC", 6, "middle", bold=True)
    ring = min(4.0, 14.0 / max(len(ports), 1))
    top = y + _OUTER - 1.0
    picture.words((54, top), name, 8.5, bold=True)
    for number, (port, timing) in enumerate(ports.items()):
        radius = _OUTER - 3.0 - ring * number
        if port in before:
            _open(picture, before[port], center, radius + 0.9, 0.3, (1.0, 0.7))
        _open(picture, timing, center, radius, 0.9, ())
        was = f" (now {before[port].duration:.1f})" if port in before else ""
        side = "after" if timing.by_crown else "before"
        text = f"{port}: opens {timing.opens:.1f} deg {side} TDC, open for {timing.duration:.1f} deg{was}"
        picture.words((54, top - 4.5 - 3.6 * number), text, 7)
    low = top - 5.5 - 3.6 * len(ports)
    for number, line in enumerate(lines):
        picture.words((54, low - 3.4 * number), line, 6.5)


def _broken(texts: list[str]) -> list[str]:
    return [line for text in texts for line in textwrap.wrap(text, _LETTERS, subsequent_indent="   ")]


def _open(
    picture: Picture,
    timing: Timing,
    center: tuple[float, float],
    radius: float,
    width: float,
    dash: tuple[float, ...],
) -> None:
    half = timing.duration / 2
    first, last = (180 - half, 180 + half) if timing.by_crown else (-half, half)
    picture.line(*arc(center, radius, first, last), width=width, dash=dash)
