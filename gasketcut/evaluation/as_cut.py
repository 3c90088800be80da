"""A part as it was cut, put through the checks of the part as it was drawn.

The metal is the job's, and so is all that was said of it; outline, holes and openings are those that were cut. A hole
that was cut beside its place still has to go over its stud, so the sheet lies as its holes let it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import hypot

import shapely
from shapely import affinity
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from gasketcut.checks.check import checked
from gasketcut.checks.clearance import Clearance, locators
from gasketcut.checks.passages import unsaid
from gasketcut.checks.sealing.lands import Narrowest
from gasketcut.checks.sealing.seal import Seal
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.part_result import PartResult, verdict_of
from gasketcut.evaluation.passage_row import PassageRow, passage_row
from gasketcut.evaluation.work_out import subject_of
from gasketcut.finding import Finding, sorted_findings
from gasketcut.length import both
from gasketcut.parts.part import Cut, Hole, Part, Stud
from gasketcut.plane import Point, place_text
from gasketcut.shape import outlines
from gasketcut.shape.loop import Circle, Contour, Outline
from gasketcut.shape.motion import seat
from gasketcut.verdict import Verdict

_FINE = 0.001
"""mm; how far straight lines may lie off what was cut."""

_OF_THIS_CUT = 1.0
"""mm beyond the drawing to which a cut that ran into another is still this one. Our choice."""


@dataclass(frozen=True, slots=True)
class CutContours:
    """What was cut, as it lies on the drawing [mm].

    inner : what became of each inner contour of the drawing, in its order; None: it is not there
    extra : openings that nobody drew
    """

    outer: Contour
    inner: tuple[Contour | None, ...]
    extra: tuple[Contour, ...] = ()


@dataclass(frozen=True, slots=True)
class AsCut:
    """What the checks say of the part that was cut; `drawn` is what they say of the drawing."""

    drawn: PartResult
    part: Part
    clearances: tuple[Clearance, ...]
    seals: tuple[Seal, ...]
    narrowest: Narrowest | None
    findings: tuple[Finding, ...]
    verdict: Verdict

    @property
    def passages(self) -> tuple[PassageRow, ...]:
        """What is proven of each port and passage of the metal, in numbers."""
        return tuple(passage_row(self.part.name, one, self.seals) for one in self.clearances)

    @property
    def own_findings(self) -> tuple[Finding, ...]:
        """Those of the part itself, without what the rest of the job has to say of it."""
        return tuple(one for one in self.findings if one not in self.drawn.jobs_findings)

    @property
    def is_spoilt(self) -> bool:
        """Does the part not fit though it would, had it been cut as drawn?"""
        return self.verdict is Verdict.DOES_NOT_FIT and self.drawn.verdict is not Verdict.DOES_NOT_FIT

    @property
    def spoilt_by(self) -> tuple[Finding, ...]:
        """The stops, if it is spoilt: the drawing had none."""
        return tuple(one for one in self.findings if one.weight == "stop") if self.is_spoilt else ()


def as_cut(evaluation: Evaluation, name: str, cut: CutContours) -> AsCut:
    """The checks of that part of the job, with the contours that were cut in place of the drawn ones."""
    drawn = evaluation.parts[name]
    part = _part(drawn.part, drawn.outline, cut)
    profiles, units = evaluation.profiles, evaluation.job.units
    subject = subject_of(part, drawn.spec, drawn.around, profiles)
    own = [*_on_studs(part), *_not_cut(drawn, cut), *checked(subject)]
    findings = (*(one.in_order(units) for one in own), *drawn.jobs_findings)
    left = unsaid(part, drawn.spec, profiles.joints)
    verdict = verdict_of(findings, left, subject.clearances)
    return AsCut(drawn, part, subject.clearances, subject.seals, subject.narrowest, sorted_findings(findings), verdict)


def _part(part: Part, drawn: Outline, cut: CutContours) -> Part:
    places = _Places(drawn, cut)
    outer, alone = _polygon(cut.outer), len(part.studs) == 1
    holes = [places.hole_of(one) for one in part.holes]
    rounds = [places.hole_of(one) for one in part.round_holes]
    studs = [places.stud_of(one) for one in part.studs]
    cuts = [places.cut_of(one, part.cuts) for one in part.cuts]
    gone = [*(one for one in places.became.values() if one is not None), *map(_polygon, cut.extra)]
    solid = outlines.pieces(outer.difference(outlines.union(gone)))
    extra = [Cut(f"what was cut at {place_text(_middle(one))}", _polygon(one), None) for one in cut.extra]
    made = replace(
        part,
        outer=outer,
        solid=max(solid, key=lambda one: float(one.area)),
        holes=tuple(one for one in holes if one is not None),
        round_holes=tuple(one for one in rounds if one is not None),
        studs=tuple(one for one in studs if one is not None),
        cuts=(*(one for one in cuts if one is not None), *extra),
        openings=tuple(one for n, one in places.became.items() if one is not None and not places.is_round(n)),
        drawn=None,
        nick=None,
        unnicked=None,
    )
    if alone and made.studs and any(made.studs[0].off):
        # On one stud it turns as it likes: it lies with its hole on the stud.
        x, y = made.studs[0].off
        return _moved(made, (-x, -y))
    return made


@dataclass(frozen=True)
class _Places:
    """Which of the drawing's inner contours each thing lies in, and what became of it."""

    drawn: Outline
    now: CutContours

    @cached_property
    def before(self) -> tuple[Polygon, ...]:
        return tuple(map(_polygon, self.drawn.inner))

    @cached_property
    def became(self) -> Mapping[int, Polygon | None]:
        return {n: _polygon(one) if one is not None else None for n, one in enumerate(self.now.inner)}

    def is_round(self, number: int) -> bool:
        return isinstance(self.now.inner[number], Circle)

    def number(self, at: Point) -> int | None:
        """Of the inner contour round that place; None: it is open to the outside, or not cut at all."""
        place = ShapelyPoint(at)
        return next((n for n, one in enumerate(self.before) if one.contains(place)), None)

    def hole_of(self, hole: Hole) -> Hole | None:
        number = self.number(hole.center)
        if number is None or not isinstance(self.drawn.inner[number], Circle):
            return hole
        found = self.now.inner[number]
        return replace(hole, center=found.center, diameter=2 * found.radius) if isinstance(found, Circle) else None

    def stud_of(self, stud: Stud) -> Stud | None:
        number = self.number(stud.center)
        if number is None:
            return stud
        before, after = self.drawn.inner[number], self.now.inner[number]
        old, new = self.before[number], self.became[number]
        if new is None:
            return None
        off = (float(new.centroid.x - old.centroid.x), float(new.centroid.y - old.centroid.y))
        if isinstance(before, Circle) and isinstance(after, Circle):
            return replace(stud, hole=2 * after.radius, off=off)
        wider = 2 * (new.area - old.area) / old.length
        return replace(stud, hole=stud.hole + float(wider), off=off)

    def number_of(self, cut: Cut) -> int | None:
        middle = cut.shape.representative_point()
        return self.number((middle.x, middle.y))

    def cut_of(self, cut: Cut, every: Sequence[Cut]) -> Cut | None:
        number = self.number_of(cut)
        if number is None:
            return cut
        shape = self.became[number]
        if shape is None:
            return None
        if sum(self.number_of(one) == number for one in every) > 1:
            near = outlines.pieces(shape.intersection(outlines.grown(cut.shape, _OF_THIS_CUT)))
            return replace(cut, shape=max(near, key=lambda one: float(one.area))) if near else None
        return replace(cut, shape=shape)


