"""A muffler outlet's plate, screen and deflector against each other and against what the job says of the outlet.

Passed  what gas goes through of a screen [mm2]: a flat one lies on its plate, so it is what lies over the openings.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from math import dist, pi, sqrt

from gasketcut.engine.ports.port_change import exhaust_area
from gasketcut.engine.topend.muffler import screen_need, side_by_side
from gasketcut.finding import Finding, Weight
from gasketcut.job.model import Job
from gasketcut.job.topend import Screen
from gasketcut.length import both
from gasketcut.parts.outlet import way_of_gas
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.outlet import ScreenRule
from gasketcut.shape import outlines

SAME_AREA = 0.05
"""Share by which two areas of one outlet may differ before they contradict each other. Our choice."""

APART = 0.5
"""mm by which a deflector's holes may be farther apart, or nearer, than the plate's: more than two bolts' play in
medium holes. Our choice."""


def muffler_parts(spec: PartSpec, parts: Mapping[str, Part], job: Job, rule: ScreenRule) -> Iterator[Finding]:
    """What speaks against a part of an outlet.

    parts : all parts of the job, by name
    rule  : how much screen a port needs
    """
    part, plate = parts[spec.name], parts.get(spec.of or "")
    if spec.at_outlet == "screen" and plate is not None:
        yield from _screen(part, plate, job, rule)
    elif spec.at_outlet == "plate":
        yield from _stage(part, job)
    elif spec.at_outlet == "deflector" and plate is not None:
        yield from _bolts(part, plate)


def _screen(part: Part, plate: Part, job: Job, rule: ScreenRule) -> Iterator[Finding]:
    """Against the rule; without a weave or a port that is said not to be looked at."""
    muffler = job.topend.muffler
    screen, port = (muffler.screen if muffler else None), exhaust_area(job)
    if screen is None or port is None:
        what = "its weave is not said" if screen is None else "the exhaust port's area is not known"
        do = "write screen = { opening = ..., wire = ... } in [outlet]"
        if screen is not None:
            do = "write port_area_mm2 in [outlet], or the exhaust port's width and height in [engine.ports]"
        text = f"{what}, so whether there is enough of it was not worked out"
        yield _finding(part.name, "note", text, do)
        return
    need = screen_need(screen, port, rule)
    blank, passed = float(part.solid.area), _passed(part, plate, screen)
    if passed < need.gross_mm2 * (1 - 1e-6):
        text = (
            f"gas passes {passed:.0f} mm2 of the screen, as a disc {both(_disc(passed), 1)}; its wires leave "
            f"{need.open_share:.0%} open, so a port of {port:.0f} mm2 asks for {need.gross_mm2:.0f} mm2, a disc of "
            f"{both(need.disc_mm, 1)} ({rule.says}: {rule.open_percent:g} % of the port open)"
        )
        do = f"more screen: larger or more openings in '{plate.name}' and its frame, or a screen that stands out"
        if blank > need.gross_mm2:
            do += "; the blank is large enough, but what lies under the frame passes nothing"
        yield _finding(part.name, "warn", text, do, passed, need.gross_mm2)
    if need.too_coarse or need.too_thin:
        what = (
            f"its openings of {both(screen.opening)} are wider than {both(rule.opening)} ({rule.says})"
            if need.too_coarse
            else f"its wire of {both(screen.wire)} is thinner than {both(rule.wire)} ({rule.says})"
        )
        yield _finding(part.name, "warn", what, "take a finer weave" if need.too_coarse else "take a thicker wire")
    if screen.gross_mm2 is not None and screen.gross_mm2 > blank * (1 + SAME_AREA):
        text = (
            f"[outlet] says that gas passes {screen.gross_mm2:.0f} mm2 of screen; the whole blank has {blank:.0f} mm2"
        )
        yield _finding(part.name, "warn", text, "correct gross_mm2, or make the blank larger", blank, screen.gross_mm2)


def _passed(part: Part, plate: Part, screen: Screen) -> float:
    """As `[outlet]` says where it says so, for a screen that stands out; never more than the whole blank."""
    blank = float(part.solid.area)
    if screen.gross_mm2 is not None:
        return min(screen.gross_mm2, blank)
    return float(outlines.union(way_of_gas(plate)).intersection(part.solid).area)


def _stage(part: Part, job: Job) -> Iterator[Finding]:
    """The part's openings against the last `[[outlet.stage]]`, which is the way into the open."""
    stages = job.topend.muffler.stages if job.topend.muffler else ()
    if not stages or job.lacking("outlet"):
        return
    own, (name, said) = float(outlines.union(way_of_gas(part)).area), side_by_side(stages)[-1]
    if abs(own - said) > SAME_AREA * max(own, said):
        text = f"its openings have {own:.0f} mm2, the last [[outlet.stage]], '{name}', has {said:.0f} mm2"
        yield _finding(part.name, "warn", text, "correct one of the two", own, said)


def _bolts(part: Part, plate: Part) -> Iterator[Finding]:
    """Two bolts of the plate hold it: its holes are as far apart as two of the plate's."""
    own, others = _bolt_places(part), _bolt_places(plate)
    known = [dist(a, b) for a, b in combinations(others, 2)]
    for a, b in combinations(own, 2):
        away = dist(a, b)
        if not any(abs(away - one) <= APART for one in known):
            text = f"two of its holes are {both(away)} apart, and no two bolts of '{plate.name}' are"
            yield _finding(part.name, "warn", text, "take the places of two bolts of the plate", away, unit="mm")
            return


def _bolt_places(part: Part) -> list[tuple[float, float]]:
    return [hole.center for hole in part.holes if hole.role != "opening"]


def _disc(area: float) -> float:
    return sqrt(4 * area / pi)


def _finding(
    part: str,
    weight: Weight,
    text: str,
    do: str,
    found: float | None = None,
    wanted: float | None = None,
    unit: str = "mm2",
) -> Finding:
    return Finding(rule="outlet", weight=weight, part=part, text=text, do=do, found=found, wanted=wanted, unit=unit)
