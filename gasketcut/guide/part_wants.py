"""What is still to be said or measured of a part that is drawn already, a traced one above all, before it is proven."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from gasketcut.errors import GasketError
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.part_result import PartResult
from gasketcut.guide.answers import saying
from gasketcut.guide.draft import Draft, list_of
from gasketcut.guide.typed import AnswerError
from gasketcut.job.reading.part_section import without_metal
from gasketcut.length import parse_length
from gasketcut.plane import Point
from gasketcut.verdict import Verdict

_OTHERS = ("port", "studs")
"""What a verdict says is missing that is no passage."""

_HOW = (
    "calipers: a diameter, or width x height, or width x height corner radius; it is taken to lie as the sheet's does"
)

_SIZE = re.compile(r"\s*([^x]+?)\s*(?:x\s*([^x]+?)\s*(?:corner\s+(.+?)\s*)?)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PartWant:
    """One thing of the part of that name; `passages` that nobody spoke of, or the window of a `role` by `number` among
    those without metal, or a port `named` so in the middle of the opening, whose turn is not known if `is_turned`."""

    part: str
    ask: str
    how: str
    passages: tuple[str, ...] = ()
    role: Literal["port", "passage"] = "port"
    number: int = 0
    named: str = ""
    at: Point = (0.0, 0.0)
    turn: float = 0.0
    is_turned: bool = False


@dataclass(frozen=True, slots=True)
class PartStatus:
    """A part that can be made, what is proven of it, and what for want of which is not."""

    name: str
    verdict: Verdict
    unsaid: tuple[str, ...]


def part_statuses(evaluation: Evaluation) -> tuple[PartStatus, ...]:
    """Of every part but the base gasket, which has questions of its own."""
    return tuple(PartStatus(one.name, one.verdict, one.unsaid) for one in _parts(evaluation) if not one.spec.is_base)


def part_wants(evaluation: Evaluation) -> tuple[PartWant, ...]:
    """Passages first: who forgets one loses an engine."""
    return tuple(want for one in _parts(evaluation) for want in _wants(one))


def _parts(evaluation: Evaluation) -> tuple[PartResult, ...]:
    try:
        return tuple(evaluation.parts.values())
    except GasketError:
        return ()


def _wants(part: PartResult) -> Iterator[PartWant]:
    open_ = tuple(name for name in part.unsaid if name not in _OTHERS and not name.startswith("metal "))
    if open_ and not part.spec.is_base:
        ask = f"{part.name}: which of {', '.join(open_)} does this engine not have?"
        how = "look at the flange; write them with commas, or all. One that it has is drawn as [[part.passage]]"
        yield PartWant(part.name, ask, how, open_)
    numbers = {"port": 0, "passage": 0}
    for window in part.spec.unmeasured:
        ask = f"{part.name}, {window.role} '{window.name}': how large is it in the metal?"
        yield PartWant(part.name, ask, _HOW, role=window.role, number=numbers[window.role])
        numbers[window.role] += 1
    opening, names = part.spec.opening, part.spec.opening_is
    if "port" in part.unsaid and opening is not None and names:
        is_free = opening.shape.word == "points"
        left, low, right, high = opening.polygon().bounds if is_free else (*opening.at, *opening.at)
        ask = f"{part.name}, the {names[0]} port under its opening: how large is it in the metal?"
        middle = ((left + right) / 2, (low + high) / 2)
        yield PartWant(part.name, ask, _HOW, named=names[0], at=middle, turn=opening.turn, is_turned=is_free)


def with_part_answer(draft: Draft, want: PartWant, text: str) -> Draft:
    """The job with the answer; raise `AnswerError` if it is none, no part can be so, or it has no place in the file."""
    data = copy.deepcopy(draft.data)
    part: Any = next(one for one in list_of(data, "part") if one.get("name") == want.part)
    if want.passages:
        names = want.passages if text.strip() == "all" else tuple(one.strip() for one in text.split(",") if one.strip())
        if wrong := [name for name in names if name not in want.passages]:
            raise AnswerError(f"{wrong[0]!r} is none of them; write one or more of {', '.join(want.passages)}, or all")
        part["absent"] = [*part.get("absent", []), *names]
    elif want.named:
        part["port"] = [*list_of(part, "port"), _port(want, _shape(text, draft.units))]
    else:
        without_metal(part)[want.role][want.number]["shape"] = _shape(text, draft.units)
    return saying(draft, data)


def _port(want: PartWant, shape: dict[str, Any]) -> dict[str, Any]:
    if want.is_turned and "rectangle" in shape:
        draw = "draw it as [[part.port]] with at, turn and shape, or scan the flange"
        lay = "gasketcut trace FLANGE --into JOB --joint --face NAME lays it over the part"
        raise AnswerError(f"how it is turned is not known: {draw}; {lay}")
    x, y = (f"{value:.3f} mm" for value in want.at)
    turn = {"turn": f"{want.turn:g} deg"} if want.turn else {}
    return {"name": want.named, "at": [x, y], **turn, "shape": shape}


def _shape(text: str, units: str | None) -> dict[str, Any]:
    """
    >>> _shape("21 x 17 corner 4", "mm")
    {'rectangle': [21.0, 17.0], 'corner': 4.0}
    """
    found = _SIZE.fullmatch(text)
    if found is None:
        raise AnswerError(f"{text!r} is no size; write e.g. 6.0, or 21 x 17, or 21 x 17 corner 4")
    first, second, corner = (_length(one, units) if one else None for one in found.groups())
    if second is None:
        return {"round": first}
    return {"rectangle": [first, second], **({"corner": corner} if corner is not None else {})}


def _length(text: str, units: str | None) -> Any:
    """A bare number stays one where the job has a unit for it; else it carries its own."""
    is_bare = bool(re.fullmatch(r"\d+(\.\d+)?", text))
    try:
        value = parse_length(f"{text} {units or 'mm'}" if is_bare else text)
    except GasketError as error:
        raise AnswerError(str(error)) from error
    if not 0 < value < 200:
        raise AnswerError(f"{text!r} is no size of a port; check the number and its unit")
    return float(text) if is_bare and units else f"{text} mm" if is_bare else text
