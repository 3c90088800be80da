"""The target sheet as a PDF at full size."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from gasketcut.capture.scale.target import BAR, BARS, FREE, SIZE, dots
from gasketcut.length import PT
from gasketcut.output.proof.pages import prove_pages
from gasketcut.pages.fonts import BODY, BOLD, use_fonts
from gasketcut.profile.papers import Paper

_WORDS = (
    "Print at 100 %, on stiff paper or taped to a flat board. Measure both bars with calipers, from the same edge of",
    "each end line, and say so: gasketcut trace PHOTO --target --bars ALONGxACROSS. Lay the part flat in the middle,",
    "clear of dots and bars; photograph from straight above, 300 mm or more away, all dots in the picture, no flash.",
    "Say how thick the part is: --thickness. A scanner, where there is one, is better for thick parts.",
)


def target_pdf(paper: Paper) -> bytes:
    """The bytes; the same paper gives the same bytes."""
    use_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(paper.width * PT, paper.height * PT), invariant=1)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setTitle("Target for photographs")
    canvas.setCreator("gasketcut")
    canvas.translate((paper.width - SIZE[0]) / 2 * PT, (paper.height - SIZE[1]) / 2 * PT)
    for dot in dots():
        canvas.circle(dot.at[0] * PT, dot.at[1] * PT, dot.width / 2 * PT, stroke=0, fill=1)
    canvas.setLineWidth(0.2 * PT)
    for (x0, y0), (x1, y1) in BARS:
        canvas.line(x0 * PT, y0 * PT, x1 * PT, y1 * PT)
        for x, y in ((x0, y0), (x1, y1)):
            across = (0.0, 2.0) if y0 == y1 else (2.0, 0.0)
            canvas.line((x - across[0]) * PT, (y - across[1]) * PT, (x + across[0]) * PT, (y + across[1]) * PT)
    canvas.setFont(BOLD, 8)
    canvas.drawString(BARS[0][0][0] * PT, (BARS[0][0][1] - 5.5) * PT, f"along: {BAR:g} mm")
    canvas.saveState()
    canvas.translate((BARS[1][0][0] - 3.0) * PT, BARS[1][0][1] * PT)
    canvas.rotate(90)
    canvas.drawString(0, 0, f"across: {BAR:g} mm")
    canvas.restoreState()
    canvas.setFont(BODY, 5.2)
    for number, words in enumerate(_WORDS):
        canvas.drawString(22 * PT, (FREE[3] - 4.0 - 3.0 * number) * PT, words)
    canvas.showPage()
    canvas.save()
    prove_pages(stream.getvalue(), [(paper.width, paper.height)], "target")
    return stream.getvalue()
