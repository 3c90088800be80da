"""What a way costs: the floor of the squish, blowdown, windows against skirt and pin, what stands over a cut base."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.engine.ports.port_change import PortChange
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.floor import floor_findings
from gasketcut.engine.squish.remarks import remarks
from gasketcut.engine.ways.deed import Deed
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.length import both
from gasketcut.profile.squish import Running


def margins(
    job: Job, before: State, after: State, work: tuple[PortChange, ...], deeds: tuple[Deed, ...], floor: float,
    running: Running,
) -> Iterator[Finding]:  # fmt: skip
    """Findings on the engine as the way leaves it, without those that it has as it stands.

    job   : with chamber and work as the way has them
    floor : least squish that is accepted [mm]
    """
    known = set(remarks(job.engine, before, before, ()))
    yield from (one for one in floor_findings(job, after, floor, None, running) if one.weight != "note")
    yield from (one for one in remarks(job.engine, before, after, work) if one not in known)
    for one in work:
        yield from _window(one)
    for deed in deeds:
        yield from _of_deed(deed)


def _window(one: PortChange) -> Iterator[Finding]:
    if one.area_before and one.area_after and one.area_after > one.area_before:
        grown = one.area_after / one.area_before - 1
        text = f"the window of port '{one.port}' grows by {grown:.0%}, to {one.area_after:.0f} mm2"
        yield _note(text, one.area_after, "mm2")


def _of_deed(deed: Deed) -> Iterator[Finding]:
    match deed.does:
        case "spacer":
            yield _note(
                f"a spacer needs a gasket on either face: the {both(deed.mm or 0.0)} are all that is added, second "
                "gasket included",
                deed.mm,
            )
        case "gasket" if deed.mm is not None and deed.mm < 1e-9:
            yield Finding(
                rule="way",
                weight="warn",
                part=None,
                text="no gasket lies under the cylinder: the joint has to be sealed in another way",
                do="a sealant for bare faces, both faces true",
            )
        case _:
            return


def _note(text: str, found: float | None, unit: str = "mm") -> Finding:
    return Finding(rule="way", weight="note", part=None, text=text, do="nothing", found=found, unit=unit)
