"""A job made of received drawings, without a job file: what `gasketcut quote` works out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path

from gasketcut.errors import GasketError
from gasketcut.job.cutting import PROCESSES, Choice, CuttingSpec, LayoutSpec, Process
from gasketcut.job.model import Job
from gasketcut.length import parse_length
from gasketcut.parts import Received, Stock
from gasketcut.profile.cutting.rates import Rates
from gasketcut.profile.profiles import Profiles
from gasketcut.toml.faults import meant

_LONGEST = 48
"""Letters of a file's name that become a part's: room is left for the number of a piece."""

_TAKEN = re.compile(r"(con|prn|aux|nul|com\d|lpt\d|report|quote)(\..*)?", re.IGNORECASE)


_SAID = re.compile(r"(\S.*?)\s+(\d[\d.]*\s*(?:mm|in|thou)?)")
"""A material and its thickness."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a person says of the drawings; lengths in mm, None: as it is usual.

    sheet   the name of one on the shelf, or a material and its thickness where `size` is said
    copies  of every drawing, as often as it is named
    """

    sheet: str
    size: tuple[float, float] | None = None
    copies: int = 1
    process: str | None = None
    kerf: Choice = None
    units: str | None = None
    join: float | None = None
    fit: float | None = None
    drop: tuple[str, ...] = ()
    layout: LayoutSpec = LayoutSpec()


def job_of_drawings(files: Sequence[Path], asked: Asked, profiles: Profiles) -> Job:
    """The job; raise `GasketError` for a sheet or process that is not known, `JobError` for values that cannot be."""
    sheet, usual = _sheet(asked, profiles)
    process = _process(asked.process or usual, sheet.name)
    cutting = CuttingSpec(process=process, kerf=asked.kerf)
    parts = tuple(
        Received(
            name=name,
            file=str(file),
            drawing_units=asked.units,  # type: ignore[arg-type]  # checked where it is asked for
            join=asked.join,
            fit=asked.fit,
            drop=asked.drop,
            stock=sheet.name,
            count=asked.copies * files.count(file),
        )
        for file, name in names_of_parts(files).items()
    )
    title = f"{len(parts)} drawing{'s' if len(parts) > 1 else ''} from {sheet.name}"
    return Job(title=title, parts=parts, stock=(sheet,), cutting=cutting, layout=asked.layout)


def with_rates(job: Job, rates: Rates) -> Job:
    """With the rates that the profiles have, where the job says none of its own."""
    cutting = job.cutting
    if cutting.process is None or cutting.rate_hour is not None or cutting.rate_sheet is not None:
        return job
    price = rates.sheet(job.stock[0].name) if len(job.stock) == 1 else None
    own = replace(cutting, rate_hour=rates.hour(cutting.process), rate_sheet=price, currency=rates.currency)
    return replace(job, cutting=own)


def names_of_parts(files: Sequence[Path]) -> Mapping[Path, str]:
    """A name for each different file, fit for a part and for files: its own, with a letter where two are alike, or
    where another is called as one of its pieces might be."""
    plain = {file: _plain(file.stem) for file in dict.fromkeys(files)}
    taken: set[str] = set()
    for file, own in plain.items():
        others = taken | {name.casefold() for name in plain.values()}
        free = (name for name in _with_letters(own) if not _is_taken(name.casefold(), taken, others))
        plain[file] = next(free)
        taken.add(plain[file].casefold())
    return plain


def _plain(stem: str) -> str:
    plain = re.sub(r"[^\w.+-]+", "-", stem).strip("-_.+ ")[:_LONGEST].rstrip("-_.+ ") or "part"
    return f"part-{plain}" if _TAKEN.fullmatch(plain) else plain


def _is_taken(name: str, taken: set[str], others: set[str]) -> bool:
    piece = re.compile(rf"{re.escape(name)}-\d+")
    return name in taken or any(piece.fullmatch(other) for other in others)


def _with_letters(plain: str) -> Iterator[str]:
    """A number would read as that of a piece."""
    yield plain
    yield from (f"{plain}-{'b' * number}" for number in count(1))


def _sheet(asked: Asked, profiles: Profiles) -> tuple[Stock, str | None]:
    """The sheet, and how it is usually cut."""
    known = profiles.sheets.on_shelf(asked.sheet)
    if known is not None:
        size = asked.size or known.size
        return Stock(name=known.name, thickness=known.thickness, material=known.material, size=size), known.process
    if asked.size is None:
        names = ", ".join(one.name for one in profiles.sheets.shelf)
        raise GasketError(
            f"there is no sheet {asked.sheet!r}; there are {names}. For another one say its size too, e.g. "
            f'--sheet "steel 1.0" --size 1000x500, or write [sheet."{asked.sheet}"] into sheets.toml'
        )
    said = _SAID.fullmatch(asked.sheet.strip())
    if said is None:
        raise GasketError(f"{asked.sheet!r}: write a material and its thickness, e.g. 'steel 1.0'")
    material, thickness = said[1], parse_length(said[2], "mm")
    if not profiles.knows_material(material):
        raise GasketError(f"there is no material {material!r}; {meant(material, profiles.materials, 'known are ')}")
    return Stock(name=said[0], thickness=thickness, material=material, size=asked.size), None


def _process(word: str | None, sheet: str) -> Process:
    if word is None:
        raise GasketError(f"how is {sheet} cut? Add --process, one of {', '.join(PROCESSES)}")
    found = next((one for one in PROCESSES if one == word), None)
    if found is None:
        raise GasketError(f"process {word!r} of the sheet {sheet} is not known; {meant(word, PROCESSES)}")
    return found
