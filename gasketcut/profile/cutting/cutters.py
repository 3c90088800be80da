"""Cutters: what a process does to a class of sheet, from `profiles/cutters.toml`.

Kind     what sort of sheet a stock is, as its material says.
Class    kinds that cut alike: paper, soft, hard, graphite, foil, metal.
Numbers  kerf, least hole and the like of one process in one class; each names its source in the profile.

The processes, and what may never be cut by which, are facts of ours: a user's file replaces numbers and adds kinds of
sheet, verdicts on those, and words that warn. It lifts nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from gasketcut.profile.cutting.verdicts import Said, SheetVerdicts, is_never, read_verdicts
from gasketcut.profile.sheets import material_key, words_of
from gasketcut.toml.faults import meant
from gasketcut.toml.table import Table

LENGTHS = ("kerf", "hole", "web", "corner", "overcut", "tab", "lead_in", "pierce")
FACTORS = ("hole_x", "web_x")
MOST = 100.0
"""mm, s or times; nothing in a cutter's table is larger."""

FOIL = "foil"
"""The class of metal that is no thicker than `foil`."""

_FASTEST = 1e6  # mm/min

Words = tuple[tuple[str, str], ...]
"""A word and the kind of sheet that it stands for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbers:
    """Lengths in mm; `hole_x` and `web_x` are multiples of the thickness; `speed` in mm/min or None; `pierce` in s."""

    says: str
    kerf: float
    hole: float
    hole_x: float
    web: float
    web_x: float
    corner: float
    mark: bool
    overcut: float
    tab: float
    lead_in: float
    pierce: float
    speed: float | None = None

    def least_hole(self, thickness: float | None) -> float:
        """The smallest hole that comes out clean [mm]."""
        return max(self.hole, self.hole_x * (thickness or 0.0))

    def least_web(self, thickness: float | None) -> float:
        """The narrowest sheet that stands between two cuts [mm]."""
        return max(self.web, self.web_x * (thickness or 0.0))


@dataclass(frozen=True, slots=True)
class SheetKind:
    """A kind of sheet in words, and the class whose numbers hold for it."""

    name: str
    says: str
    cuts_as: str


@dataclass(frozen=True, slots=True)
class Section:
    """What `[process]` or `[process-class]` gives, by key."""

    process: str
    sheet: str | None
    is_own: bool
    values: tuple[tuple[str, Any], ...]


@dataclass(frozen=True, slots=True)
class Cutters:
    """Metal up to `foil` is foil [mm]. `materials` name a kind, `words` only choose its numbers, `warnings` warn."""

    foil: float = 0.0
    kinds: tuple[SheetKind, ...] = ()
    materials: Words = ()
    words: Words = ()
    warnings: Words = ()
    sections: tuple[Section, ...] = ()
    verdicts: tuple[SheetVerdicts, ...] = ()

    @property
    def processes(self) -> tuple[str, ...]:
        return tuple(section.process for section in self.sections if section.sheet is None and not section.is_own)

    @property
    def classes(self) -> tuple[str, ...]:
        """Every class that a kind of sheet cuts as, and foil."""
        return tuple(dict.fromkeys((*(kind.cuts_as for kind in self.kinds), FOIL)))

    def kind(self, name: str) -> SheetKind | None:
        return next((kind for kind in self.kinds if kind.name == name), None)

    def kind_of(self, material: str | None) -> SheetKind | None:
        """The kind of sheet that the material names, or None."""
        return self.kind(dict(self.materials).get(material_key(material or ""), ""))

    def kind_by_words(self, name: str) -> SheetKind | None:
        """The kind that a word in a sheet's name speaks of, or None."""
        words = dict(self.words)
        return next((self.kind(words[word]) for word in words_of(name) if word in words), None)

    def says(self, process: str) -> str:
        """The process in words."""
        return self.numbers(process, None).says

    def numbers(self, process: str, sheet: str | None) -> Numbers:
        """Of one process in one class.

        What the user says of the process at large counts for more than what we say of a class.
        """
        values: dict[str, Any] = {}
        for is_own in (False, True):
            for wanted in dict.fromkeys((None, sheet)):
                for section in self.sections:
                    if (section.process, section.sheet, section.is_own) == (process, wanted, is_own):
                        values.update(section.values)
        return Numbers(**values)

    def verdict(self, kind: str, process: str) -> Said | None:
        """What is said of cutting that kind by the process, or None."""
        found = next((one for one in self.verdicts if one.kind == kind), None)
        return found.on(process) if found else None


