"""The reply to a customer, and the picture of what was found, as files; what they are is said by the name's ending."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from textwrap import fill

from gasketcut.output.picture import Picture, as_svg
from gasketcut.output.proof.svg import prove_size
from gasketcut.output.text.finding import WIDTH
from gasketcut.outside import shown
from gasketcut.pages.charts.files import by_ending
from gasketcut.pages.columns import paragraph
from gasketcut.pages.fonts import in_print
from gasketcut.pages.reply.drawing import drawing_of
from gasketcut.pages.reply.items import Item, items_of
from gasketcut.pages.reply.reply import heading_of, lead_of, received_section, sections_of
from gasketcut.pages.sections.pdf import sections_pdf
from gasketcut.pages.sections.section import Section
from gasketcut.pages.sections.text import sections_text
from gasketcut.profile.papers import Paper
from gasketcut.received.inspection import Inspection

Maker = Callable[[Inspection, str], bytes]
_PAPER = Paper("A4", 210.0, 297.0)
_WIDTH, _TALLEST, _TALLEST_IN_REPLY = 180.0, 160.0, 105.0


def reply_maker(name: Path) -> Maker:
    """Of the ending of the name, `.pdf` or `.txt`; raise `GasketError` for another."""
    return by_ending(name, "--reply", {".pdf": reply_pdf, ".txt": reply_text})


def picture_maker(name: Path) -> Maker:
    """Of the ending of the name, `.svg` or `.pdf`; raise `GasketError` for another."""
    return by_ending(name, "--picture", {".svg": picture_svg, ".pdf": picture_pdf})


def reply_pdf(found: Inspection, file: str) -> bytes:
    """One page, or two or three where there is much to ask."""
    items, heading = items_of(found), heading_of(file)
    drawn = _drawn(found, items, _TALLEST_IN_REPLY)
    parts: list[Section | Picture] = [received_section(found, file), *drawn, *sections_of(found, items)]
    lead = f"{lead_of(found, items)}{_unprinted(heading)}"
    return sections_pdf(heading, lead, parts, _PAPER, title=heading, foot=heading)


def reply_text(found: Inspection, file: str) -> bytes:
    """The same words, with the places of the numbers in place of the picture."""
    items = items_of(found)
    sections = [received_section(found, file), *sections_of(found, items)]
    if any(item.places for item in items):
        places = [place for item in items for place in item.places]
        rows = tuple(f"{one.number:>3}  at ({one.at[0]:.3f}, {one.at[1]:.3f})" for one in places)
        sections.append(Section(heading="Where the places are, in the numbers of your file", lines=rows))
    lead = fill(lead_of(found, items), WIDTH)
    return sections_text(f"{heading_of(file)}\n{lead}", sections).encode()


def picture_svg(found: Inspection, file: str) -> bytes:
    """A page wide, not to scale; a list of what was found below."""
    items = items_of(found)
    rows, drawn = _rows(items), _drawn(found, items, _TALLEST)
    below = 12.0 + sum(one.height + 3.0 for one in drawn)
    tall = below + paragraphs(Picture(_WIDTH, 1.0, ""), rows, 0.0) + 4.0
    picture = Picture(_WIDTH, tall, f"{file}: what was found")
    picture.words((4.0, tall - 8.0), f"{file}: {found.verdict}", 10, bold=True)
    for one in drawn:
        one.onto(picture, (0.0, tall - 12.0 - one.height))
    paragraphs(picture, rows, tall - below)
    data = as_svg(picture)
    prove_size(data, (picture.width, picture.height), shown(file))
    return data


def picture_pdf(found: Inspection, file: str) -> bytes:
    """The same on paper."""
    items, name = items_of(found), shown(file)
    title, lead = f"{name}: what was found", f"verdict: {found.verdict}.{_unprinted(name)}"
    words = Section(heading="What was found", lines=tuple(_rows(items)))
    return sections_pdf(name, lead, [*_drawn(found, items, _TALLEST), words], _PAPER, title=title, foot=title)


def _drawn(found: Inspection, items: tuple[Item, ...], tallest: float) -> list[Picture]:
    """None where there is no line to draw."""
    return [drawing_of(found, items, _WIDTH, tallest)] if found.closed or found.open else []


def paragraphs(picture: Picture, rows: list[str], top: float) -> float:
    """Each row wrapped to the width, from the top down; return the height taken [mm]."""
    taken = 0.0
    for row in rows:
        taken += paragraph(picture, (4.0, top - taken), row, _WIDTH - 8.0, 7.5) + 0.8
    return taken


def _rows(items: tuple[Item, ...]) -> list[str]:
    """In a cutter's words: each place with its number, what has no place, and how many are not shown."""
    rows = []
    for item in items:
        rows += [
            f"{place.number}   {item.kind} at ({place.at[0]:.3f}, {place.at[1]:.3f}): {place.text}"
            for place in item.places
        ]
        rest = item.texts[len(item.places) :]
        if not item.places:
            rows += [f"-   {item.kind}: {text}" for text in rest[:3]]
            rest = rest[3:]
        if rest:
            rows.append(f"-   {item.kind}: {len(rest)} more")
    return rows or ["Nothing was found that a cutter would stumble over."]


def _unprinted(name: str) -> str:
    return "" if in_print(name) == name else " (A ? stands for a letter that this page cannot print.)"
