"""Numbers of a job that can be and yet are seldom met, so that a slip of the unit or of the point is seen.

Asked    a number of the job beside the range that its key calls usual.
numbers  every number whose key says what is usual by itself.
unusual  the question to ask; a job answers it by `sure = ["engine.bore"]`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, is_dataclass
from typing import TYPE_CHECKING, Any

from gasketcut.described import Described, Usual, keys_of, usual_range
from gasketcut.finding import Finding
from gasketcut.length import IN, Measured, both
from gasketcut.parts.rules.rule import OutlineRule
from gasketcut.parts.words import Placed
from gasketcut.parts.words.shape import Shape

if TYPE_CHECKING:
    from gasketcut.job.model import Job

PART_SIZE = "part.size"
"""The one name in `sure` that is no key: how large a drawn part is."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A number of the job, or what follows from it.

    key    as `sure` names it
    says   in words
    value  in the unit of `usual`
    unit   of the key, where `usual` does not count in something else
    hint   what else may have been meant
    """

    key: str
    says: str
    value: float
    usual: Usual
    unit: str = ""
    hint: str = ""


def unusual(one: Asked) -> Finding | None:
    """The question to ask, or None where the value is a usual one."""
    usual, unit = one.usual, "" if one.usual.per else one.unit
    if usual.low <= one.value <= usual.high:
        return None
    shown = f"{both(usual.low)} to {both(usual.high)}" if unit == "mm" else usual_range(usual, unit)
    return Finding(
        rule="unusual",
        weight="warn",
        part=None,
        text=f"{one.says}; usual is {shown} ({usual.source}){_slip(one.value, usual, unit)}",
        do=f'check the number and its unit{one.hint}; if it is right, write sure = ["{one.key}"] at the top of the job',
        found=one.value,
        wanted=usual.low if one.value < usual.low else usual.high,
        unit="ratio" if usual.per else unit or "ratio",
    )


def numbers(job: Job) -> Iterator[Asked]:
    """Every number of the job beside what its key calls usual for it."""
    yield from _of(job, "", "", ())
    yield from _of(job.topend, "", "", ())


def known_names(job: Job) -> tuple[str, ...]:
    """What `sure` may name."""
    from gasketcut.job.reference import TOP, sections

    ports = [port.name for port in job.engine.ports] if job.engine else []
    found = [PART_SIZE]
    for section in sections():
        names = [f"engine.ports.{port}" for port in ports] if section.name == "engine.ports" else [section.name]
        for name in names:
            before = "" if name == TOP else "part" if name.startswith("part.kind.") else name
            of_shape = name.startswith("shape.")
            found += [
                _name(before, each) for each in section.keys if any(one.per or not of_shape for one in each.key.usual)
            ]
    return tuple(dict.fromkeys(found))


def _of(value: Any, before: str, called: str, of: tuple[str, ...]) -> Iterator[Asked]:
    """The numbers of one value and of what it holds.

    before : the way to it; `called` names it in words; `of` chooses among the ranges of a key
    """
    for each in keys_of(type(value)):
        held = getattr(value, each.fields[-1], None)
        if held is None or held == each.default:
            continue
        name = _name(before, each)
        if each.form.takes == "table" and each.form.of is not None and isinstance(held, tuple):
            yield from _of_pairs(held, each, name)
        elif inner := _values(held):
            for one in inner:
                yield from _inside(one, name)
        elif (usual := each.usual(of)) is not None:
            for number in _plain(held):
                says = f"{called}{each.name if called else name} = {_shown(number, each)}"
                yield Asked(name, says, number, usual, each.unit, _hint(number, each))


def _inside(value: Any, name: str) -> Iterator[Asked]:
    if isinstance(value, Placed):
        value = value.shape
    if isinstance(value, Shape):
        return  # a part that is too large or too small is asked about as a whole
    if isinstance(value, OutlineRule):
        yield from _of(value, f"outline.{value.word}", "", ())
        return
    at = getattr(value, "at", None)
    called = getattr(value, "name", None) or (at if isinstance(at, str) else None)
    kind = getattr(value, "kind", "")
    if name == "engine.ports":
        yield from _of(value, f"{name}.{called}", "", (kind,))
    else:
        yield from _of(value, name, f"{name} '{called}': " if called else "", (kind,))


def _of_pairs(pairs: tuple[tuple[str, float], ...], outer: Described, name: str) -> Iterator[Asked]:
    """Of a table that is kept as its keys and numbers."""
    described = {each.name: each for each in keys_of(outer.form.of)} if outer.form.of else {}
    for key, number in pairs:
        each = described.get(key)
        if each is not None and (usual := each.usual()) is not None:
            yield Asked(f"{name}.{key}", f"{name}.{key} = {_shown(number, each)}", number, usual, each.unit)


def _values(held: Any) -> tuple[Any, ...]:
    """The values with keys of their own that stand there."""
    many = held if isinstance(held, tuple) else (held,)
    return tuple(one for one in many if is_dataclass(one) and not isinstance(one, Measured))


def _plain(held: Any) -> Iterator[float]:
    if isinstance(held, Measured):
        yield held.value
    elif isinstance(held, int | float) and not isinstance(held, bool):
        yield float(held)
    elif isinstance(held, tuple):
        for one in held:
            yield from _plain(one)


def _name(before: str, each: Described) -> str:
    """As `sure` and `gasketcut keys` name the key; a shape's own word is not said twice."""
    if not before:
        return each.name
    return (
        before
        if before.startswith(("shape.", "outline.")) and before.endswith(f".{each.name}")
        else (f"{before}.{each.name}")
    )


def _shown(number: float, each: Described) -> str:
    return both(number) if each.unit == "mm" else f"{number:g} {each.unit}".rstrip()


def _hint(number: float, each: Described) -> str:
    if each.unit == "deg" and "travel" in each.key.agrees:
        return f' (a piston travel is written travel = "{number:g} mm")'
    return ""


def _slip(value: float, usual: Usual, unit: str) -> str:
    """What would make it a usual one."""
    slips = []
    if usual.low <= value / 10 <= usual.high or usual.low <= value * 10 <= usual.high:
        slips.append("is the decimal point in its place")
    if unit == "mm" and usual.low <= value / IN <= usual.high:
        slips.append("is the number in mm, and not in inches")
    if unit == "mm" and usual.low <= value * IN <= usual.high:
        slips.append("is the number in inches, and not in mm")
    return f"; {', or '.join(slips)}?" if slips else ""
