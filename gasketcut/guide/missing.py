"""What a half-filled job can do already, what it cannot for want of what, and what to measure next."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gasketcut.described import GASKET, KEY, OUTLET, OUTPUTS, PRESSURE, RING, SQUISH, STENCIL, TIMING, WAYS, WHEEL
from gasketcut.engine.topend.result import TopEndResult
from gasketcut.errors import Fault, GasketError, IncompleteError, JobError
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.finding import Finding
from gasketcut.guide.answers import is_answered
from gasketcut.guide.part_wants import PartStatus, PartWant, part_statuses, part_wants
from gasketcut.guide.questions import QUESTIONS, Question
from gasketcut.job.reading.reader import parse_job
from gasketcut.profile.profiles import read_profiles

COMMANDS = {
    SQUISH: "gasketcut squish",
    TIMING: "gasketcut squish",
    PRESSURE: "gasketcut record",
    WHEEL: "gasketcut wheel",
    STENCIL: "gasketcut stencil",
    GASKET: "gasketcut make",
    RING: "gasketcut record",
    KEY: "gasketcut record",
    OUTLET: "gasketcut record",
    WAYS: "gasketcut ways",
}


@dataclass(frozen=True, slots=True)
class Output:
    """Something a job can give: `ready` if its command gives it now.

    missing      keys that it wants, as the questions name them where there is one
    better       what it could say more with
    contradicts  why it cannot be had although nothing is missing
    """

    name: str
    command: str
    ready: bool
    missing: tuple[str, ...]
    better: tuple[Question, ...]
    contradicts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Status:
    """`known` answers of all questions, every output, the question that helps most next, what is wrong, what is
    possible and yet `unusual`; the parts that are drawn, and what they want to be proven."""

    known: tuple[Question, ...]
    outputs: tuple[Output, ...]
    next: Question | None
    faults: tuple[Fault, ...]
    unusual: tuple[Finding, ...] = ()
    parts: tuple[PartStatus, ...] = ()
    wants: tuple[PartWant, ...] = ()


def status_of(data: Mapping[str, Any], text: str, name: str) -> Status:
    """Of the job's TOML, as data and as the text that it came from. What is ready is found by working it out."""
    known = tuple(question for question in QUESTIONS if is_known(data, question))
    open_ = [question for question in QUESTIONS if question not in known]
    try:
        profiles = read_profiles(Path(name).parent)
        evaluation, faults = Evaluation(parse_job(text, Path(name), profiles), profiles), tuple[Fault, ...]()
    except JobError as error:
        evaluation, faults = None, tuple(fault for fault in error.faults if not fault.is_lack)
    # Nobody is asked for what he wants: ways are shown where [wanted] is begun.
    shown = [each for each in OUTPUTS if each != WAYS or "wanted" in data]
    outputs = tuple(_output(each, evaluation, faults, open_) for each in shown)
    unready = [one for one in outputs if not one.ready]
    # The output that lacks least comes first; among equals the order in which the engine comes apart decides.
    asked = {question.name for question in open_}
    nearest = min((one for one in unready if asked & set(one.missing)), key=lambda one: len(one.missing), default=None)
    following = next((one for one in open_ if nearest and one.name in nearest.missing), None)
    unusual = evaluation.unusual if evaluation is not None else ()
    following = following or next((one for one in open_ if one.helps), None)
    if evaluation is None:
        return Status(known, outputs, following, faults, unusual)
    return Status(known, outputs, following, faults, unusual, part_statuses(evaluation), part_wants(evaluation))


def _output(name: str, evaluation: Evaluation | None, faults: tuple[Fault, ...], open_: Sequence[Question]) -> Output:
    better = tuple(question for question in open_ if name in question.helps)
    ready, wants, contradicts = False, tuple[str, ...](), tuple(fault.text("line") for fault in faults)
    if evaluation is not None:
        try:
            ready = _PROBES[name](evaluation)
        except IncompleteError as error:
            wants = tuple(fault.wants for fault in error.faults)
        except GasketError as error:
            contradicts = tuple(str(error).splitlines())
    if ready:
        return Output(name, COMMANDS[name], True, (), better, ())
    asked = [question.name for question in open_ if {name, *_RESTS_ON.get(name, ())} & set(question.needed)]
    if not asked and not wants and not contradicts and evaluation is not None:
        wants = tuple(fault.wants for fault in evaluation.job.lacking())
    return Output(name, COMMANDS[name], False, tuple(dict.fromkeys((*asked, *wants))), better, contradicts)


