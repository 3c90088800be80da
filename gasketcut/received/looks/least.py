"""The least that a process cuts, or what no cutter does better where no process is named."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.profile.cutting.cutters import Cutters


@dataclass(frozen=True, slots=True)
class Least:
    """Lengths in mm; `who` does no less, and `rule` whose limits they are.

    hole    smallest hole
    slot    narrowest opening that is longer than wide
    slit    narrowest scrap between two cuts
    web     narrowest sheet between two cuts
    kerf    two lines nearer than this are one cut
    """

    who: str
    rule: str
    hole: float
    slot: float
    slit: float
    web: float
    kerf: float

    def says(self, limit: float) -> str:
        """One of them in words."""
        return f"{self.who} no less than {limit:g} mm ({self.rule})"


ANY = Least("most cutters do", "our choice", hole=0.5, slot=0.3, slit=0.3, web=0.3, kerf=0.3)
"""Without a process. Our choice."""


def least_for(process: str, thickness: float | None, cutters: Cutters) -> Least:
    """Of a process in a sheet of that thickness [mm], by the cutters' profile; a slit is as wide as the cut itself."""
    numbers = cutters.numbers(process, None)
    sheet = f" in a sheet of {thickness:g} mm" if thickness else ""
    return Least(
        f"{numbers.says}{sheet}:",
        "the cutter's profile",
        hole=numbers.least_hole(thickness),
        slot=numbers.least_hole(thickness),
        slit=numbers.kerf,
        web=numbers.least_web(thickness),
        kerf=numbers.kerf,
    )
