"""The demo's files written by hand: the same libraries, the same entities, nothing computed.

What the whole job is measured against. Usage: by_hand.py OUT
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

import click  # noqa: F401  imported because the job imports it
import ezdxf
import shapely  # noqa: F401  the same
from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

CIRCLES = [(6.5, 6.5, 2.75), (60.5, 6.5, 2.75), (60.5, 52.5, 2.75), (6.5, 52.5, 2.75)]
LOOP = [(float(x % 60), float(x // 2), 0.1) for x in range(22)]
PARTS = 4


def dxf(path: Path) -> None:
    document = ezdxf.new("R2000", units=4)
    space = document.modelspace()
    for layer in ("CUT-INSIDE", "CUT-OUTSIDE"):
        document.layers.add(layer)
    for x, y, r in CIRCLES:
        space.add_circle((x, y), r, dxfattribs={"layer": "CUT-INSIDE"})
    for layer in ("CUT-INSIDE", "CUT-OUTSIDE"):
        space.add_lwpolyline(LOOP, format="xyb", close=True, dxfattribs={"layer": layer})
    stream = io.StringIO()
    document.write(stream)
    path.write_text(stream.getvalue())


def svg(path: Path) -> None:
    circles = "".join(f'<circle cx="{x}" cy="{y}" r="{r}"/>' for x, y, r in CIRCLES)
    line = " ".join(f"{x:.4f} {y:.4f}" for x, y, _ in LOOP)
    path.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg">{circles}<path d="M{line} Z"/><path d="M{line} Z"/></svg>'
    )


def pdf(path: Path) -> None:
    canvas = Canvas(str(path), pagesize=A4, invariant=1)
    for font in ("Vera", "VeraBd"):
        canvas.setFont(font, 9)
        for row in range(4):
            canvas.drawString(30, 700 + 12 * row, "Sheet: can sheet, 0.10 mm (0.004 in). Cut 1. This face up.")
    for x, y, r in CIRCLES:
        canvas.circle(100 + x, 300 + y, r)
    for _ in range(2):
        shape = canvas.beginPath()
        shape.moveTo(100, 300)
        for x, y, _ in LOOP:
            shape.curveTo(100 + x, 300 + y, 101 + x, 301 + y, 102 + x, 302 + y)
        canvas.drawPath(shape)
    canvas.showPage()
    canvas.save()


def main() -> None:
    out = Path(sys.argv[1])
    out.mkdir(parents=True, exist_ok=True)
    for font in ("Vera", "VeraBd"):
        pdfmetrics.registerFont(TTFont(font, f"{font}.ttf"))
    for number in range(PARTS):
        dxf(out / f"{number}.dxf")
        svg(out / f"{number}.svg")
        pdf(out / f"{number}.pdf")
    (out / "report.json").write_text("{}")


if __name__ == "__main__":
    main()
