"""The keys of a job file on a screen: all tables in a line each, or one table key by key."""

from __future__ import annotations

import textwrap

from gasketcut.described import COMMON, Described, Takes
from gasketcut.job.reference import Section
from gasketcut.output.text.finding import WIDTH

_WRITTEN: dict[Takes, str] = {
    "length": "a length",
    "measured": 'a length, "+-" how sure',
    "angle": 'an angle, "30 deg"',
    "number": "a number",
    "whole": "a whole number",
    "speed": 'a speed, "600 mm/min"',
    "time": 'a time, "0.5 s"',
    "text": "a text",
    "date": "a date",
    "word": "a word",
    "flag": "true or false",
    "length or flag": "true, or a length",
    "whole or flag": "true, or a whole number",
    "angle or range": "an angle, or [least, most]",
    "number or range": "a number, or [least, most]",
    "kerf": '"profile", or a length',
    "place": "a place [x, y]",
    "places": "a list of places [x, y]",
    "at": "a place [x, y], or a list of them",
    "place round the bore": "a word, or an angle",
    "lengths": "lengths",
    "numbers": "a list of numbers",
    "words": "a list of words",
    "texts": "a list of texts",
    "shape": "a shape: gasketcut keys shape.round and others",
    "placed": "a shape and its place: gasketcut keys shape",
    "outline": "a shape, or hull, lobes, grow",
    "cut": "true, false, or a shape",
    "table": "a table",
    "tables": "tables",
    "named tables": "a table by names of your own",
    "named measured": "lengths by names of your own",
    "named places": "places by names of your own",
}


def keys_text(sections: tuple[Section, ...]) -> str:
    """All sections, a line each."""
    wide = max(len(one.name) for one in sections)
    rows = [f"{one.name:<{wide}}  {_short(one, WIDTH - wide - 2)}" for one in sections]
    return "\n".join([*rows, "", "One of them, key by key: gasketcut keys engine"])


def section_text(section: Section, more: tuple[Section, ...]) -> str:
    """One section, key by key; `more` are the tables inside it."""
    rows = [section.head, *textwrap.wrap(section.what, WIDTH - 2, initial_indent="  ", subsequent_indent="  ")]
    for each in section.keys:
        rows += ["", f"{each.name}{'' if not each.is_required else '  (required)'}", *_key_rows(each)]
    if more:
        rows += ["", *textwrap.wrap(f"See also: {', '.join(one.name for one in more)}", WIDTH, subsequent_indent="  ")]
    return "\n".join(rows)


def written_text(each: Described) -> str:
    """How it is written, with its unit and limits."""
    form, limits = each.form, each.form.limits
    text = _WRITTEN[form.takes]
    if form.takes == "lengths":
        text = f"{' or '.join(map(str, form.counts))} lengths"
    if form.takes in ("number",) and each.unit:
        text += f" [{each.unit}]"
    if form.words:
        text += f": {', '.join(form.words)}"
    if limits is not None and form.takes in ("number", "whole", "angle", "speed", "time", "kerf", "whole or flag"):
        text += f", {limits_text(each)}" if limits_text(each) else ""
    elif limits is not None and limits.with_least and not limits.is_signed:
        text += ", or 0"
    return text


def limits_text(each: Described) -> str:
    """The range outside of which it is refused; empty where any number does."""
    limits = each.form.limits
    if limits is None or limits.least == -limits.most or limits.least < -1e9:
        return ""
    return limits.wanted


def default_text(each: Described) -> str:
    """What stands when it is left out."""
    if each.key.left_out:
        return each.key.left_out
    default = each.default
    plain = isinstance(default, bool | int | float | str)
    if each.is_required or not plain or default == "":
        return ""
    return (
        str(default).lower() if isinstance(default, bool) else f"{default:g}" if plain_number(default) else str(default)
    )


def plain_number(value: object) -> bool:
    """Is it a number?"""
    return isinstance(value, int | float) and not isinstance(value, bool)


def _key_rows(each: Described) -> list[str]:
    key = each.key
    said = [
        ("", key.what),
        ("written", written_text(each)),
        ("left out", default_text(each)),
        ("usual", f"{text} ({_source(each)})" if (text := each.usual_text()) else ""),
        ("how", key.how),
        ("e.g.", f"{each.name} = {key.example}"),
        ("needed for", ", ".join(key.needed)),
        ("helps", ", ".join(key.helps)),
        ("goes with", ", ".join(key.agrees)),
    ]
    rows = []
    for label, text in said:
        if text:
            head = f"  {label:<10} " if label else "  "
            rows += textwrap.wrap(text, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
    return rows


def _source(each: Described) -> str:
    return ", ".join(dict.fromkeys(one.source for one in each.key.usual)) or COMMON


def _short(section: Section, width: int) -> str:
    text = f"{section.what}: {', '.join(each.name for each in section.keys)}" if section.keys else section.what
    return textwrap.shorten(text, width, placeholder=" ...")
