"""The ways to what `[wanted]` says, of one evaluation."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from gasketcut.checks.assembly.stud_length import studs_with
from gasketcut.engine.ways.result import WaysResult, ways_of
from gasketcut.errors import Fault, IncompleteError, Lack

if TYPE_CHECKING:
    from gasketcut.evaluation.evaluation import Evaluation


def ways_to_wanted(evaluation: Evaluation) -> WaysResult | None:
    """None without `[wanted]`.

    Raise `IncompleteError` where something is lacking for it, `JobError` where it depends on what contradicts itself,
    or where the way that is named is none.
    """
    job = evaluation.job
    evaluation.require("squish")
    if lacking := job.lacking("wanted"):
        raise IncompleteError(job.called(), lacking)
    if job.wanted is None:
        return None
    if evaluation.squish is None:
        add = Lack("squish", "[wanted] needs [squish]: no cylinder is moved before its squish is known")
        raise IncompleteError(job.called(), (Fault(job.wanted.line, "", add),))
    found = ways_of(job, job.wanted, evaluation.squish, evaluation.profiles.squish.running)
    return _with_studs(found, evaluation)


def _with_studs(found: WaysResult, evaluation: Evaluation) -> WaysResult:
    """With what each way leaves of the studs that a base gasket says the length of; where they are too short, last."""
    spec = next((one for one in evaluation.job.parts if one.is_base and one.is_cut), None)
    if spec is None:
        return found
    fasteners = evaluation.profiles.fasteners
    judged = {
        way.name: replace(way, findings=(*way.findings, *studs_with(spec, way.state.fitted, fasteners)))
        for way in found.ways
    }
    chosen = judged[found.chosen.name] if found.chosen else None
    return replace(found, ways=tuple(sorted(judged.values(), key=lambda way: way.is_stopped)), chosen=chosen)


def chosen_way(evaluation: Evaluation) -> WaysResult | None:
    """The ways for whoever shows the chosen one; None where none is chosen, or what it rests on is not known."""
    wanted = evaluation.job.wanted
    if wanted is None or wanted.way is None or evaluation.known_squish is None:
        return None
    return None if evaluation.job.lacking("wanted") else evaluation.ways
