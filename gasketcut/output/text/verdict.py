"""The verdict for a person: the word, which parts it concerns, and what it means for them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping

from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.part_result import JointResult, PartResult
from gasketcut.finding import has_stop
from gasketcut.output.text.finding import WIDTH
from gasketcut.verdict import Verdict

_SHOWN = {
    Verdict.FITS: "FITS",
    Verdict.FITS_AS_DRAWN: "FITS AS DRAWN",
    Verdict.NOT_PROVEN: "NOT PROVEN",
    Verdict.DOES_NOT_FIT: "DOES NOT FIT",
}


def verdict_text(evaluation: Evaluation) -> str:
    """One sentence; where something was not said, what."""
    verdict = evaluation.verdict
    named = ", ".join(_named(evaluation, verdict))
    words = {
        Verdict.FITS: "nothing hangs into a port, wherever the studs let it move"
        if any(result.clear_mm is not None for result in evaluation.parts.values())
        else "nothing was found that speaks against it",
        Verdict.FITS_AS_DRAWN: f"can shift into a port: {named}",
        Verdict.NOT_PROVEN: f"not everything was said of {named}",
        Verdict.DOES_NOT_FIT: named or "job",
    }
    return textwrap.fill(f"{_SHOWN[verdict]}: {words[verdict]}.", WIDTH, subsequent_indent="  ")


def _named(evaluation: Evaluation, verdict: Verdict) -> Iterable[str]:
    results: Mapping[str, PartResult | JointResult] = {**evaluation.parts, **evaluation.joints}
    for name, result in results.items():
        if result.verdict is verdict:
            missing = ", ".join(result.unsaid) if isinstance(result, PartResult) else ""
            yield f"{name} ({missing})" if verdict is Verdict.NOT_PROVEN and missing else name
    if verdict is Verdict.DOES_NOT_FIT and has_stop(one for one in evaluation.findings if one.part not in results):
        yield "job"
