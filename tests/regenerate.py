"""Make `output_examples/` anew: `python -m tests.regenerate`. Look at the difference before you keep it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2  # type: ignore[import-untyped]  # ships no types
from PIL import Image

from gasketcut import Options, make, read_job
from gasketcut.engine.squish.result import squish_result_of
from gasketcut.flow import fit, record
from gasketcut.pages.charts.files import write_squish
from gasketcut.pages.charts.fit import write_fit
from gasketcut.pages.paper_files import stencil_pdf, wheel_pdf, write_pdf
from gasketcut.profile.profiles import read_profiles

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
    job = read_job("demo")
    make(job, folder, Options(replace=True))
    answer = squish_result_of(job)
    if answer is not None:
        write_squish(answer, job.title, folder / "squish", replace=True)
    parts, findings = fit(job)
    write_fit(job, parts, findings, folder / "fit", replace=True)
    record(job, folder / "record", date="2026-01-01", replace=True)
    paper = read_profiles().papers.paper("a4")
    (folder / "paper").mkdir(exist_ok=True)
    write_pdf(wheel_pdf(job, answer, paper), folder / "paper" / "degree-wheel.pdf", replace=True)
    write_pdf(stencil_pdf(job, answer, paper), folder / "paper" / "port-stencil.pdf", replace=True)


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
