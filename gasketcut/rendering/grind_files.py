"""The templates to grind by, as files in memory: `<part>-grind.pdf` and `.dxf`, numbered where two faces are ground."""

from __future__ import annotations

import numpy as np

from gasketcut.errors import ReadBackError
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.plates import Plate, plates_of
from gasketcut.finding import Finding
from gasketcut.length import Units
from gasketcut.output.dxf import Version
from gasketcut.output.grind_dxf import grind_dxf
from gasketcut.pages.grind.template import OLD_LINE, grind_unprintable, write_grind_template
from gasketcut.pages.paper import INSTEAD
from gasketcut.pages.printer import Correction
from gasketcut.profile.papers import Paper
from gasketcut.rendering.template_proof import prove_pdf
from gasketcut.tolerances import READ_BACK
from gasketcut.verdict import UNSAFE, Verdict


def grind_files(
    evaluation: Evaluation, name: str, version: Version, units: Units, paper: Paper, fix: Correction
) -> dict[str, bytes]:
    """Of one part or joint; empty where nothing is to be ground. Raise `ReadBackError` if one does not hold the plate;
    names say so where the part does not fit."""
    files: dict[str, bytes] = {}
    plates = plates_of(evaluation.grindings[name])
    result = evaluation.parts.get(name) or evaluation.joints[name]
    unsafe = UNSAFE if result.verdict is Verdict.DOES_NOT_FIT else ""
    for number, plate in enumerate(plates, 1):
        stem = f"{name}-grind" + (f"-{number}" if len(plates) > 1 else "") + unsafe
        files[f"{stem}.dxf"] = grind_dxf(plate, version, units)
        if grind_unprintable(plate, paper) is None:
            pdf = write_grind_template(plate, evaluation.job.title, evaluation.job.units, paper, fix)
            _prove(pdf, plate, paper, fix, stem)
            files[f"{stem}.pdf"] = pdf
    return files


def grind_unprinted(evaluation: Evaluation, paper: Paper) -> tuple[Finding, ...]:
    """A warning for each plate that is too large for the paper."""
    said = (
        (name, grind_unprintable(plate, paper))
        for name, ground in evaluation.grindings.items()
        for plate in plates_of(ground)
    )
    return tuple(
        Finding(
            rule="template", weight="warn", part=name, text=f"has no full-size template to grind by: {why}", do=INSTEAD
        )
        for name, why in said
        if why is not None
    )


def _prove(pdf: bytes, plate: Plate, paper: Paper, fix: Correction, name: str) -> None:
    """The lines to cut by and the old edges are there at full size, and lie to each other as they should."""
    cut = prove_pdf(pdf, plate.outline, paper, fix, name)
    old = prove_pdf(pdf, plate.old, paper, fix, name, OLD_LINE)
    if len(cut) != len(old) or np.abs(np.array(cut) - np.array(old)).max() > READ_BACK:
        raise ReadBackError(f"{name}: the old edge does not lie beside the new one as it should")