def read_cutters(table: Table, known: Cutters) -> Cutters:
    """The known ones, with what the file says in their place; the first file read is ours."""
    is_own = bool(known.sections)
    foil = table.number("foil", most=MOST, above=False)
    kinds = {kind.name: kind for kind in known.kinds}
    for name, entry in table.named_tables("sheet"):
        kinds[name] = _kind(name, entry)
    found = replace(known, foil=known.foil if foil is None else foil, kinds=tuple(kinds.values()))
    found = replace(
        found,
        materials=_words(table, "material", known.materials, found),
        words=_words(table, "word", known.words, found),
        warnings=_words(table, "warning", known.warnings, found),
    )
    found = replace(found, sections=(*known.sections, *_sections(table, found, is_own=is_own)))
    verdicts = read_verdicts(table, known.verdicts, tuple(kinds), is_own=is_own)
    if is_own:
        _check_classes(table, known, found)
        _check_nothing_lifted(table, known)
    table.close()
    return replace(found, verdicts=verdicts)


def _kind(name: str, table: Table) -> SheetKind:
    for key, example in (("says", "wool felt"), ("cuts_as", "paper")):
        if key not in table:
            table.missing(key, f'it, e.g. {name} = {{ says = "wool felt", cuts_as = "paper" }} ({key} = "{example}")')
    found = SheetKind(name, table.text("says") or name, table.text("cuts_as") or "")
    table.close()
    return found


def _words(table: Table, key: str, known: Words, found: Cutters) -> Words:
    """Words of one's own and their kinds, added to the known ones."""
    words, kinds = dict(known), [kind.name for kind in found.kinds]
    inner = table.table(key)
    for name in inner.names if inner else ():
        if inner is not None:
            words[material_key(name) if key == "material" else name.casefold()] = inner.word(name, kinds)
    return tuple(words.items())


def _sections(table: Table, found: Cutters, *, is_own: bool) -> list[Section]:
    """Of the shipped file every table that holds `says` is a process; of one's own only those."""
    inside = [name for name in table.names if name not in ("foil", "sheet", "material", "word", "warning", "verdict")]
    processes = found.processes if is_own else [name for name in inside if "-" not in name]
    sections = []
    for name in inside:
        process, _, sheet = name.partition("-")
        if process not in processes:
            known = [*processes, *("foil", "sheet", "material", "word", "warning", "verdict")]
            table.raw(name)
            table.fault(name, f"is no process; {meant(name, known)}")
        elif (entry := table.table(name)) is not None:
            sections.append(Section(process, sheet or None, is_own, _values(entry)))
    return sections


def _values(table: Table) -> tuple[tuple[str, Any], ...]:
    values: dict[str, Any] = {"says": table.text("says")}
    for key in (*LENGTHS, *FACTORS):
        values[key] = table.number(key, most=MOST, above=False)
    values["speed"] = table.number("speed", most=_FASTEST)
    if "mark" in table:
        values["mark"] = table.flag("mark", default=False)
    table.close()
    return tuple((key, value) for key, value in values.items() if value is not None)


def _check_classes(table: Table, known: Cutters, found: Cutters) -> None:
    """A class of one's own needs numbers of its own, or else it is a known one misspelt."""
    own = {section.sheet for section in found.sections if section.is_own}
    classes = [name for name in found.classes if name in known.classes or name in own]
    kinds = table.table("sheet")
    for kind in found.kinds:
        if kinds is not None and kind.name in kinds and kind.cuts_as and kind.cuts_as not in classes:
            message = f"{kind.cuts_as!r} is no class of sheet; {meant(kind.cuts_as, known.classes)}"
            table.faults.add((*table.path, "sheet", kind.name, "cuts_as"), message)
    for section in found.sections:
        if section.is_own and section.sheet and section.sheet not in found.classes:
            name = f"{section.process}-{section.sheet}"
            if name in table:
                names = [f"{section.process}-{sheet}" for sheet in found.classes]
                table.fault(name, f"{section.sheet!r} is no class of sheet; {meant(name, names)}")


def _check_nothing_lifted(table: Table, known: Cutters) -> None:
    """What warns of a sheet, and what names one that is never cut some way, stays as it is."""
    for key, words in (("warning", known.warnings), ("material", known.materials)):
        inner = table.table(key)
        for name, kind in words:
            if inner is None or name not in inner or inner.raw(name) == kind:
                continue
            if key == "warning" or is_never(known.verdicts, kind):
                inner.fault(name, f"stays {kind!r}, which is never cut some ways; give your sheet a name of its own")
