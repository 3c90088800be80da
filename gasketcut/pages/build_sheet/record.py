"""The build sheet as a PDF and as plain text, of the same sections."""

from __future__ import annotations

from gasketcut.pages.sections.pdf import sections_pdf
from gasketcut.pages.sections.section import Section
from gasketcut.pages.sections.text import sections_text
from gasketcut.profile.papers import Paper


def record_pdf(title: str, date: str, sections: tuple[Section, ...], paper: Paper) -> bytes:
    """The bytes of the file."""
    foot = f"{title}, {date}, on {paper.words}"
    return sections_pdf("Build sheet", f"{title}, {date}", sections, paper, title=f"{title}: build sheet", foot=foot)


def record_text(title: str, date: str, sections: tuple[Section, ...]) -> str:
    """The whole text, 80 columns."""
    return sections_text(f"BUILD SHEET\n{title}\n{date}", sections)
