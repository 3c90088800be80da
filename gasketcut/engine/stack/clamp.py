"""How hard the bolts press the gasket."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi

from gasketcut.engine.assumptions import MOST_OF_PROOF
from gasketcut.finding import Finding
from gasketcut.job.model import Clamp
from gasketcut.parts.holes import Holes
from gasketcut.profile.fasteners import Fasteners

PROOF_MPA = {"8.8": 580.0, "10.9": 830.0, "12.9": 970.0}
"""Proof stress by class, up to M16 (ISO 898-1, as tables of proof loads give it)."""


AGREES = 0.05
"""Share by which two statements of one clamp may differ: a torque wrench is good to 4 %. Our choice."""


@dataclass(frozen=True, slots=True)
class ClampLoad:
    """Force of one bolt [N], its share of the proof load (None for an inch size), and stress on the gasket [MPa]."""

    force: float
    of_proof: float | None
    stress: float
    bolts: int
    by_studs: bool = False


def bolt_force(torque_nm: float, diameter: float, k: float) -> float:
    """Force of a bolt [N] from T = K F d; K 0.20 dry, 0.17 zinc, 0.15 lubricated (a fastener chart's notes).

    >>> round(bolt_force(5.9, 5.0, 0.20))
    5900
    """
    return torque_nm / (k * diameter / 1000)


def stress_area(diameter: float, pitch: float) -> float:
    """Stress area of a metric thread [mm2]: pi/4 (d - 0.9382 P)^2, ISO 898-1.

    >>> round(stress_area(5.0, 0.8), 2)
    14.18
    """
    return pi / 4 * (diameter - 0.9382 * pitch) ** 2


def clamp_load(clamp: Clamp, fasteners: Fasteners, drawn_mm2: float | None = None) -> ClampLoad:
    """Force and stress of the joint as `[clamp]` has it, on the drawn gasket's area where there is one.

    In soft cases the thread and not the bolt is the limit: follow the maker. Raise `ValueError` if no area is known.
    """
    size = fasteners.size(clamp.size)
    force = bolt_force(clamp.torque_nm, size.diameter, clamp.k)
    of_proof = None
    if size.pitch is not None:
        of_proof = force / (PROOF_MPA[clamp.strength] * stress_area(size.diameter, size.pitch))
    area = drawn_mm2 or clamp.area_mm2
    if area is None:
        raise ValueError("[clamp] has no area_mm2, and no base gasket is drawn")
    return ClampLoad(force, of_proof, clamp.bolts * force / area, clamp.bolts)


def joint_load(studs: Sequence[Holes], drawn_mm2: float) -> ClampLoad | None:
    """Force of the hardest stud and stress of the joint as its studs have it; None where no torque is said."""
    forces = [
        bolt_force(pattern.torque_nm, pattern.stud, pattern.k)
        for pattern in studs
        if pattern.torque_nm is not None and pattern.stud is not None and pattern.face is None
        for _ in pattern.at
    ]
    return ClampLoad(max(forces), None, sum(forces) / drawn_mm2, len(forces), by_studs=True) if forces else None


def agreement(
    clamp: Clamp, fasteners: Fasteners, drawn: ClampLoad | None, drawn_mm2: float | None, part: str
) -> Iterator[Finding]:
    """What `[clamp]` says against what is drawn: a warning for each that differs, with both; the drawn one is used."""
    if drawn_mm2 is not None and clamp.area_mm2 is not None and abs(clamp.area_mm2 / drawn_mm2 - 1) > AGREES:
        yield Finding(
            rule="clamp",
            weight="warn",
            part=part,
            found=clamp.area_mm2,
            unit="mm2",
            wanted=drawn_mm2,
            text=f"[clamp] says the gasket has {clamp.area_mm2:.0f} mm2, drawn it has {drawn_mm2:.0f} mm2; "
            "the drawn area is used",
            do="correct area_mm2, or check the outline",
        )
    own = clamp_load(clamp, fasteners, drawn_mm2)
    if drawn is not None and abs(own.stress / drawn.stress - 1) > AGREES:
        yield Finding(
            rule="clamp",
            weight="warn",
            part=part,
            found=own.stress,
            unit="MPa",
            wanted=drawn.stress,
            text=f"[clamp] presses it with {own.stress:.1f} MPa, the torque of its studs with {drawn.stress:.1f} MPa; "
            "the studs count",
            do="say the torque once: at the studs, or in [clamp]",
        )


def clamping(clamp: Clamp | None, load: ClampLoad | None) -> Iterator[Finding]:
    """The joint's clamp stress as a note; a warning where the torque asks too much of the bolt."""
    if clamp is None or load is None or load.by_studs:
        return
    text = (
        f"{clamp.bolts} x {clamp.size} at {clamp.torque_nm:g} N m (K {clamp.k:g}) press the gasket with about "
        f"{load.stress:.1f} MPa"
    )
    hard = load.of_proof is not None and load.of_proof > MOST_OF_PROOF + 0.01
    if load.of_proof is not None:
        text += f", {load.of_proof:.0%} of a class {clamp.strength} bolt's proof load"
    yield Finding(
        rule="clamp",
        weight="warn" if hard else "note",
        part=None,
        text=text,
        do="the thread in a soft case gives way before the bolt: go by the maker's torque" if hard else "nothing",
        found=load.stress,
        unit="MPa",
    )
