"""What a job file says, as frozen values: mm, degrees and cc, whatever units the file used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar

from gasketcut.checked import Checked, Problem
from gasketcut.checked import Path as KeyPath
from gasketcut.described import GASKET, SQUISH, TIMING, WAYS, Form, key
from gasketcut.errors import Fault, JobError, Lack
from gasketcut.job.calipers import CaliperReading, Measure, Over
from gasketcut.job.cutting import CuttingSpec, LayoutSpec
from gasketcut.job.engine import Clamp, Engine
from gasketcut.job.ports import PLACES, PortKind, PortTiming, window_area
from gasketcut.job.record import Fastening, RecordSpec
from gasketcut.job.squish import Reading, SquishSpec
from gasketcut.job.topend import TopEnd
from gasketcut.job.usual import known_names
from gasketcut.job.wanted import Wanted
from gasketcut.job.work import PortWork, work_problems
from gasketcut.length import Units, in_order
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.stock import Stock
from gasketcut.toml.faults import Faults, meant

__all__ = [
    "PLACES", "CaliperReading", "Clamp", "Engine", "Fastening", "Job", "Measure", "Over", "PortKind", "PortTiming",
    "PortWork", "Reading", "RecordSpec", "SquishSpec", "window_area",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(Checked):
    """Everything a job file says.

    source      the file it came from
    text        of that file, so that a fault that is found later still shows its line
    incomplete  what its sections lack, each a fault that says what to add. What lacks something, and what it is needed
                for, is left out of the other values; an engine and a squish are there as far as they go.
    """

    written: ClassVar[tuple[type, ...]] = (TopEnd,)

    title: str = key("untitled", what="a name for the job, e.g. the machine's", example='"Nursery auger"')
    units: Units = key(
        "mm", what="the unit of numbers that carry none, and the one in which the job is answered first",
        how="left out: every length carries its own unit, and answers are in mm first", example='"mm"',
    )  # fmt: skip
    sure: tuple[str, ...] = key(
        (), what="the keys whose unusual values are right", example='["engine.bore"]', form=Form("texts")
    )
    parts: tuple[PartSpec, ...] = key(
        (), name="part", what="a gasket, an outlet, a joint of two faces", needed=(GASKET,),
        example='[{ name = "ring", kind = "flat", outline = { round = 60.0 } }]',
    )  # fmt: skip
    engine: Engine | None = key(
        None, what="what was measured of the engine", example="{ bore = 44.0 }", helps=(TIMING,)
    )
    squish: SquishSpec | None = key(
        None, what="the squish that was measured, and the one that is wanted", needed=(SQUISH,),
        example="{ target = 0.5, measured = 0.92 }",
    )  # fmt: skip
    stock: tuple[Stock, ...] = key(
        (), what="a sheet to cut from", example='[{ name = "can sheet", thickness = 0.1 }]', needed=(SQUISH, GASKET)
    )
    work: tuple[PortWork, ...] = key(
        (),
        what="work on a port, in the bore or at a flange",
        example='[{ port = "exhaust", remove = 0.5 }]',
        helps=(TIMING, GASKET),
    )
    wanted: Wanted | None = key(
        None, what="what the engine is to become, and what you can do for it", helps=(WAYS,),
        example='{ exhaust = "160 deg", may = ["gasket", "ports"] }',
    )  # fmt: skip
    clamp: Clamp | None = key(
        None, what="the bolts of the base joint", example='{ size = "M5", torque_nm = 6.0, area_mm2 = 1200 }',
        helps=(SQUISH,), agrees=("part.studs.torque_nm",),
    )  # fmt: skip
    measure: Measure | None = key(
        None, what="caliper readings over holes, from which their places follow", helps=(GASKET,),
        example='{ distance = [{ from = "A", to = "B", reading = 59.48 }] }',
    )  # fmt: skip
    record: RecordSpec = key(
        RecordSpec(), what="what the build sheet is to say besides", example='{ date = "2026-03-09" }'
    )
    cutting: CuttingSpec = key(
        CuttingSpec(), what="how the parts are cut", example='{ process = "co2" }', helps=(GASKET,)
    )
    layout: LayoutSpec | None = key(
        None, what="all parts laid out on whole sheets", example="{ margin = 5.0 }", helps=(GASKET,)
    )
    topend: TopEnd = TopEnd()
    incomplete: tuple[Fault, ...] = ()
    source: Path | None = field(default=None, compare=False)
    text: str = field(default="", compare=False, repr=False)

    @property
    def folder(self) -> Path | None:
        """Where the job's own profiles and drawings lie; None for a job that came from no file."""
        return self.source.parent if self.source else None

    def sheet(self, name: str | None) -> Stock | None:
        """The stock of that name."""
        return next((stock for stock in self.stock if stock.name == name), None)

    def part(self, name: str) -> PartSpec | None:
        """The part of that name."""
        return next((part for part in self.parts if part.name == name), None)

    @property
    def exhaust_mm2(self) -> float | None:
        """Area of the exhaust port's window, if the job knows it."""
        port = self.engine.port("exhaust") if self.engine else None
        return port.area if port else None

    def lacking(self, *sections: str) -> tuple[Fault, ...]:
        """What those sections lack, or all where none is named."""
        known = {fault.key.partition(".")[0] for fault in self.incomplete}
        found = [*self.incomplete]
        if self.squish is not None and "squish" not in known:
            found += [Fault(self.squish.line, "squish", lack) for lack in self.squish.lacks(self.engine)]
        if self.topend.ring is not None and (self.engine is None or self.engine.bore is None):
            words = "[ring]: the end gap goes by the bore; add [engine] with bore"
            found.append(Fault(0, "", Lack("engine.bore", words)))
        if self.topend.muffler is not None and self.topend.muffler.port_area_mm2 is None and self.exhaust_mm2 is None:
            words = "a share of what? Add port_area_mm2, or width and height of the exhaust port"
            found.append(Fault(self.topend.muffler.line, "outlet", Lack("port_area_mm2", words)))
        if self.clamp is not None and self.clamp.area_mm2 is None and not self.draws_base:
            words = "'area_mm2' is missing; write e.g. area_mm2 = 1200, or draw the base gasket"
            found.append(Fault(0, "clamp", Lack("area_mm2", words)))
        return tuple(one for one in found if not sections or one.key.partition(".")[0] in sections)

    def called(self) -> str:
        return str(self.source or "job")

    def refused(self, *found: tuple[KeyPath, str]) -> JobError:
        """The error to raise for what was found wrong once the job had been read, with its places in the text."""
        faults = Faults(self.text)
        for path, message in found:
            faults.add(path, message)
        return JobError(self.called(), faults.sorted())

    def problems(self) -> Iterator[Problem]:
        """What the parts of the job say of each other: names, sheets, originals, measured holes."""
        yield from self._sure()
        yield from _same_names("part", [part.name for part in self.parts])
        yield from _same_names("stock", [sheet.name for sheet in self.stock])
        for number, part in enumerate(self.parts):
            yield from self._references(("part", number), part)
        yield from work_problems(self.work, self.parts)
        if self.wanted is not None:
            yield from self.wanted.unknown([port.name for port in self.engine.ports] if self.engine else [])
        if self.squish is not None:
            for key, message in self.squish.gap_problems(self.engine):
                yield key, in_order(message, self.units)

    @property
    def draws_base(self) -> bool:
        """Is the base gasket drawn, so that its area is known?"""
        return any(part.is_base and part.is_cut for part in self.parts)

    def _sure(self) -> Iterator[Problem]:
        known = known_names(self) if self.sure else ()
        for number, name in enumerate(self.sure):
            if name not in known:
                yield ("sure", number), f"{name!r} has no usual range; {meant(name, known)}"

    def _references(self, at: KeyPath, part: PartSpec) -> Iterator[Problem]:
        measured = {end for one in (self.measure.distances if self.measure else ()) for end in (one.first, one.second)}
        for name in (name for holes in (*part.studs, *part.dowels, *part.holes) for name in holes.measured):
            if name not in measured:
                yield at, f"{name!r} is no hole of [measure]; known there: {', '.join(sorted(measured)) or 'none'}"
        stocks = [stock.name for stock in self.stock]
        if part.stock is not None and part.stock not in stocks:
            known = f"write one of {', '.join(stocks)}" if stocks else "add a [[stock]] with this name"
            yield (*at, "stock"), f"there is no stock {part.stock!r}; {known}"
        original = self.part(part.of) if part.of is not None else None
        if part.of is not None and (original is None or not _has_outline(original)):
            known = ", ".join(other.name for other in self.parts if _has_outline(other))
            yield (*at, "of"), f"{part.of!r} is no part with an outline of its own; write one of {known}"
        if part.needs_exhaust_port and self.exhaust_mm2 is None:
            message = "needs the exhaust port: add exhaust = { width = ..., height = ... } to [engine.ports]"
            yield (*at, "outlet", "percent"), message


def _has_outline(part: PartSpec) -> bool:
    """Of its own, so that another part can be made after it; a drawing may hold several."""
    return part.of is None and part.is_cut and part.drawn_from is None


def _same_names(section: str, names: list[str]) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for number, name in enumerate(names):
        # Case is folded because some file systems take 'Base' and 'base' for one file.
        first = seen.setdefault(name.casefold(), number)
        if name and first != number:
            yield (section, number, "name"), f"{name!r} is also the name of {section} {first + 1}"
