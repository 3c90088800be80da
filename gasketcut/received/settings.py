"""What a user says about a received drawing, the same for `inspect` and for `mend`."""

from __future__ import annotations

import shlex
from dataclasses import dataclass

JOIN = 0.05
"""Gaps up to this are closed unless the user says otherwise [mm]: half the finest kerf."""

FIT = 0.02
"""How far an arc or circle may lie off what it replaces, unless the user says otherwise [mm]. Ours."""


@dataclass(frozen=True, slots=True)
class Settings:
    """units : what the numbers are, None to go by the file; join, fit [mm]; drop : the words of `--drop`."""

    units: str | None = None
    join: float = JOIN
    fit: float = FIT
    drop: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """As they are written behind a command, without what goes without saying."""
        units = ("--units", self.units) if self.units else ()
        join = ("--join", f"{self.join:g}mm") if self.join != JOIN else ()
        fit = ("--fit", f"{self.fit:g}mm") if self.fit != FIT else ()
        return (*units, *join, *fit, *(word for name in self.drop for word in ("--drop", name)))


def mend_command(file: str, settings: Settings) -> str:
    """What to type to have the file mended beside itself, with the settings under which it was looked through."""
    if file.startswith("-"):
        file = f"./{file}"  # else it would be read as an option
    stem = file[:-4] if file.lower().endswith(".dxf") else file
    return shlex.join(["gasketcut", "mend", file, "-o", f"{stem}-mended.dxf", *settings.words])
