"""JSON Schema (draft 2020-12) of a job file, from the descriptions of its keys, so that editors complete and check it.

What only the whole job shows (a name that nothing has, readings that contradict each other) the reader alone finds.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from gasketcut.checked import Limits
from gasketcut.described import Described, Form, keys_of
from gasketcut.job.model import Job
from gasketcut.job.ports import PLACES
from gasketcut.parts.holes import Holes
from gasketcut.parts.kinds import KINDS
from gasketcut.parts.outlet_rule import OutletRule
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.rules import RULES
from gasketcut.parts.window import Window
from gasketcut.parts.words import SHAPES, Placed

Schema = dict[str, Any]

_NUMBER = r"(\d+ +\d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)"
_UNIT = '([mM][mM]|[cC][mM]|[iI][nN]|"|″|[tT][hH][oO][uU])?'
"""A text without a unit takes the job's."""

_LENGTH = rf"^\s*[+]?\s*{_NUMBER}\s*{_UNIT}\s*$"
_SIGNED = rf"^\s*[+-]?\s*{_NUMBER}\s*{_UNIT}\s*$"
_SURE = rf"((\+-|±)\s*{_NUMBER}\s*{_UNIT}\s*)?$"
_MEASURED = rf"^\s*[+]?\s*{_NUMBER}\s*{_UNIT}\s*{_SURE}"
_SIGNED_MEASURED = rf"^\s*[+-]?\s*{_NUMBER}\s*{_UNIT}\s*{_SURE}"
_ANGLE = rf"^\s*[+-]?\s*{_NUMBER}\s*([dD][eE][gG]|°)\s*$"
_SPEED = rf"^\s*{_NUMBER}\s*{_UNIT}\s*/\s*(min|s)\s*$"
_TIME = r"^\s*(\d+\.?\d*|\.\d+)\s+s\s*$"

TITLE = "A gasketcut job"


def job_schema() -> Schema:
    """The schema of a whole job file."""
    top = _table(keys_of(Job))
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": TITLE,
        **top,
        "$defs": _definitions(),
    }


def _definitions() -> Schema:
    """What more than one key refers to."""
    return {
        "length": _either(_LENGTH, exclusiveMinimum=0),
        "length-or-0": _either(_LENGTH, minimum=0),
        "coordinate": _either(_SIGNED),
        "measured": _either(_MEASURED, exclusiveMinimum=0),
        "measured-or-0": _either(_MEASURED, minimum=0),
        "measured-either-side": _either(_SIGNED_MEASURED),
        "angle": {"type": "string", "pattern": _ANGLE},
        "place": _list({"$ref": "#/$defs/coordinate"}, 2, 2),
        "shape": _shapes(()),
        "placed": _shapes(keys_of(Placed)),
        "outline": {"anyOf": [{"$ref": "#/$defs/placed"}, *(_table(keys_of(rule)) for rule in RULES.values())]},
        "outlet": _shapes(keys_of(OutletRule), OutletRule.instead_of_shape),
        "part": _parts(),
        **{_shared(each): {**_said(each), **_value(each.form)} for each in keys_of(PartSpec) if each.name != "kind"},
        **{_named_for(of): _table(keys_of(of)) for of in (Holes, Window)},
    }


def _shared(each: Described) -> str:
    """Under which name every kind of part finds the key."""
    return f"part.{each.name}"


def _named_for(of: type) -> str:
    return of.__name__.lower()


def _parts() -> Schema:
    """One branch for each kind of part, with the keys of its own."""
    shared = {each.name: {"$ref": f"#/$defs/{_shared(each)}"} for each in keys_of(PartSpec)}
    branches = []
    for name, kind in KINDS.items():
        branch = _table(keys_of(kind))
        branch["properties"] |= {**shared, "kind": {"const": name}}
        branches.append(branch)
    names = {"properties": {"kind": {"enum": list(KINDS), **_said(_key(PartSpec, "kind"))}}, "required": ["kind"]}
    return {"type": "object", **names, "oneOf": branches}


def _key(cls: type, name: str) -> Described:
    return next(each for each in keys_of(cls) if each.name == name)


def _shapes(beside: Iterable[Described], instead: tuple[str, ...] = ()) -> Schema:
    """A table with one shape word, and these keys beside it; or with one of the keys that stand instead of a shape."""
    more = [each for each in beside if each.name not in instead]
    found = [_table([*keys_of(shape), *more]) for shape in SHAPES.values()]
    found += [{**_table([*more, each]), "required": [each.name]} for each in beside if each.name in instead]
    return {"type": "object", "oneOf": found}


def _table(keys: Iterable[Described]) -> Schema:
    found = {each.name: {**_said(each), **_value(each.form)} for each in keys}
    required = [each.name for each in keys if each.is_required]
    return {
        "type": "object",
        "properties": found,
        **({"required": required} if required else {}),
        "additionalProperties": False,
    }