def _on_studs(part: Part) -> Iterator[Finding]:
    """A stop where it no longer goes over its studs."""
    holes = locators(part.studs)
    if not any(hypot(*one.off) for one in part.studs) and all(one.play >= 0 for one in holes):
        return
    there = [one._replace(at=(one.at[0] + one.off[0], one.at[1] + one.off[1]), off=(0.0, 0.0)) for one in holes]
    lacks = seat(there, [one.center for one in part.studs])
    if lacks > 0:
        worst = max(part.studs, key=lambda one: hypot(*one.off) - one.play)
        yield Finding(
            rule="hole",
            weight="stop",
            part=part.name,
            at=worst.center,
            found=lacks,
            wanted=0.0,
            text=f"as it was cut it does not go over its studs: the holes lack {both(lacks)} of play",
            do=f"open out each hole by {both(2 * lacks)}, or cut it anew",
        )


def _not_cut(drawn: PartResult, cut: CutContours) -> Iterator[Finding]:
    for before, after in zip(drawn.outline.inner, cut.inner, strict=True):
        if after is None:
            yield Finding(
                rule="hole",
                weight="stop",
                part=drawn.name,
                at=_middle(before),
                text="what was to be cut here is not cut",
                do="cut it",
            )


def _moved(part: Part, by: Point) -> Part:
    def shape(one: Polygon) -> Polygon:
        return affinity.translate(one, *by)

    def hole(one: Hole) -> Hole:
        return replace(one, center=(one.center[0] + by[0], one.center[1] + by[1]))

    return replace(
        part,
        outer=shape(part.outer),
        solid=shape(part.solid),
        holes=tuple(map(hole, part.holes)),
        round_holes=tuple(map(hole, part.round_holes)),
        studs=tuple(replace(one, off=(0.0, 0.0)) for one in part.studs),
        cuts=tuple(replace(one, shape=shape(one.shape)) for one in part.cuts),
        openings=tuple(map(shape, part.openings)),
    )


def _polygon(contour: Contour) -> Polygon:
    if isinstance(contour, Circle):
        return outlines.disc(contour.center, 2 * contour.radius)
    made = Polygon(contour.flattened(_FINE))
    if not made.is_valid:  # where an edge is ragged the picture's may cross itself by a pixel
        made = max(outlines.pieces(shapely.make_valid(made)), key=lambda one: float(one.area))
    (found,) = outlines.pieces(made.simplify(_FINE))
    return found


def _middle(contour: Contour) -> Point:
    middle = _polygon(contour).centroid
    return float(middle.x), float(middle.y)
