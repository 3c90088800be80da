"""Make `output_examples/` anew: `python -m tests.regenerate`. Look at the difference before you keep it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2  # type: ignore[import-untyped]  # ships no types
from PIL import Image

from gasketcut import evaluate, read_job, render, save
from gasketcut.pages.charts.files import squish_files
from gasketcut.pages.charts.fit import fit_files
from gasketcut.pages.paper_files import stencil_pdf, wheel_pdf
from gasketcut.rendering.build_sheet import build_sheet_files

EXAMPLES = Path(__file__).parent.parent / "output_examples"
PICTURES = {
    "template": ("base-gasket.pdf", 0),
    "degree-wheel": ("paper/degree-wheel.pdf", 0),
    "port-stencil": ("paper/port-stencil.pdf", 0),
    "build-sheet": ("record/build-sheet.pdf", 0),
}
"""The pages that the README shows: file and page."""


def regenerate(folder: Path) -> None:
    """Write every example below the folder."""
    evaluation = evaluate(read_job("demo"))
    squish, title = evaluation.squish, evaluation.job.title
    assert squish is not None
    paper = {"degree-wheel.pdf": wheel_pdf(evaluation), "port-stencil.pdf": stencil_pdf(evaluation)}
    for name, files in (
        ("", render(evaluation)),
        ("squish", squish_files(squish, title)),
        ("fit", fit_files(evaluation.parts.values())),
        ("record", build_sheet_files(evaluation, date="2026-01-01")),
        ("paper", paper),
    ):
        save(files, folder / name, replace=True)


def page_picture(name: str, folder: Path) -> Image.Image:
    """One of `PICTURES` as a grey image, from the files in `folder`."""
    file, page = PICTURES[name]
    document = pypdfium2.PdfDocument(folder / file)
    pixels = np.asarray(document[page].render(scale=90 / 72, grayscale=True).to_numpy())
    document.close()
    return Image.fromarray(pixels.reshape(pixels.shape[:2]))


if __name__ == "__main__":
    regenerate(EXAMPLES)
    (EXAMPLES / "pictures").mkdir(exist_ok=True)
    for each in PICTURES:
        page_picture(each, EXAMPLES).quantize(16).save(EXAMPLES / "pictures" / f"{each}.png", optimize=True)