def _has_base_gasket(evaluation: Evaluation) -> bool:
    evaluation.findings  # noqa: B018  what `make` says of all parts
    return any(result.spec.is_base for result in evaluation.parts.values())


def _has_timing(evaluation: Evaluation) -> bool:
    exhaust = evaluation.job.engine.port("exhaust") if evaluation.job.engine else None
    answer = evaluation.squish
    return answer is not None and exhaust is not None and exhaust.name in answer.before.ports


def _top_end(evaluation: Evaluation) -> TopEndResult:
    """As the build sheet has it: it says all that was found, too."""
    evaluation.findings  # noqa: B018
    return evaluation.topend


_RESTS_ON = {TIMING: (SQUISH,), WAYS: (SQUISH,)}
"""The same command gives both, or it goes by that answer."""

_PROBES: dict[str, Callable[[Evaluation], bool]] = {
    SQUISH: lambda evaluation: evaluation.squish is not None,
    TIMING: _has_timing,
    PRESSURE: lambda evaluation: _top_end(evaluation).pressure is not None,
    WHEEL: lambda evaluation: evaluation.events is not None,
    STENCIL: lambda evaluation: evaluation.wall is not None,
    GASKET: _has_base_gasket,
    RING: lambda evaluation: _top_end(evaluation).ring is not None,
    KEY: lambda evaluation: _top_end(evaluation).key is not None,
    OUTLET: lambda evaluation: _top_end(evaluation).muffler is not None,
    WAYS: lambda evaluation: evaluation.ways is not None,
}


def is_known(data: Mapping[str, Any], question: Question) -> bool:
    """Answered, or said in another way that serves as well."""
    if is_answered(data, question):
        return True
    path = question.path
    squish, engine = _inner(data, "squish"), _inner(data, "engine")
    if path[0] == "squish":
        if path[1] in ("left", "right"):
            readings = squish.get("readings")
            several = isinstance(readings, list) and len(readings) > 1
            summed = "deck" in engine and any(key in squish for key in ("head_gasket", "head_recess", "gasket_recess"))
            return several or summed or any(key in squish for key in ("measured", "deck", "protrusion"))
        return False
    if path[:2] == ("engine", "ports") and path[-1] == "opens":
        port = _inner(_inner(engine, "ports"), str(path[2]))
        return any(key in port for key in ("duration", "travel", "depth"))
    if path == ("engine", "gauge_psi"):
        return "gauge_bar" in engine or "gauge_kpa" in engine
    if path[0] == "outlet":
        return bool(_inner(data, "outlet").get("stage"))
    if path[0] == "part":
        return _has_part(data, path)
    return False


def _has_part(data: Mapping[str, Any], path: tuple[str | int, ...]) -> bool:
    """Any base gasket does, whatever its outline is made of."""
    parts = (
        [one for one in data.get("part", []) if isinstance(one, Mapping)] if isinstance(data.get("part"), list) else []
    )
    bases = [one for one in parts if one.get("kind") == "base"]
    if path[2] == "outline":
        return any(isinstance(one.get("outline"), Mapping) and "lobes" not in one["outline"] for one in bases)
    if path[2] == "studs":
        keys = ("at", "circle", "from") if path[3] == "at" else ("size", "diameter")
        return any(key in _first(one.get("studs")) for one in bases for key in keys)
    return any("opening" in one for one in bases)


def _first(value: Any) -> Mapping[str, Any]:
    if isinstance(value, list):
        value = value[0] if value else {}
    return value if isinstance(value, Mapping) else {}


def _inner(data: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    value = data.get(key)
    return value if isinstance(value, Mapping) else {}
