"""Shipped and user's own data as one value: sheets, fasteners, cutters, papers, punches, joints, ring, ports, outlet,
squish, rates.

A profile is a TOML file of plain data in which every value names its source. A function takes the part of it that it
needs; whoever starts the work reads all of it with `read_profiles` and hands it on. What a part is made of is imported
with it: most commands need two or three of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from gasketcut.errors import Fault, ProfileError
from gasketcut.profile.own import WHAT, OwnFile, own_files, shipped_data
from gasketcut.toml.document import data_of
from gasketcut.toml.faults import Faults
from gasketcut.toml.table import Table

if TYPE_CHECKING:
    from gasketcut.profile.cutting.cutters import Cutters
    from gasketcut.profile.cutting.rates import Rates
    from gasketcut.profile.fasteners import Fasteners
    from gasketcut.profile.joints import Joints
    from gasketcut.profile.outlet import OutletRules
    from gasketcut.profile.papers import Papers
    from gasketcut.profile.ports import PortRules
    from gasketcut.profile.punches import Punches
    from gasketcut.profile.ring import RingRules
    from gasketcut.profile.sheets import Sheets
    from gasketcut.profile.squish import SquishRules

NAMES = ("sheets", "fasteners", "cutters", "papers", "punches", "joints", "ring", "ports", "outlet", "squish", "rates")

_Part = TypeVar("_Part")


@dataclass(frozen=True)
class Profiles:
    """Each part is read when it is first asked for; raise `ProfileError` then if it cannot be used.

    own : the user's own files, of which an entry comes before ours, and a later one's before an earlier one's
    """

    own: tuple[OwnFile, ...] = ()

    @cached_property
    def sheets(self) -> Sheets:
        """Materials, lands and spans."""
        from gasketcut.profile.sheets import Sheets, read_sheets

        return self._read("sheets", read_sheets, Sheets())

    @cached_property
    def fasteners(self) -> Fasteners:
        """Sizes and their clearance holes."""
        from gasketcut.profile.fasteners import Fasteners, read_fasteners

        return self._read("fasteners", read_fasteners, Fasteners())

    @cached_property
    def cutters(self) -> Cutters:
        """Processes, kinds of sheet, and verdicts."""
        from gasketcut.profile.cutting.cutters import Cutters, read_cutters

        return self._read("cutters", read_cutters, Cutters())

    @cached_property
    def papers(self) -> Papers:
        """Papers by name."""
        from gasketcut.profile.papers import Papers, read_papers

        return self._read("papers", read_papers, Papers())

    @cached_property
    def punches(self) -> Punches:
        """Hole punches."""
        from gasketcut.profile.punches import Punches, read_punches

        return self._read("punches", read_punches, Punches())

    @cached_property
    def joints(self) -> Joints:
        """Passages by kind of part."""
        from gasketcut.profile.joints import Joints, read_joints

        return self._read("joints", read_joints, Joints())

    @cached_property
    def ring(self) -> RingRules:
        """End gaps."""
        from gasketcut.profile.ring import RingRules, read_ring

        return self._read("ring", read_ring, RingRules())

    @cached_property
    def ports(self) -> PortRules:
        """Time-areas that others published."""
        from gasketcut.profile.ports import PortRules, read_ports

        return self._read("ports", read_ports, PortRules())

    @cached_property
    def outlet(self) -> OutletRules:
        """Marks and the screen's rule."""
        from gasketcut.profile.outlet import OutletRules, read_outlet

        return self._read("outlet", read_outlet, OutletRules())

    @cached_property
    def squish(self) -> SquishRules:
        """Advice, and what takes from the clearance."""
        from gasketcut.profile.squish import SquishRules, read_squish

        return self._read("squish", read_squish, SquishRules())

    @cached_property
    def rates(self) -> Rates:
        """What an hour and a sheet cost."""
        from gasketcut.profile.cutting.rates import Rates, read_rates

        return self._read("rates", read_rates, Rates())

    def knows_material(self, name: str) -> bool:
        """Does a sheet or a cutter know the material?"""
        return self.sheets.material(name) is not None or self.cutters.kind_of(name) is not None

    @property
    def materials(self) -> tuple[str, ...]:
        """Every material that is known, those of `sheets.toml` first."""
        return tuple(dict.fromkeys((*(one.name for one in self.sheets.materials), *dict(self.cutters.materials))))

    def _read(self, name: str, read: Callable[[Table, _Part], _Part], start: _Part) -> _Part:
        found = read(Table(shipped_data(name), (), Faults(""), "mm"), start)
        wrong: dict[str, tuple[Fault, ...]] = {}
        for file in self.own:
            if file.name == name:
                before = found
                found, faults = _with(file, read, found)
                if faults:
                    wrong[file.path], found = faults, before
        if wrong:
            raise ProfileError(wrong)
        return found


def read_profiles(folder: Path | None = None) -> Profiles:
    """The shipped profiles, replaced entry by entry by the user's config folder's and then by those in that folder.

    folder : the job's

    Raise `ProfileError` with every fault of every file of the user's own.
    """
    profiles = Profiles(tuple(own_files(NAMES, folder)))
    wrong: dict[str, tuple[Fault, ...]] = {}
    for name in dict.fromkeys(file.name for file in profiles.own):
        try:
            getattr(profiles, name)
        except ProfileError as error:
            wrong |= error.faults
    if wrong:
        raise ProfileError(wrong)
    return profiles


def _with(file: OwnFile, read: Callable[[Table, _Part], _Part], known: _Part) -> tuple[_Part, tuple[Fault, ...]]:
    data = data_of(file.text, WHAT) if isinstance(file.text, str) else file.text
    if isinstance(data, Fault):
        return known, (data,)
    faults = Faults(file.text if isinstance(file.text, str) else "")
    found = read(Table(data, (), faults, "mm"), known)
    return found, faults.sorted()
