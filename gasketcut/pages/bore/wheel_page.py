"""The degree wheel's two pages: the disc with how to set it true, and the same in figures."""

from __future__ import annotations

from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.events import Event
from gasketcut.engine.squish.result import SquishResult
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.job.model import Job
from gasketcut.length import IN, both
from gasketcut.output.picture import Picture
from gasketcut.pages.bore.wheel import Way, Wheel, draw_wheel
from gasketcut.pages.columns import paragraph, table, wide
from gasketcut.pages.paper import FINE_LINE, MARGIN
from gasketcut.pages.printer import BAR
from gasketcut.plane import Point

_SIZE = 8.0  # points of type
_SIDE, _FOOT = 13.0, 13.0  # mm inside the margin, for the bars

CAUTION = (
    "First: spark plug out, its lead earthed or the ignition off. Turn the crank by hand only, slowly; never with the "
    "starter while a stop is in. The piston only leans on the stop: a hard blow breaks its crown."
)
_SET = (
    "1. Fix the wheel to the crank, bend a wire to point at its rim, and set it near 0 with the piston at the top.",
    "2. Turn back about 40 deg and screw in a blunt stop that holds the piston 20 deg or more before TDC; near TDC "
    "the piston hardly moves and the reading is poor.",
    "3. Turn on gently the one way until the piston leans on the stop and read; turn the other way and read again. "
    "Both must come out the same; TDC is the middle, so turn the wheel on the crank until both read the half-sum.",
)


def wheel_pages(evaluation: Evaluation, size: Point, way: Way = "clockwise") -> tuple[Picture, Picture]:
    """Both pages at the paper's size [mm]; raise `GasketError` if the job has no stroke or no rod."""
    job, answer = evaluation.job, evaluation.known_squish
    crank, found = evaluation.crank, evaluation.events
    return _disc_page(job, answer, size, way, crank, found), _figures_page(job, answer, size, crank, found)


def _disc_page(
    job: Job, answer: SquishResult | None, size: Point, way: Way, crank: Crank, found: tuple[Event, ...]
) -> Picture:
    picture = Picture(*size, f"{job.title}: degree wheel", job.units)
    left, top = MARGIN + _SIDE, size[1] - MARGIN
    width = size[0] - MARGIN - left
    y = top - paragraph(picture, (left, top), f"Degree wheel: {job.title}", width, 14, bold=True) - 1
    rod = f", wrist pin {both(crank.offset)} off the bore's axis" if crank.offset else ""
    rows = [
        f"Full size, for a stroke of {both(crank.stroke)} and a rod of {both(crank.rod)}{rod}. Outer ring: degrees, 0 "
        "at TDC and 180 both ways. Back ring: piston travel from TDC, mm. Ports: "
        + ("none in the job." if not found else _legend(answer, found)),
        f"For a crank that turns {way.upper()} as you look at the printed face; the other kind: --turns "
        + ("counter-clockwise." if way == "clockwise" else "clockwise."),
        CAUTION,
        *_SET,
    ]
    for row in rows:
        y -= paragraph(picture, (left, y), row, width, _SIZE, bold=row is CAUTION) + 0.5
    y = _blanks(picture, (left, y - 6.5), width, ("after TDC, A", "before TDC, B", "half-sum (A + B) / 2"))
    if crank.offset:
        y -= paragraph(picture, (left, y), _offset_words(crank), width, _SIZE) + 0.5
    y = _blanks(picture, (left, y - 6), width, ("seen to turn", "gasket in place", "set by, date"))
    foot = MARGIN + _FOOT
    radius = min((size[0] - 2 * MARGIN - 4) / 2, (y - 1 - foot) / 2)
    middle = (size[0] / 2, foot + radius)
    draw_wheel(picture, Wheel(middle, radius, way, crank, found, job.title))
    _bars(picture, size)
    return picture


def _legend(answer: SquishResult | None, found: tuple[Event, ...]) -> str:
    if all(event.new is None for event in found):
        return "as measured."
    if answer is None:
        return "old solid, new (after [[work]]) dashed and heavier."
    before, after = answer.before.fitted, answer.after.fitted
    work = " and after [[work]]" if answer.work else ""
    return f"old, with {both(before)} under the cylinder, solid; new, with {both(after)}{work}, dashed and heavier."


def _offset_words(crank: Crank) -> str:
    sums = (60.0, 80.0, 100.0, 120.0)
    pairs = [(between, *crank.stop_turns(between)) for between in sums]
    words = "; ".join(
        f"A + B {between:.0f}: {after:.2f} after, {before:.2f} before" for between, after, before in pairs
    )
    return f"The pin's offset makes the halves unequal. True readings: {words}."


def _blanks(picture: Picture, at: Point, width: float, names: tuple[str, ...]) -> float:
    """Words with lines to write on, side by side; return the height of their base line, a little lower."""
    cell = width / len(names)
    for number, name in enumerate(names):
        x = at[0] + cell * number
        picture.words((x, at[1]), name, _SIZE)
        picture.line((x + wide(name, _SIZE) + 1.5, at[1] - 0.6), (x + cell - 3, at[1] - 0.6), width=0.2)
    return at[1] - 1.0


