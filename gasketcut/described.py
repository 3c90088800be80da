"""What a key of a job file is, said once, at the field of the value that it becomes.

Key        what it is, how it is measured, an example, what is usual, what it is good for.
Form       how it is written: its dimension, limits, words, or what its table becomes. It follows from the annotation.
Described  a key with its name, form and default, as readers, questions, schema and reference take it.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from gasketcut.checked import Limits, hints_of
from gasketcut.length import Measured

Takes = Literal[
    "length", "measured", "angle", "number", "whole", "speed", "time", "text", "date", "word", "flag",
    "length or flag", "whole or flag", "angle or range", "number or range", "kerf", "place", "places", "at",
    "place round the bore", "lengths", "numbers", "words", "texts", "shape", "placed", "outline", "cut", "table",
    "tables", "named tables", "named measured", "named places",
]  # fmt: skip
"""`at`: a place or a list of them. `cut`: a flag or a shape. `named ...`: a table whose keys are a user's own."""

T = TypeVar("T")

COMMON = "common practice"

SQUISH, TIMING, PRESSURE = "squish answer", "port timing and compression", "cranking pressure"
WHEEL, STENCIL, GASKET = "degree wheel", "port stencil", "base gasket to cut"
RING, KEY, OUTLET = "ring gap", "ignition key", "muffler outlet"
WAYS = "ways to what is wanted"
OUTPUTS = (SQUISH, TIMING, PRESSURE, WHEEL, STENCIL, GASKET, RING, KEY, OUTLET, WAYS)
"""What a job can give, by the names under which `status` speaks of it."""


@dataclass(frozen=True, slots=True)
class Usual:
    """The range that is usual, in the unit of the key, from where, and for which of several (`exhaust`).

    Wide: a slip of the unit or of the point lies outside, a rare engine does not.

    per  what the numbers are instead, where another key decides what is usual, e.g. "of the stroke"
    """

    low: float
    high: float
    source: str = COMMON
    of: str = ""
    per: str = ""


@dataclass(frozen=True, slots=True)
class Form:
    """How a value is written.

    limits  of the number, or of each number of a list
    words   that it may be; empty where a profile says them when the job is read
    counts  how long a list may be; empty: any length
    of      what its table becomes
    longest letters of a text
    """

    takes: Takes
    limits: Limits | None = None
    words: tuple[str, ...] = ()
    counts: tuple[int, ...] = ()
    of: type | None = None
    longest: int = 200


@dataclass(frozen=True, slots=True)
class Key:
    """What is known of a key besides its type.

    what     it is, in plain words
    how      it is measured, or come by; empty where there is nothing to measure
    example  as it stands in a job with `units = "mm"`
    rule     what is usual where that depends on another key, e.g. "1.6 to 2 times the stroke"
    needed   the results that cannot be had without it; `helps` those that say more with it
    agrees   other keys that it is held against
    left_out what stands where the key is left out, if no plain default does
    name     in the file, where the field has another
    joins    fields that the same key fills, before the field at which it stands
    form     where the annotation does not say how it is written
    """

    what: str
    how: str = ""
    example: str = ""
    usual: tuple[Usual, ...] = ()
    rule: str = ""
    needed: tuple[str, ...] = ()
    helps: tuple[str, ...] = ()
    agrees: tuple[str, ...] = ()
    left_out: str = ""
    name: str = ""
    joins: tuple[str, ...] = ()
    form: Form | None = None


def key(default: Any = MISSING, *, what: str, **more: Any) -> Any:
    """A field of a dataclass that is a key of the job file; without a default the key is required."""
    usual = more.pop("usual", ())
    found = Key(what, usual=(usual,) if isinstance(usual, Usual) else usual, **more)
    return field(default=default, metadata={"key": found})


def keys_only(cls: type[T]) -> type[T]:
    """A class of keys that a table holds in another way than its value; it is never made, so it gets no methods."""
    return dataclass(init=False, repr=False, eq=False)(cls)


