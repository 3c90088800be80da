"""What the openings may be for, guessed from size and place: offered with the reason, never taken unasked."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import LineString, MultiPoint, Point, Polygon

from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.roles.openings import Opening, openings_of
from gasketcut.capture.roles.role import Role
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.traced_part import TracedPart
from gasketcut.length import both
from gasketcut.profile.fasteners import FITS, Fasteners, FastenerSize

_MUCH_LARGER = 2.0
"""Times the next one's area: so much larger is the opening. Our choice."""

_ALIKE = 0.15
"""mm by which holes for equal bolts differ in an old gasket. Our choice."""

_OFF_SIZE = 0.25
"""mm by which an old hole may be off a clearance hole: paper wears and swells. Our choice."""

_SMALL = 5.0
"""mm; a wider hole is no impulse passage of a small engine. Common practice, no list was found."""

_BESIDE = 1.5
"""Of the opening's width, from its middle: an impulse hole lies beside it, not at the part's end. Our choice."""


def guesses(part: TracedPart, number: int, said: PartSaid, fasteners: Fasteners) -> list[Proposal]:
    """For what nobody has said yet of a part of a kind that was said.

    number : of the part in its picture
    """
    if not said.kind:
        return []
    openings = openings_of(part)
    left = [one for one in openings if one.name not in said.roles]
    main = next((one for one in openings if _is_main(said, one)), None)
    found = []
    if main is None and said.spec.opening_is and (main := _largest(openings, part)) is not None and main in left:
        role = Role("port", said.spec.opening_is[0]) if said.face else Role("opening")
        found.append(_offer([main], role, f"{main.name} is by far the largest and lies in the middle", number))
    small = [one for one in left if one is not main and one.is_round]
    bolts, size = _bolts(small, main, said, fasteners)
    if size is not None:
        where = f"on either side of {main.name}" if main else "apart"
        words = f"{', '.join(one.name for one in bolts)}: {len(bolts)} equal holes of {both(bolts[0].width)} {where}"
        found.append(_offer(bolts, Role("stud", size.name), words, number))
    rest = [one for one in small if one not in bolts and main is not None and _is_beside(one, main)]
    if "impulse" in said.spec.passages and len(rest) == 1 and not _says(said, "impulse"):
        words = f"{rest[0].name}, {both(rest[0].width)} wide, is the one small hole beside the opening"
        found.append(_offer(rest, Role("passage", "impulse"), words, number))
    return found


def _is_main(said: PartSaid, one: Opening) -> bool:
    role = said.roles.get(one.name)
    return role is not None and (role.what == "opening" or role.of in said.spec.opening_is)


def _says(said: PartSaid, passage: str) -> bool:
    return passage in said.absent or any(role.of == passage for role in said.roles.values())


def _offer(openings: Sequence[Opening], role: Role, words: str, number: int) -> Proposal:
    roles = tuple((one.name, role.text) for one in openings)
    flags = " ".join(f"--as {name}={text}" for name, text in roles)
    return Proposal("role", f"{words}: {flags}?", part=number, roles=roles)


def _largest(openings: Sequence[Opening], part: TracedPart) -> Opening | None:
    by_area = sorted(openings, key=lambda one: -one.contour.area)
    if not by_area or (len(by_area) > 1 and by_area[0].contour.area < _MUCH_LARGER * by_area[1].contour.area):
        return None
    middle = Polygon(part.outline.contour.flattened(0.05)).centroid
    inside = Polygon(by_area[0].contour.flattened(0.05)).contains(middle)
    return by_area[0] if inside else None


def _bolts(
    holes: Sequence[Opening], main: Opening | None, said: PartSaid, fasteners: Fasteners
) -> tuple[list[Opening], FastenerSize | None]:
    """The largest group of equal holes that goes round the opening, and the size of their bolts."""
    groups: list[list[Opening]] = []
    for one in sorted(holes, key=lambda hole: hole.width):
        if groups and one.width - groups[-1][0].width <= _ALIKE:
            groups[-1].append(one)
        else:
            groups.append([one])
    round_it = [group for group in groups if len(group) > 1 and _goes_round(group, main)]
    group = max(round_it, key=lambda one: (len(one), one[0].width), default=[])
    if not group:
        return [], None
    width = sum(one.width for one in group) / len(group)
    size = _threaded(width, fasteners) if said.face else _clear(width, fasteners)
    return (sorted(group, key=lambda one: one.name), size) if size else ([], None)


def _goes_round(group: Sequence[Opening], main: Opening | None) -> bool:
    """Does what they span meet the opening?"""
    if main is None:
        return True
    places = [one.middle for one in group]
    span = LineString(places) if len(places) == 2 else MultiPoint(places).convex_hull
    return bool(span.intersects(Polygon(main.contour.flattened(0.05))))


def _is_beside(one: Opening, main: Opening) -> bool:
    return one.width <= _SMALL and Point(one.middle).distance(Point(main.middle)) <= _BESIDE * main.width


def _clear(width: float, fasteners: Fasteners) -> FastenerSize | None:
    """The metric size with the nearest clearance hole, if one is near."""
    off = [(abs(size.hole(fit) - width), n) for n, size in enumerate(fasteners.sizes) for fit in FITS if size.pitch]
    least, n = min(off, default=(_OFF_SIZE + 1, 0))
    return fasteners.sizes[n] if least <= _OFF_SIZE else None


def _threaded(width: float, fasteners: Fasteners) -> FastenerSize | None:
    """The metric size whose threaded hole is so wide at its mouth, or whose clearance hole is: from core to
    diameter, the nearest middle of the two; ISO 261 for the pitch."""
    cores = [size for size in fasteners.sizes if size.pitch and size.diameter - 1.1 * size.pitch <= width]
    near = [size for size in cores if width <= size.diameter + 0.05]
    threaded = min(near, key=lambda size: abs(size.diameter - (size.pitch or 0) / 2 - width), default=None)
    return threaded or _clear(width, fasteners)