def _bars(picture: Picture, size: Point) -> None:
    """100 mm along and across, to be measured between the same edges of their end lines."""
    x, y, top = MARGIN + 1.0, MARGIN + 6.0, size[1] - MARGIN
    picture.line((x, y), (x + BAR, y), width=FINE_LINE)
    for end in (x, x + BAR):
        picture.line((end, y - 2.5), (end, y + 2.5), width=FINE_LINE)
    words = "100.0 mm (3.937 in). Print at 100 %. Both bars 100.0 mm, from the same edge of each end line;"
    picture.words((x, MARGIN), words + " bars that differ by 1 mm put angles out by up to 0.3 deg.", 6.5)
    x, low = MARGIN + 4.0, top - BAR
    picture.line((x, low), (x, top), width=FINE_LINE)
    for end in (low, top):
        picture.line((x - 2.5, end), (x + 2.5, end), width=FINE_LINE)
    picture.words((x + 4.5, top - 42), "100.0 mm (3.937 in)", 6.5, "middle", turn=90)


# -- figures ---------------------------------------------------------------------------------------------------


def _figures_page(
    job: Job, answer: SquishResult | None, size: Point, crank: Crank, found: tuple[Event, ...]
) -> Picture:
    picture = Picture(*size, f"{job.title}: degrees and travel", job.units)
    left, y, width = MARGIN, size[1] - MARGIN, size[0] - 2 * MARGIN
    y -= paragraph(picture, (left, y), f"Degrees and travel: {job.title}", width, 14, bold=True) + 1
    words = f"Piston travel from TDC, for a stroke of {both(crank.stroke)} and a rod of {both(crank.rod)}."
    if crank.offset:
        words += (
            f" With the pin {both(crank.offset)} off the bore's axis the two strokes differ: the whole travel is "
            f"{both(crank.full_travel)}, and BDC lies {crank.bdc:.2f} deg after TDC. "
            "Columns after and before TDC: mm, each with inches."
        )
    y -= paragraph(picture, (left, y), words, width, _SIZE) + 2
    turns, cell = [*range(2, 42, 2), *range(45, 181, 5)], 13.0
    half, columns = (len(turns) + 1) // 2, 5 if crank.offset else 3
    step = cell * columns + 4
    heights = [
        table(picture, (left, y), [cell] * columns, _travel_rows(turns[:half], crank), 7.5),
        table(picture, (left + step, y), [cell] * columns, _travel_rows(turns[half:], crank), 7.5),
        table(picture, (left + 2 * step, y), [12.0, 13.0, 17.0, 13.0], _angle_rows(crank), 7.5),
    ]
    y -= max(heights) + 4
    if found:
        y -= paragraph(picture, (left, y), "Ports", width, 11, bold=True) + 0.5
        name = width - 6 * 23.0
        y -= table(picture, (left, y), [name] + [23.0] * 6, _event_rows(found), 7.5) + 1
        y -= paragraph(picture, (left, y), _event_words(job, answer, found), width, 7.5)
    return picture


def _travel_rows(turns: list[int], crank: Crank) -> list[list[str]]:
    sides = (1, -1) if crank.offset else (1,)
    names = ["after", "in", "before", "in"] if crank.offset else ["mm", "in"]
    rows = [["deg", *names]]
    for turn in turns:
        travels = [crank.travel(float(side * turn)) for side in sides]
        rows.append([str(turn), *(cell for one in travels for cell in (f"{one:.3f}", f"{one / IN:.4f}"))])
    return rows


def _angle_rows(crank: Crank) -> list[list[str]]:
    """Every half mm near TDC, where ignition is set; then every 5 and every 10 mm."""
    rows = [["mm", "in", "deg after", "before"]]
    travels = [half / 2 for half in range(1, 11)] + [*map(float, range(10, 60, 5)), *map(float, range(60, 201, 10))]
    for travel in travels:
        if travel < crank.full_travel:
            angles = crank.after(travel), crank.before(travel)
            rows.append([f"{travel:.1f}", f"{travel / IN:.4f}", *(f"{angle:.2f}" for angle in angles)])
    return rows


def _event_rows(found: tuple[Event, ...]) -> list[list[str]]:
    """Old and new angle, travel in both units."""
    rows = [["", "old deg", "new deg", "old mm", "in", "new mm", "in"]]
    for event in found:
        row = [f"{event.port} {event.what}", _side(event.old), _side(event.new)]
        for travel in (event.old_travel, event.new_travel):
            row += ["", ""] if travel is None else [f"{travel:.2f}", f"{travel / IN:.4f}"]
        rows.append(row)
    return rows


def _side(turn: float | None) -> str:
    if turn is None:
        return ""
    return f"{abs(turn):.2f} {'after' if turn >= 0 else 'before'}"


def _event_words(job: Job, answer: SquishResult | None, found: tuple[Event, ...]) -> str:
    """What old and new are, and how deep the edges lie in the cylinder."""
    words = []
    if answer is not None:
        words.append(f"Old: {both(answer.before.fitted)} under the cylinder; new: {both(answer.after.fitted)}")
        words[-1] += " and the [[work]] of the job." if answer.work else "."
    words.append("mm: piston travel from TDC at which it opens and closes.")
    if job.engine is not None:
        depths = [
            f"{port.name} {both(event.old_travel + job.engine.deck)}"
            for port in job.engine.ports
            for event in found
            if event.port == port.name and event.what == "opens" and event.old_travel is not None and port.is_by_crown
        ]
        if depths:
            deck = job.engine.deck
            crown = "flush with the deck" if deck == 0 else f"{both(abs(deck))} {'below' if deck > 0 else 'above'} it"
            words.append(f"Roofs below the deck now, the crown at TDC taken as {crown}: {'; '.join(depths)}.")
    return " ".join(words)
