"""Every table of a job file with its keys, as the descriptions at the fields of its values have them.

Section    one table: the name under which `gasketcut keys` shows it, how it is written, what it is, its keys.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from gasketcut.described import Described, keys_of
from gasketcut.job.model import Job
from gasketcut.parts.kinds import KINDS
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.rules import RULES
from gasketcut.parts.words import SHAPES, Placed

TOP, PART = "job", "part"


@dataclass(frozen=True, slots=True)
class Section:
    """One table; `head` is how a file begins it."""

    name: str
    head: str
    what: str
    keys: tuple[Described, ...]

    def key(self, name: str) -> Described | None:
        """The key of that name."""
        return next((each for each in self.keys if each.name == name), None)


@cache
def sections() -> tuple[Section, ...]:
    """All of them: the top of the file, its tables with theirs, the kinds of part, shape words and outline rules."""
    rooms: dict[str, Mapping[str, type]] = {"shape": SHAPES, "outline": RULES}
    found = [Section(TOP, "at the top of the file", "the whole job", keys_of(Job))]
    for each in keys_of(Job):
        found += _below(each, "")
    for one in KINDS.values():
        for each in one.own_keys():
            found += _below(each, f"{PART}.")
    found += [
        Section(f"{PART}.kind.{name}", f'kind = "{name}"', _first_line(kind), kind.own_keys())
        for name, kind in KINDS.items()
    ]
    found.append(Section("shape", "beside a shape word", "where a shape lies", keys_of(Placed)))
    for room, words in rooms.items():
        for word, kind in words.items():
            keys = keys_of(kind)
            shown = next(each.key.example for each in keys if each.name == word)
            found.append(Section(f"{room}.{word}", f"{{ {word} = {shown} }}", _first_line(kind), keys))
    return tuple(found)


def section(name: str) -> Section | None:
    """The section of that name."""
    return next((one for one in sections() if one.name == name), None)


def inside(outer: Section) -> tuple[Section, ...]:
    """The sections whose tables stand in that one's."""
    return tuple(one for one in sections() if one.name.startswith(f"{outer.name}."))


def _below(each: Described, before: str) -> Iterator[Section]:
    """The table that a key holds, and what that holds."""
    of = PartSpec if each.name == PART and not before else each.form.of
    if of is None:
        return
    name = f"{before}{each.name}"
    inner = keys_of(of)
    yield Section(name, _head(each, name, bool(before)), each.key.what, inner)
    for one in inner:
        yield from _below(one, f"{name}.")


def _head(each: Described, name: str, is_inner: bool) -> str:
    if each.form.takes == "named tables":
        return f"[{name}.NAME]"
    is_listed = not is_inner or f"[[{name}]]" in each.key.what or name.startswith(f"{PART}.p")
    if each.form.takes == "tables" and is_listed:
        return f"[[{name}]]"
    return f"{each.name} = {{ ... }}" if name.startswith(f"{PART}.") else f"[{name}]"


def _first_line(kind: type) -> str:
    lines = (kind.__doc__ or "").strip().split("\n\n")[0].split("\n")
    return " ".join(line.strip() for line in lines).replace("`", "").rstrip(".")


Way = tuple[str | int, ...]
"""Through a job's tables down to a key, e.g. ("part", 0, "studs", "at")."""


def described(path: Way) -> Described:
    """The key to which the way leads; raise `KeyError` if there is none."""
    return _keys_along(path)[-1]


def holder(path: Way) -> Described:
    """The key that says what a value there is good for: for the size of a shape, the key that holds the shape."""
    along = _keys_along(path)
    return along[-2] if along[-1].name in SHAPES and len(along) > 1 else along[-1]


def _keys_along(path: Way) -> list[Described]:
    steps = [step for step in path if isinstance(step, str)]
    keys, found = keys_of(Job), list[Described]()
    while steps:
        step = steps.pop(0)
        each = next((each for each in keys if each.name == step), None) or _in_shape(step)
        if each is None:
            raise KeyError(".".join(map(str, path)))
        found.append(each)
        if each.form.takes == "named tables" and steps:
            steps.pop(0)  # a name of the user's own
        keys = _of_any_kind() if each.name == PART else keys_of(each.form.of) if each.form.of else ()
    return found


def _of_any_kind() -> tuple[Described, ...]:
    """The keys of a part, whatever its kind."""
    return (*keys_of(PartSpec), *(each for kind in KINDS.values() for each in kind.own_keys()))


def _in_shape(step: str) -> Described | None:
    """A key that stands beside a shape word or an outline rule."""
    for kind in (*SHAPES.values(), *RULES.values()):
        for each in keys_of(kind):
            if each.name == step:
                return each
    return None
