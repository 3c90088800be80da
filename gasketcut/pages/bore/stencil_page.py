"""Words and figures of the port stencil: how it lies in the bore, and every window's numbers, old and new."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from gasketcut.engine.assumptions import WIDTH_LIMIT, WIDTH_START
from gasketcut.engine.ports.unrolled import OnWall, WallWindow
from gasketcut.length import both, in_order
from gasketcut.output.picture import Picture
from gasketcut.pages.bore.stencil import Stencil
from gasketcut.pages.columns import paragraph, table
from gasketcut.pages.paper import MARGIN
from gasketcut.plane import Point

_PAPER = 0.10
"""mm; copy paper of 80 g/m2. Common practice: ten sheets measure about a millimetre."""

_SIZE = 8.0  # points of type

CAUTION = (
    "Metal that is off cannot be put back: stay short of the dashed line and check with the degree wheel. Take the "
    "cylinder off first, protect your eyes, wash every chip out; break each edge, a sharp one catches the ring. The "
    "maker's figures come first."
)


def heading_of(stencil: Stencil) -> str:
    """Which of the two mirror images it is."""
    return f"Port stencil, seen from {stencil.seen} the bore"


def rows_of(stencil: Stencil) -> list[str]:
    """The words beside the drawing, few enough for the head of a page."""
    lies = (
        "Printed side to the bore's axis: slip it into the bore, its upper edge flush with the deck, 'front' to the "
        "exhaust side."
        if stencil.seen == "inside"
        else "Printed side out: wrap it round a bar of the bore's diameter. In the bore, print to the axis, it would "
        "be the mirror image: for that --seen inside."
    )
    rows = [
        f"{stencil.title}: the wall laid flat, bore {both(stencil.wall.bore)}.",
        lies,
        f"Solid: edges as they are. {_dashed(stencil)}",
        "Print at 100 %, not 'fit to page'. Each bar must measure 100.0 mm between the same edges of its end lines, "
        f"the stencil's width {both(stencil.width, 1)}.",
    ]
    return [in_order(row, stencil.units) for row in rows]


def _dashed(stencil: Stencil) -> str:
    worked = any(one.new is not None and not one.restores for one in stencil.wall.windows)
    restored = any(one.restores for one in stencil.wall.windows)
    words = ["Dashed: edges after the [[work]] of the job."] if worked else []
    if restored:
        way = "lower" if stencil.wall.raised < 0 else "higher"
        words.append(
            f"{'Dashed on the other ports' if worked else 'Dashed'}: where the edge would have to be to bring the old "
            f"timing back, once the cylinder stands {both(abs(stencil.wall.raised))} {way}; only if you want that."
        )
    return " ".join(words) or "Nothing is asked to be taken off."


def figures_page(stencil: Stencil, size: Point) -> Picture:
    """The second page, at the paper's size [mm]."""
    picture = Picture(*size, f"{stencil.title}: port figures", stencil.units)
    left, y, width = MARGIN, size[1] - MARGIN, size[0] - 2 * MARGIN
    y -= paragraph(picture, (left, y), f"Ports on the wall: {stencil.title}", width, 14, bold=True) + 1
    rows = [["", "centre", "width as chord", "width on the wall", "roof from the deck", "floor from the deck"]]
    for one in stencil.wall.windows:
        rows.append(_row(one.old.name + (", old" if one.new else ""), one.old, stencil.wall.bore))
        if one.new is not None:
            rows.append(_row(one.new.name + (", to restore" if one.restores else ", new"), one.new, stencil.wall.bore))
    y -= table(picture, (left, y), [width - 16.0 - 4 * 34.0, 16.0] + [34.0] * 4, rows, 7.5) + 2
    for words in (*_changes(stencil), *_pin(stencil), *_left_out(stencil)):
        y -= paragraph(picture, (left, y), words, width, _SIZE) + 1
    y -= 2
    for words in _use(stencil):
        y -= paragraph(picture, (left, y), words, width, _SIZE, bold=words is CAUTION) + 1
    return picture


def _row(name: str, window: WallWindow, bore: float) -> list[str]:
    sizes = window.chord, window.wall(bore), window.roof, window.floor
    return [name, f"{window.centre % 360:g} deg", *map(both, sizes)]


def _changes(stencil: Stencil) -> Iterator[str]:
    exhausts = stencil.wall.exhausts
    for one in stencil.wall.windows:
        words = [*_widening(one, stencil.wall.bore), *_edges(one)]
        if words:
            yield f"{one.old.name}: {'; '.join(words)}."
        if one.old.name in exhausts:
            old, new = stencil.wall.chord_shares[one.old.name]
            yield (
                f"{one.old.name}: the chord is {old:.0%} of the bore"
                + (f", then {new:.0%}" if new != old else "")
                + f"; a tuner's handbook starts at {WIDTH_START:.0%} and ends at {WIDTH_LIMIT:.0%}, of the chord and "
                "not of the wall."
            )


def _widening(one: OnWall, bore: float) -> list[str]:
    if one.new is None or one.new.chord <= one.old.chord:
        return []
    chord, wall = one.new.chord - one.old.chord, one.new.wall(bore) - one.old.wall(bore)
    return [
        f"wider by {both(chord)} as chord, which is {both(wall)} on the wall; at each side {both(chord / 2)} as chord, "
        f"{both(wall / 2)} on the wall"
    ]


def _edges(one: OnWall) -> list[str]:
    if one.new is None:
        return []
    moves = [("roof up", one.old.roof - one.new.roof), ("floor down", one.new.floor - one.old.floor)]
    why = " to bring the old timing back" if one.restores else ""
    return [f"{what} {both(mm)}{why}" for what, mm in moves if mm > 0]


def _pin(stencil: Stencil) -> Iterator[str]:
    if stencil.wall.ring_pin is None:
        return
    found = []
    for one in stencil.wall.windows:
        shown = [both(round(margin, 4) + 0.0) for margin in stencil.wall.pin_margins[one.old.name]]
        found.append(f"{one.old.name} {' then '.join(dict.fromkeys(shown))}")
    yield (
        f"Ring pin at {stencil.wall.ring_pin % 360:g} deg; along the wall from it to each window's nearer edge: "
        f"{'; '.join(found)}. Below zero it lies in the window. No published least was found."
    )


def _left_out(stencil: Stencil) -> Iterator[str]:
    for one in stencil.wall.left_out:
        yield f"Not drawn: {one.name}. Add to its line in [engine.ports]: {'; '.join(one.add)}."


def _use(stencil: Stencil) -> Iterator[str]:
    off = pi * _PAPER
    crown = stencil.wall.crown
    stands = "flush with the deck" if crown == 0 else f"{both(abs(crown))} {'below' if crown > 0 else 'above'} the deck"
    yield f"Heights are from the deck; where the job gives an angle or a travel, the crown at TDC is taken as {stands}."
    if stencil.seen == "inside":
        yield (
            "Cut the outline out, and the windows to the dashed line where there is one. Slip it in with the print to "
            f"the axis and slide the ends over each other: paper t thick lies on π x (bore - t), so at {both(_PAPER)} "
            f"the ends overlap by {both(off)}. Glue the flap only then. Scribe through the windows."
        )
    else:
        yield (
            "Cut the outline out and wrap it round a bar of the bore's diameter, print out. Paper t thick lies on "
            f"π x (bore + t), so at {both(_PAPER)} the ends stay {both(off)} apart; on a bar thinner by t they meet."
        )
    yield "How thick yours is: callipers over ten sheets, a tenth of that."
    yield CAUTION