@dataclass(frozen=True, slots=True)
class Described:
    """A key as it stands in one table; `fields` of the value are filled by it; MISSING as default: it is required."""

    name: str
    key: Key
    form: Form
    default: Any
    fields: tuple[str, ...]
    home: type

    @property
    def is_required(self) -> bool:
        return self.default is MISSING and not self.key.left_out

    @property
    def unit(self) -> str:
        """Of a bare number; empty for what has none."""
        return self.form.limits.unit if self.form.limits else "mm" if self.form.takes == "measured" else ""

    def usual(self, of: tuple[str, ...] = ()) -> Usual | None:
        """The usual range of the number itself, of the one that `of` names where there are several."""
        return self._usual(of, per=False)

    def usual_beside(self, of: tuple[str, ...] = ()) -> Usual | None:
        """The range that goes by another key."""
        return self._usual(of, per=True)

    def _usual(self, of: tuple[str, ...], *, per: bool) -> Usual | None:
        return next((one for one in self.key.usual if bool(one.per) is per and (not one.of or one.of in of)), None)

    def usual_text(self, of: tuple[str, ...] = ()) -> str:
        """What is usual, in words; empty where nothing is known of it."""
        found = [one for one in self.key.usual if not of or not one.of or one.of in of]
        shown = [usual_range(one, self.unit) + (f" ({one.of})" if one.of and not of else "") for one in found]
        return ", ".join((*shown, self.key.rule) if self.key.rule else shown)


def usual_range(usual: Usual, unit: str) -> str:
    """In words; `unit` is the key's."""
    return f"{usual.low:g} to {usual.high:g} {usual.per or unit}".rstrip()


_KEYS: dict[type, tuple[Described, ...]] = {}


def keys_of(cls: type) -> tuple[Described, ...]:
    """The keys of the table that becomes a value of this class, in their order; those of the classes that it names as
    `written` stand in the same table."""
    if cls not in _KEYS:
        _KEYS[cls] = tuple(_described(cls))
    return _KEYS[cls]


def _described(cls: type) -> list[Described]:
    hints = hints_of(cls)
    known = {each.name: each for each in fields(cls)}
    found: list[Described] = []
    for each in known.values():
        if (told := each.metadata.get("key")) is not None:
            form = told.form or form_of(hints[each.name])
            if told.joins:
                form = Form("lengths", form.limits, counts=(1 + len(told.joins),))
            found.append(Described(told.name or each.name, told, form, each.default, (*told.joins, each.name), cls))
    for other in getattr(cls, "written", ()):
        found += keys_of(other)
    return found


def names_of(cls: type) -> tuple[str, ...]:
    """The names of these keys."""
    return tuple(each.name for each in keys_of(cls))


_PLAIN: Mapping[Any, Form] = {
    str: Form("text"),
    bool: Form("flag"),
    Path: Form("text"),
    Measured: Form("measured", Limits()),
    tuple[float, float]: Form("place"),
}


def form_of(hint: Any) -> Form:
    """How a value of this annotation is written; raise `TypeError` where the annotation does not tell."""
    if get_origin(hint) in (Union, types.UnionType):
        inner = [one for one in get_args(hint) if one is not type(None)]
        if len(inner) == 1:
            return form_of(inner[0])
    if hint in _PLAIN:
        return _PLAIN[hint]
    if get_origin(hint) is Annotated:
        base, *extra = get_args(hint)
        own = next((one for one in extra if isinstance(one, Form)), None)
        limits = next((one for one in extra if isinstance(one, Limits)), None)
        if own is not None:
            return own
        if limits is not None:
            return Form(_numbered(base, limits), limits)
    if get_origin(hint) is Literal:
        return Form("word", words=get_args(hint))
    if get_origin(hint) is tuple:
        return _listed(get_args(hint))
    if isinstance(hint, type) and hasattr(hint, "__dataclass_fields__"):
        return Form("table", of=hint)
    raise TypeError(f"{hint} does not say how it is written; give the key a form")


def _numbered(base: type, limits: Limits) -> Takes:
    if base is Measured:
        return "measured"
    return "whole" if base is int else limits.dimension


def _listed(args: tuple[Any, ...]) -> Form:
    each = form_of(args[0])
    if args[-1] is Ellipsis:
        many: dict[str, Takes] = {"text": "texts", "place": "places", "table": "tables", "length": "lengths"}
        if each.takes == "word":
            return Form("words", words=each.words)
        if each.takes in many:
            return Form(many[each.takes], each.limits, of=each.of)
        raise TypeError(f"a list of {each.takes}: give the key a form")
    if each.limits is not None and each.limits.is_signed:
        return Form("place")
    return Form("lengths", each.limits, counts=(len(args),))
