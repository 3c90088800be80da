"""What goes back to the customer: what was received, what it measures, what has to be decided, what we put right.

The same words for paper and for plain text; numbers of places are those of the picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from gasketcut.length import both, box
from gasketcut.output.text.received.plain import GROUPS, LOOKS, REPAIRS, UNIT, Question
from gasketcut.output.text.received.questions import CALLED, question_of, unit_question
from gasketcut.outside import shown
from gasketcut.pages.reply.items import Form, Item
from gasketcut.pages.sections.section import Section
from gasketcut.received.inspection import Inspection
from gasketcut.received.summary import summary_of

_VERSIONS = {
    "AC1009": "R12", "AC1012": "R13", "AC1014": "R14", "AC1015": "R2000", "AC1018": "R2004", "AC1021": "R2007",
    "AC1024": "R2010", "AC1027": "R2013", "AC1032": "R2018",
}  # fmt: skip
_ASKED, _LOOKED, _MENDED = "Please decide, or send it again", "Please look at this", "What we put right"

_MANY = 10
_LONG = 70  # letters of a name in the heading; all of it stands below


def heading_of(file: str) -> str:
    """What stands first."""
    name = shown(Path(file).name)
    return f"Your drawing {name if len(name) <= _LONG else f'{name[: _LONG - 15]} ... {name[-10:]}'}"


def lead_of(found: Inspection, items: Sequence[Item]) -> str:
    """The verdict in a sentence."""
    looks = len(_of(items, "look"))
    questions = len({"unit" if item.kind in UNIT else item.kind for item in _of(items, "ask")})
    also = f" Please also look at {_things(looks, 'thing')} that we noted." if looks else ""
    return {
        "ready": "It is in order and can be cut as it is.",
        "look": f"It can be cut as it is. Please look at {_things(looks, 'thing')} first, as it is seldom meant so.",
        "mend": f"It can be cut after small repairs, which we can make; the shape stays as you drew it.{also}",
        "ask": f"Before it can be cut we have {_things(questions, 'question')} for you.{also}",
    }[found.verdict]


def received_section(found: Inspection, file: str) -> Section:
    """What was received, and what it measures."""
    what, unit = found.what, found.unit
    version = _VERSIONS.get(found.version or "AC1009", found.version)
    lines = [f"{shown(Path(file).name)}, a DXF file of version {version}."]
    if what.parts:
        lines.append(f"It holds {_parts(what.holes)}.")
    else:
        lines.append("No line in it closes, so there is no part to be cut yet.")
    if any(found.size):
        called = CALLED.get(unit.likely or "mm", unit.likely)
        said = f"in {called}, as the file says" if unit.declared == unit.likely else f"taken as {called}"
        lines.append(f"All of it measures {box(*found.size)}, its numbers {said}.")
    if what.starts:
        lines.append(f"It is cut in {_things(what.starts, 'run')}, {both(what.cut_length, 0)} long together.")
    narrow = [f"the smallest hole is {both(what.smallest_hole.width)} wide"] if what.smallest_hole else []
    narrow += [f"the narrowest strip of sheet {both(what.smallest_web.width)}"] if what.smallest_web else []
    if narrow:
        said = ", ".join(narrow)
        lines.append(f"{said[0].upper()}{said[1:]}.")
    if what.as_named:
        lines.append(f"By its name it is for {what.as_named}. Please tell us if that is wrong.")
    return Section(heading="What we received", lines=tuple(lines))


def sections_of(found: Inspection, items: Sequence[Item]) -> tuple[Section, ...]:
    """What has to be decided, what is odd, what is put right; only what there is."""
    letters = iter("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz")
    asked = [(f"{next(letters)}.  {first}", *others) for first, *others in _asked(found, items)]
    looked = [(f"{next(letters)}.  {first}", *others) for first, *others in map(_looked, _of(items, "look"))]
    if len(asked) + len(looked) > 2 * _MANY:  # a reply is three pages at most
        asked, looked = _closer(asked), _closer(looked)
    mended = [_mended(item) for item in _of(items, "mend")]
    if len(mended) > _MANY:
        mended = [" ".join(mended)]
    if mended and asked:
        mended.append("We do this once the questions above are answered; the shape stays as you drew it.")
    sections = (
        Section(heading=_ASKED, items=tuple(asked)),
        Section(heading=_LOOKED, items=tuple(looked)),
        Section(heading=_MENDED, lines=tuple(mended)),
    )
    return tuple(section for section in sections if section.items or section.lines)


def _closer(rows: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    return [(first, " ".join(others)) for first, *others in rows]


def _of(items: Sequence[Item], form: Form) -> list[Item]:
    return [item for item in items if item.form == form]


def _asked(found: Inspection, items: Sequence[Item]) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    unit = [item for item in items if item.kind in UNIT]
    if unit:
        why = " and ".join(_question(item).what for item in unit)
        ask = unit_question(summary_of(found)) if any(found.size) else _question(unit[0]).ask
        rows.append((_capital(why), ask, _how(unit[0])))
    return rows + [_row(item) for item in _of(items, "ask") if item not in unit]


def _row(item: Item) -> tuple[str, ...]:
    question = _question(item)
    return f"{_capital(question.what)}{_where(item)}", question.ask, _how(item)


def _looked(item: Item) -> tuple[str, ...]:
    """With what was seen there, as it is a matter of how little."""
    texts = list(dict.fromkeys(item.texts))
    more = f"; and {len(texts) - 2} more" if len(texts) > 2 else ""
    first, ask, how = _row(item)
    return first, f"{_capital('; '.join(texts[:2]))}{more}.", ask, how


def _how(item: Item) -> str:
    return f"In your drawing: {_question(item).how}"


def _mended(item: Item) -> str:
    what, done = REPAIRS[item.kind]
    return f"{_capital(what)}{_where(item)}: {done}."


def _question(item: Item) -> Question:
    if item.form == "look":
        return (GROUPS | LOOKS)[item.kind]
    return question_of(item.kind)


def _where(item: Item) -> str:
    if item.where:
        return f" ({item.where})"
    return f" ({item.count} times)" if item.count > 1 else ""


def _parts(holes: Sequence[int]) -> str:
    if len(holes) == 1:
        return f"one part with {_things(holes[0], 'hole') if holes[0] else 'no hole'}"
    each = f" ({', '.join(map(str, holes))})" if any(holes) and len(holes) <= 6 else ""
    return f"{_things(len(holes), 'part')} with {_things(sum(holes), 'hole')}{each}"


def _things(count: int, word: str) -> str:
    words = {0: "no", 1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
    return f"{words.get(count, count)} {word}{'' if count == 1 else 's'}"


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"
