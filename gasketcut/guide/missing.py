"""What a half-filled job can do already, what it cannot for want of what, and what to measure next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gasketcut.described import GASKET, KEY, OUTLET, OUTPUTS, PRESSURE, RING, SQUISH, STENCIL, TIMING, WHEEL
from gasketcut.errors import Fault, JobError
from gasketcut.guide.answers import is_answered
from gasketcut.guide.questions import QUESTIONS, Question
from gasketcut.job.reading.reader import parse_job

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
}


@dataclass(frozen=True, slots=True)
class Output:
    """Something a job can give: ready if nothing is `missing`; `better` with what it could say more with."""

    name: str
    command: str
    missing: tuple[Question, ...]
    better: tuple[Question, ...]


@dataclass(frozen=True, slots=True)
class Status:
    """`known` answers of all questions, every output, the question that helps most next, and what is wrong."""

    known: tuple[Question, ...]
    outputs: tuple[Output, ...]
    next: Question | None
    faults: tuple[Fault, ...]

    @property
    def ready(self) -> tuple[Output, ...]:
        return tuple(one for one in self.outputs if not one.missing)


def status_of(data: Mapping[str, Any], text: str, name: str) -> Status:
    """Of the job's TOML, as data and as the text that it came from."""
    known = tuple(question for question in QUESTIONS if _has(data, question))
    open_ = [question for question in QUESTIONS if question not in known]
    outputs = tuple(
        Output(
            each,
            COMMANDS[each],
            tuple(question for question in open_ if each in question.needed),
            tuple(question for question in open_ if each in question.helps),
        )
        for each in OUTPUTS
    )
    unready = [one for one in outputs if one.missing]
    # The output that lacks least comes first; among equals the order in which the engine comes apart decides.
    nearest = min(unready, key=lambda one: len(one.missing), default=None)
    following = nearest.missing[0] if nearest else next((one for one in open_ if one.helps), None)
    try:
        parse_job(text, Path(name))
        faults: tuple[Fault, ...] = ()
    except JobError as error:
        faults = tuple(fault for fault in error.faults if not _is_missing(fault))
    return Status(known, outputs, following, faults)


def _has(data: Mapping[str, Any], question: Question) -> bool:
    """Answered, or said in another way that serves as well."""
    if is_answered(data, question):
        return True
    path = question.path
    squish, engine = _inner(data, "squish"), _inner(data, "engine")
    if path[0] == "squish":
        if path[1] in ("left", "right"):
            readings = squish.get("readings")
            several = isinstance(readings, list) and len(readings) > 1
            return several or any(key in squish for key in ("measured", "deck", "protrusion"))
        return path[1] == "gasket_present" and any(key in squish for key in ("deck", "protrusion"))
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


def _is_missing(fault: Fault) -> bool:
    return "missing" in fault.message
