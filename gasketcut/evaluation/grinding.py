"""What is to be ground off a port, and what that leaves: of work at a flange, and of two faces of which one stands in
the way of the gas.

Grinding  one port of one face: old edge, new edge, the metal between them, how deep it is all round, the walls left,
          and the step against the other face before and after.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.checks.faces import STEP
from gasketcut.checks.metal.walls import Wall, wall_findings, walls
from gasketcut.evaluation.grown import GrownPort
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.assembly import studs_of
from gasketcut.parts.faces import Face, faces_of
from gasketcut.parts.part import FlangeOpening, Stud
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.words import Drawings
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs, merged
from gasketcut.shape.depths import Depth, Step, depths, steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Grinding:
    """One port of the part of that name [mm].

    face           the face on which it is ground; None where the part speaks of one only
    known          what arcs of the two edges lie on
    flange         the part's edge; None of a joint, which has none
    studs          what a template is held by
    least_wall     the user's limit; None: the walls are only told
    other          the face that it meets; "" where none is known. `before` and `after` are then the steps between them
    is_asked       by `[[work]]`; else it follows from two faces that do not meet
    """

    part: str
    port: str
    face: str | None
    old: Polygon
    new: Polygon
    known: KnownArcs
    flange: Polygon | None
    studs: tuple[Stud, ...]
    depths: tuple[Depth, ...]
    walls: tuple[Wall, ...]
    least_wall: float | None = None
    other: str = ""
    before: tuple[Step, ...] = ()
    after: tuple[Step, ...] = ()
    is_asked: bool = True

    @property
    def metal(self) -> BaseGeometry:
        """What is to be taken off."""
        return self.new.difference(self.old)

    @property
    def taken(self) -> float:
        """Its area [mm2]."""
        return float(self.metal.area)


def grindings(spec: PartSpec, grown: Sequence[GrownPort], drawings: Drawings) -> tuple[Grinding, ...]:
    """Of one part or joint: `spec` as it will be, and the ports that work makes larger."""
    asked = [_of_work(one, spec, drawings) for one in grown if one.part == spec.name]
    return (*asked, *_of_faces(spec, {one.port for one in asked}, drawings))


def found_of(ground: Sequence[Grinding]) -> tuple[Finding, ...]:
    """What is taken off, and the walls that are left."""
    found: list[Finding] = []
    for one in ground:
        found += [_asked(one)] if one.is_asked else []
        walls_left = wall_findings(one.part, one.port, one.walls, one.least_wall)
        # What nobody asked for is only offered: it stops nothing.
        found += [
            each if one.is_asked or each.weight != "stop" else replace(each, weight="warn") for each in walls_left
        ]
    return tuple(found)


def _asked(one: Grinding) -> Finding:
    deepest = max(one.depths, key=lambda depth: depth.mm)
    where = f" of {one.face}" if one.face else ""
    return Finding(
        rule="work",
        weight="note",
        part=one.part,
        at=deepest.start,
        found=one.taken,
        unit="mm2",
        text=f"port '{one.port}'{where} is judged as it is to be ground: {one.taken:.1f} mm2 of metal to take, "
        f"{both(deepest.mm)} deep at {deepest.turn} deg",
        do="grind by the template that make writes; measure the port again after it",
    )


def _of_work(one: GrownPort, spec: PartSpec, drawings: Drawings) -> Grinding:
    old, new = one.before.placed.polygon(drawings), one.after.placed.polygon(drawings)
    before, after, other = _steps(one, spec, old, new, drawings)
    return Grinding(
        part=spec.name,
        port=one.work.port,
        face=one.after.face,
        old=old,
        new=new,
        known=merged([one.before.placed.known(), one.after.placed.known()]),
        flange=one.flange,
        studs=_studs(spec, one.after.face),
        depths=depths(old, new),
        walls=walls(new, old, _holes(spec, one.after.face), _others(spec, one, drawings), one.flange),
        least_wall=one.work.least_wall,
        other=other,
        before=before,
        after=after,
    )


def _steps(
    one: GrownPort, spec: PartSpec, old: Polygon, new: Polygon, drawings: Drawings
) -> tuple[tuple[Step, ...], tuple[Step, ...], str]:
    """Against the port of that name on the other face, before and after; nothing where that is not known."""
    pair = faces_of(spec, drawings)
    if pair is None or one.after.face is None:
        return (), (), ""
    first, second = pair.pair
    is_first = one.after.face == first.name
    facing = second if is_first else first
    meets = _named(facing, one.work.port)
    if meets is None or not meets.shape.intersects(old):
        return (), (), ""
    found = [steps(mine, meets.shape) if is_first else steps(meets.shape, mine) for mine in (old, new)]
    return found[0], found[1], facing.name


def _of_faces(spec: PartSpec, done: set[str], drawings: Drawings) -> Iterator[Grinding]:
    """Where the second face stands in the way of the gas, it is opened to the first."""
    pair = faces_of(spec, drawings)
    if pair is None:
        return
    first, second = pair.pair
    for metal in first.flange_openings:
        meets = _named(second, metal.name)
        if metal.face is None or metal.name in done or meets is None or not meets.shape.intersects(metal.shape):
            continue
        before = steps(metal.shape, meets.shape)
        if max(step.mm for step in before) <= STEP:
            continue
        new = outlines.one_piece(outlines.union([metal.shape, meets.shape]), "joined")
        new = Polygon(new.exterior)
        others = [one for one in second.flange_openings if one.name != metal.name]
        yield Grinding(
            part=spec.name,
            port=metal.name,
            face=second.name,
            old=meets.shape,
            new=new,
            known=merged([one.placed.known() for one in spec.windows if one.name == metal.name]),
            flange=None,
            studs=_studs(spec, second.name),
            depths=depths(meets.shape, new),
            walls=walls(new, meets.shape, _holes(spec, second.name), others, None),
            other=first.name,
            before=before,
            after=steps(metal.shape, new),
            is_asked=False,
        )


def _named(face: Face, name: str) -> FlangeOpening | None:
    return next((one for one in face.flange_openings if one.name == name), None)


def _studs(spec: PartSpec, face: str | None) -> tuple[Stud, ...]:
    """What stands in or goes through that face, or any where none is named; one where two faces say the same place."""
    patterns = (*spec.studs, *spec.dowels)
    own = tuple(one for one in patterns if face is None or one.face in (None, face))
    found = sorted(studs_of(own or patterns), key=lambda stud: stud.diameter)
    return tuple({stud.center: stud for stud in found}.values())


def _holes(spec: PartSpec, face: str | None) -> list[tuple[str, Stud]]:
    """Studs and dowels in the metal of that face, by name."""
    found = []
    for word, patterns in (("stud", spec.studs), ("dowel", spec.dowels)):
        own = studs_of(tuple(one for one in patterns if face is None or one.face in (None, face)))
        found += [(f"{word} {number}", stud) for number, stud in enumerate(own, 1)]
    return found


def _others(spec: PartSpec, one: GrownPort, drawings: Drawings) -> list[FlangeOpening]:
    """Every other port and passage of that face."""
    face = one.after.face
    return [
        FlangeOpening(window.name, window.role, window.placed.polygon(drawings), window.face)
        for window in spec.windows
        if window is not one.after and (face is None or window.face in (None, face))
    ]