def _said(each: Described) -> Schema:
    """What an editor shows beside the key."""
    text = each.key.what[0].upper() + each.key.what[1:]
    text += f". How: {each.key.how}" if each.key.how else ""
    usual = each.usual_text()
    text += f". Usual: {usual}" if usual else ""
    return {"description": f"{text}. E.g. {each.name} = {each.key.example}"}


def _value(form: Form) -> Schema:  # noqa: PLR0912  one line a form
    limits = form.limits
    match form.takes:
        case "length":
            return _length(form)
        case "measured":
            return _measured(limits)
        case "angle":
            return {"$ref": "#/$defs/angle"}
        case "number" | "whole":
            return _number(form)
        case "speed":
            return {"type": "string", "pattern": _SPEED}
        case "time":
            return {"type": "string", "pattern": _TIME}
        case "date":
            return {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"}
        case "word":
            return {"enum": list(form.words)} if form.words else _text(form)
        case "flag":
            return {"type": "boolean"}
        case "length or flag":
            return {"anyOf": [{"type": "boolean"}, _length(form)]}
        case "whole or flag":
            return {"anyOf": [{"type": "boolean"}, _number(form)]}
        case "angle or range":
            return _or_range({"anyOf": [{"$ref": "#/$defs/angle"}, _number(form)]})
        case "number or range":
            return _or_range(_number(form))
        case "kerf":
            return {"anyOf": [{"enum": ["profile", False]}, _length(form)]}
        case "place":
            return {"$ref": "#/$defs/place"}
        case "places":
            return _list({"$ref": "#/$defs/place"}, 2)
        case "at":
            return {"anyOf": [{"$ref": "#/$defs/place"}, _list({"$ref": "#/$defs/place"}, 1)]}
        case "place round the bore":
            return {"anyOf": [{"enum": list(PLACES)}, {"$ref": "#/$defs/angle"}]}
        case "lengths":
            return {"anyOf": [_list(_length(form), count, count) for count in form.counts]}
        case "numbers":
            return _list(_number(form), 1)
        case "words":
            return _list({"enum": list(form.words or KINDS)}, 1)
        case "texts":
            return (
                {"anyOf": [_list(_text(form), count, count) for count in form.counts]}
                if form.counts
                else _list(_text(form))
            )
        case "shape" | "placed" | "outline":
            return {"$ref": f"#/$defs/{form.takes}"}
        case "cut":
            return {"anyOf": [{"type": "boolean"}, {"$ref": "#/$defs/shape"}]}
        case "named measured":
            return _named({"anyOf": [{"const": "unknown"}, {"$ref": "#/$defs/measured"}]})
        case "named places":
            return _named({"$ref": "#/$defs/place"})
        case "named tables":
            return _named(_inner(form))
        case "tables":
            return _one_or_more(_inner(form))
        case "table":
            return _inner(form)
    return _text(form)


def _inner(form: Form) -> Schema:
    assert form.of is not None, form
    if form.of is PartSpec:
        return {"$ref": "#/$defs/part"}
    if form.of in (Holes, Window):
        return {"$ref": f"#/$defs/{_named_for(form.of)}"}
    if form.of is OutletRule:
        return {"$ref": "#/$defs/outlet"}
    instead = getattr(form.of, "instead_of_shape", None)
    return _table(keys_of(form.of)) if instead is None else _shapes(keys_of(form.of), instead)


def _length(form: Form) -> Schema:
    assert form.limits is not None, form
    name = "coordinate" if form.limits.is_signed else "length-or-0" if form.limits.with_least else "length"
    return {"$ref": f"#/$defs/{name}"}


def _or_range(one: Schema) -> Schema:
    return {"anyOf": [one, _list(one, 2, 2)]}


def _measured(limits: Limits | None) -> Schema:
    if limits is None or not limits.with_least:
        return {"$ref": "#/$defs/measured"}
    return {"$ref": "#/$defs/measured-either-side" if limits.is_signed else "#/$defs/measured-or-0"}


def _number(form: Form) -> Schema:
    assert form.limits is not None, form
    least = "minimum" if form.limits.with_least else "exclusiveMinimum"
    most = "maximum" if form.limits.with_most else "exclusiveMaximum"
    kind = "integer" if form.limits.dimension == "whole" else "number"
    return {"type": kind, least: form.limits.least, most: form.limits.most}


def _text(form: Form) -> Schema:
    return {"type": "string", "minLength": 1, "maxLength": form.longest, "pattern": r"\S"}


def _either(pattern: str, **number: float) -> Schema:
    """A text with a unit, or a bare number where the job says `units`."""
    return {"anyOf": [{"type": "string", "pattern": pattern}, {"type": "number", **number}]}


def _list(items: Schema, least: int = 0, most: int | None = None) -> Schema:
    return {"type": "array", "items": items, "minItems": least, **({} if most is None else {"maxItems": most})}


def _named(inner: Schema) -> Schema:
    return {"type": "object", "additionalProperties": inner}


def _one_or_more(inner: Schema) -> Schema:
    """A table, or a list of them."""
    return {"anyOf": [{"type": "array", "items": inner}, inner]}
