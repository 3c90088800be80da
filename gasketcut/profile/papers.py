"""Papers by name, from `profiles/papers.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.errors import GasketError
from gasketcut.toml.faults import meant
from gasketcut.toml.table import Table

_LEAST, _MOST = 90.0, 5000.0  # mm: a bank card and a bar of 100 mm have to go on it; a plotter's roll


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet, upright [mm]."""

    name: str
    width: float
    height: float

    @property
    def words(self) -> str:
        """Its name as people write it."""
        return self.name.upper() if self.name.startswith("a") else self.name.capitalize()


@dataclass(frozen=True, slots=True)
class Papers:
    """The papers that are known."""

    papers: tuple[Paper, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(paper.name for paper in self.papers)

    def paper(self, name: str) -> Paper:
        """The paper of that name; raise `GasketError` if there is none."""
        for paper in self.papers:
            if paper.name == name:
                return paper
        raise GasketError(f"paper = {name!r} is not known; {meant(name, self.names)}")


def read_papers(table: Table, known: Papers) -> Papers:
    """The known ones, with what the file says in their place."""
    papers = {paper.name: paper for paper in known.papers}
    for name, entry in table.named_tables("paper"):
        papers[name] = _paper(name, entry)
    table.close()
    return Papers(tuple(papers.values()))


def _paper(name: str, table: Table) -> Paper:
    sides = []
    for key in ("width", "height"):
        sides.append(table.length(key))
        if key in table and table.faults.is_clean and not _LEAST <= sides[-1] <= _MOST:
            table.fault(key, f"{sides[-1]:g} mm is out of range; write {_LEAST:g} to {_MOST:g} mm")
    if sides[0] > sides[1] and table.faults.is_clean:
        table.fault(None, "lies on its side; width is the shorter edge, height the longer")
    table.close()
    return Paper(name, *sides)
