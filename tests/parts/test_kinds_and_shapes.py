"""The reed block's gasket, the D and the arc-roofed window; and that a kind, a shape, a rule or a check is one file."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, asin, cos, hypot, pi, sin, sqrt
from typing import Any, ClassVar

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import affinity
from shapely.geometry import Polygon

from gasketcut import Finding, JobError, Verdict, evaluate, parse_job, render
from gasketcut.checked import Margin, Size
from gasketcut.checks import check
from gasketcut.described import key
from gasketcut.errors import ShapeError
from gasketcut.parts.kinds import KINDS, Reed
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.window import Asked
from gasketcut.parts.words import SHAPES, ArcRoof, DShape, Placed, Points, Rectangle, Round, Shape
from gasketcut.shape.loop import Circle
from gasketcut.tolerances import ARC_FIT, CHORD
from tests.making import record_numbers

ROUNDING = 1e-9  # mm2, relative to one mm2
PLAY = 0.25  # mm: an M5 in its medium hole of 5.5 (ISO 273)
PROVEN = 0.003  # mm: what the bound of a motion may stand above what a motion reaches


# -- areas worked out apart from the package -----------------------------------------------------------------------


def d_area(width, height, corner=0.0):
    """A box below half a circle, less what two quarter rounds take away; or the segment of a circle by its rise."""
    half = width / 2
    if height >= half:
        return width * (height - half) + pi * half**2 / 2 - 2 * (1 - pi / 4) * corner**2
    radius = (height**2 + half**2) / (2 * height)
    return radius**2 * acos((radius - height) / radius) - (radius - height) * half


def d_width_at(up, width, height):
    """Of the sharp shape, `up` from its flat side."""
    half = width / 2
    if height >= half:
        over = up - (height - half)
        return width if over <= 0 else 2 * sqrt(max(0.0, half**2 - over**2))
    radius = (height**2 + half**2) / (2 * height)
    return 2 * sqrt(max(0.0, radius**2 - (up + radius - height) ** 2))


def roof_rise(top, roof):
    return roof - sqrt(roof**2 - top**2 / 4)


def arc_roof_area(top, bottom, height, roof):
    """A trapezoid and the segment of a circle on it."""
    half_turn = asin(top / 2 / roof)
    segment = roof**2 * (half_turn - sin(half_turn) * cos(half_turn))
    return (top + bottom) / 2 * (height - roof_rise(top, roof)) + segment


def arc_roof_width_at(up, top, bottom, height, roof):
    eaves = height - roof_rise(top, roof)
    if up <= eaves:
        return bottom + (top - bottom) * up / eaves
    return 2 * sqrt(max(0.0, roof**2 - (up - height + roof) ** 2))


def integrated(width_at, height, *knees):
    """The strips of a shape, added up by scipy."""
    return quad(width_at, 0, height, points=[*knees, 0.999 * height], limit=400)[0]


lengths = st.floats(4.0, 60.0)
shares = st.floats(0.0, 1.0)


@given(width=lengths, height=lengths, share=shares)
@example(width=20.0, height=10.0, share=1.0)  # half a circle and nothing else
@example(width=20.0, height=20.0, share=1.0)  # one corner takes up all of each straight side
def test_the_d_is_as_large_as_its_closed_form_and_its_strips(width, height, share):
    corner = share * max(0.0, min(width / 2, height - width / 2))
    corner = corner if corner > 0.01 else 0.0
    shape = DShape(width, height, corner)
    assert shape.area == pytest.approx(d_area(width, height, corner), rel=1e-9)
    knee = max(0.0, height - width / 2)
    strips = integrated(lambda up: d_width_at(up, width, height), height, knee) - 2 * (1 - pi / 4) * corner**2
    assert shape.area == pytest.approx(strips, rel=1e-5)
    polygon = shape.polygon()
    assert polygon.is_valid
    assert polygon.area == pytest.approx(shape.area, abs=CHORD * polygon.length)
    assert polygon.bounds[:1] + polygon.bounds[1:2] == pytest.approx((-width / 2, -height / 2), abs=CHORD)
    assert polygon.bounds[3] == pytest.approx(height / 2, abs=CHORD)


@given(top=lengths, bottom=lengths, height=lengths, steep=st.floats(0.02, 0.999))
@example(top=30.0, bottom=30.0, height=20.0, steep=0.999)
def test_the_arc_roofed_window_is_as_large_as_its_closed_form_and_its_strips(top, bottom, height, steep):
    roof = top / 2 / steep
    assume(roof_rise(top, roof) < 0.95 * height)
    shape = ArcRoof(top, bottom, height, roof)
    assert shape.area == pytest.approx(arc_roof_area(top, bottom, height, roof), rel=1e-9)
    knee = height - roof_rise(top, roof)
    strips = integrated(lambda up: arc_roof_width_at(up, top, bottom, height, roof), height, knee)
    assert shape.area == pytest.approx(strips, rel=1e-5)
    polygon = shape.polygon()
    assert polygon.is_valid
    assert polygon.area == pytest.approx(shape.area, abs=CHORD * polygon.length)
    assert (polygon.bounds[1], polygon.bounds[3]) == pytest.approx((-height / 2, height / 2), abs=CHORD)


@given(top=lengths, bottom=lengths, height=lengths, steep=st.floats(0.02, 0.95), share=st.floats(0.02, 0.3))
@example(top=26.0, bottom=22.0, height=14.0, steep=0.325, share=0.25)
@example(top=19.9, bottom=24.0, height=20.0, steep=0.995, share=0.2)  # the side leans in more than the roof does
def test_rounded_corners_take_away_what_a_disc_of_their_radius_cannot_reach(top, bottom, height, steep, share):
    # Of a convex shape, everything that a disc of that radius inside it covers: the offset inward and out again.
    roof, corner = top / 2 / steep, share * min(top, bottom, height) / 2
    assume(roof_rise(top, roof) < 0.9 * height)
    sharp = ArcRoof(top, bottom, height, roof)
    try:
        shape = ArcRoof(top, bottom, height, roof, corner)
    except JobError as error:
        assert "does not fit into the corners" in str(error)
        return
    assert is_convex(sharp.polygon()), "the corner between side and roof is one that a disc inside does not touch"
    opened = sharp.polygon().buffer(-corner, quad_segs=400, join_style="mitre").buffer(corner, quad_segs=400)
    assert shape.area == pytest.approx(opened.area, abs=3 * CHORD * opened.length)
    assert shape.polygon().symmetric_difference(opened).area < 4 * CHORD * opened.length
    assert shape.polygon().area == pytest.approx(shape.area, abs=CHORD * opened.length)


def is_convex(polygon: Polygon) -> bool:
    return polygon.convex_hull.area - polygon.area < CHORD * polygon.length


@given(width=lengths, height=lengths, steep=st.floats(0.02, 0.95), bottom=lengths)
def test_both_are_the_same_left_and_right(width, height, steep, bottom):
    roof = width / 2 / steep
    shapes: list[Shape] = [DShape(width, height)]
    if roof_rise(width, roof) < height:
        shapes.append(ArcRoof(width, bottom, height, roof))
    for shape in shapes:
        polygon = shape.polygon()
        mirrored = affinity.scale(polygon, -1, 1, origin=(0, 0))
        assert polygon.symmetric_difference(mirrored).area < 2 * CHORD * polygon.length


def test_the_closed_forms_by_hand():
    # 20 x 16: a box of 20 x 6 below half a circle of 10. Corners of 3 take (4 - pi) 9 / 2.
    assert DShape(20.0, 16.0, 3.0).area == pytest.approx(120 + 50 * pi - (4 - pi) * 4.5, abs=ROUNDING)
    # Rise 4 over 20: radius (16 + 100) / 8 = 14.5.
    assert DShape(20.0, 4.0).area == pytest.approx(14.5**2 * acos(10.5 / 14.5) - 105, abs=ROUNDING)
    # 26 over 24, radius 13: half a circle on a trapezoid 25 wide and 2 high.
    assert ArcRoof(26.0, 24.0, 15.0, 13.0).area == pytest.approx(50 + 13**2 * pi / 2, abs=ROUNDING)


# -- what comes out at the exit ------------------------------------------------------------------------------------

PLATE = """units = "mm"
[[part]]
name = "plate"
kind = "{kind}"
outline = {{ rectangle = [120.0, 110.0] }}
set_back = {set_back}
{more}
"""


def opening_of(shape: str, at: str = "[0, 0]", turn: float = 0.0, set_back: float = 0.5, *, grown: bool = False):
    """The traced opening of a part that has the shape as its opening, or as a port which it opens larger."""
    inner = shape.replace("{ ", f'{{ at = {at}, turn = "{turn} deg", ', 1)
    port = f'[[part.port]]\nname = "port"\nat = {at}\nturn = "{turn} deg"\nshape = {shape}'
    more = port if grown else f"opening = {inner}"
    job = parse_job(PLATE.format(kind="base" if grown else "flat", set_back=set_back, more=more))
    (result,) = evaluate(job).parts.values()
    assert result.outline.deviation <= ARC_FIT
    (inside,) = result.outline.inner
    return inside, result


def radii(contour) -> set[float]:
    return {round(segment.radius, 5) for segment in contour.segments() if segment.bulge}


SHAPES_AND_RADII = [  # words, the shape, its perimeter's radii
    ("{ d-shape = [28.0, 20.0] }", DShape(28.0, 20.0), {14.0}),
    ("{ d-shape = [28.0, 20.0], corner = 3.0 }", DShape(28.0, 20.0, 3.0), {14.0, 3.0}),
    ("{ d-shape = [20.0, 4.0] }", DShape(20.0, 4.0), {14.5}),
    ("{ arc-roof = [26.0, 22.0, 14.0], roof = 40.0 }", ArcRoof(26.0, 22.0, 14.0, 40.0), {40.0}),
    ("{ arc-roof = [26.0, 22.0, 14.0], roof = 40.0, corner = 2.5 }", ArcRoof(26.0, 22.0, 14.0, 40.0, 2.5), {40.0, 2.5}),
    ("{ arc-roof = [20.0, 26.0, 16.0], roof = 15.0, corner = 1.5 }", ArcRoof(20.0, 26.0, 16.0, 15.0, 1.5), {15.0, 1.5}),
]
PLACES = [("[0, 0]", 0.0), ("[12.5, -7.25]", 33.0), ("[-20, 8]", 180.0)]


@pytest.mark.parametrize(("words", "shape", "wanted"), SHAPES_AND_RADII)
@pytest.mark.parametrize(("at", "turn"), PLACES)
def test_every_arc_comes_back_with_the_radius_that_was_given(words, shape, wanted, at, turn):
    contour, result = opening_of(words, at, turn)
    assert radii(contour) == wanted
    assert contour.area == pytest.approx(shape.area, abs=ARC_FIT * contour.length)
    assert result.polygon.area == pytest.approx(120 * 110 - shape.area, abs=CHORD * contour.length)


@pytest.mark.parametrize(("words", "shape", "wanted"), SHAPES_AND_RADII)
@pytest.mark.parametrize("set_back", [0.3, 0.5, 1.25])
@pytest.mark.parametrize(("at", "turn"), PLACES)
def test_opened_by_the_set_back_every_radius_is_so_much_larger(words, shape, wanted, set_back, at, turn):
    contour, result = opening_of(words, at, turn, set_back, grown=True)
    sharp = {set_back} if shape.corner == 0 else set()
    assert radii(contour) == {round(one + set_back, 5) for one in wanted} | sharp
    # A convex shape with every edge moved out by s: area A + L s + pi s2 (Steiner's formula).
    length = shape.polygon().length
    assert contour.area == pytest.approx(
        shape.area + length * set_back + pi * set_back**2, abs=2 * ARC_FIT * contour.length
    )
    (clearance,) = result.clearances
    assert clearance.drawn.gap == pytest.approx(set_back, abs=2 * CHORD)


# -- what is refused, and how --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("{ d-shape = [28.0, 20.0], corner = 6.5 }", "6.5 does not fit beside the round side; the most is 6"),
        ("{ d-shape = [28.0, 40.0], corner = 15.0 }", "15 does not fit beside the round side; the most is 14"),
        ("{ d-shape = [28.0, 10.0], corner = 0.5 }", "0.5 does not fit beside the round side; the most is 0"),
        ("{ d-shape = [28.0] }", "d-shape"),
        ("{ d-shape = [0.0, 10.0] }", "d-shape"),
        ("{ d-shape = [28.0, -10.0] }", "d-shape"),
        ("{ d-shape = [28.0, 20.0], corner = -1.0 }", "corner"),
        ("{ d-shape = [28.0, 20.0], roof = 30.0 }", "roof"),
        ("{ arc-roof = [26.0, 22.0, 14.0], roof = 12.0 }", "12 is less than half the width of 26; the least is 13"),
        ("{ arc-roof = [26.0, 22.0, 12.0], roof = 13.0 }",
         "an arc of 13 rises 13.00 over that width; the height has to be more"),
        ("{ arc-roof = [26.0, 22.0, 14.0], roof = 40.0, corner = 9.0 }", "9 does not fit into the corners"),
        ("{ arc-roof = [26.0, 22.0, 14.0] }", "roof"),
        ("{ arc-roof = [26.0, 22.0], roof = 40.0 }", "arc-roof"),
        ("{ arc-roof = [26.0, 22.0, 14.0], roof = 0.0 }", "roof"),
        ("{ arc-roof = [26.0, 22.0, 14.0], roof = 40.0, ratio = 2 }", "ratio"),
        ("{ arc-roof = [26.0, 22.0, 14.0], roof = 40.0, d-shape = [9.0, 9.0] }", "write one shape"),
    ],
)  # fmt: skip
def test_what_is_no_such_shape_is_refused_with_what_to_write(words, says):
    with pytest.raises(JobError) as caught:
        parse_job(PLATE.format(kind="flat", set_back=0.5, more=f"opening = {words}"))
    assert says in str(caught.value)
    assert {fault.line for fault in caught.value.faults} == {7}


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf"), 1e200])
@pytest.mark.parametrize("at", range(4))
def test_a_program_that_makes_such_a_shape_hears_the_same(bad, at):
    numbers = [26.0, 22.0, 14.0, 40.0]
    numbers[at] = bad
    with pytest.raises(JobError, match="ArcRoof"):
        ArcRoof(*numbers)
    if at < 2:
        with pytest.raises(JobError, match="DShape"):
            DShape(*([bad, 20.0] if at == 0 else [28.0, bad]))


@given(*[st.floats(allow_nan=True, allow_infinity=True)] * 5)
def test_any_numbers_make_a_shape_or_are_refused(top, bottom, height, roof, corner):
    for kind, numbers in ((ArcRoof, (top, bottom, height, roof, corner)), (DShape, (top, height, corner))):
        try:
            shape = kind(*numbers)
        except JobError:
            continue
        assert 0 < shape.area < 1e8


# -- the gasket under a reed block ---------------------------------------------------------------------------------

SETTLED = 'absent = ["impulse", "oil", "water", "drain", "dowel"]\n'
REED = """title = "Reed"
units = "mm"
[[part]]
name = "reed"
kind = "reed"
outline = {{ rectangle = [80.0, 60.0], corner = 5.0 }}
studs = {{ at = [[-32, -22], [32, -22], [32, 22], [-32, 22]], size = "M5" }}
{more}
"""
CAGE = "cage = { rectangle = [38.0, 26.0], corner = 2.0 }\n"


def reed(more: str):
    evaluation = evaluate(parse_job(REED.format(more=more)))
    return evaluation, evaluation.parts["reed"]


@pytest.mark.parametrize("set_back", [0.3, 0.5, 1.0])
def test_without_an_opening_the_cage_is_cut_larger_by_the_set_back(set_back):
    evaluation, result = reed(f"{SETTLED}{CAGE}set_back = {set_back}\n")
    (opening,) = [one for one in result.outline.inner if not isinstance(one, Circle)]
    assert radii(opening) == {2.0 + set_back}
    width, height = 38 + 2 * set_back, 26 + 2 * set_back
    assert opening.area == pytest.approx(width * height - (4 - pi) * (2 + set_back) ** 2, abs=ARC_FIT * opening.length)
    # All of it lies between the studs, where no motion carries anything farther than the play; a shift does as far.
    assert result.clear_mm == pytest.approx(set_back - PLAY, abs=PROVEN)
    assert evaluation.verdict is Verdict.FITS
    said = [one.weight for one in result.findings if one.rule in ("overhang", "worst overhang")]
    assert said == ["note"]  # how clear it stays is said however far off the sheet is


def test_a_cage_that_the_sheet_can_shift_onto_fits_only_as_drawn():
    _, result = reed(f"{SETTLED}{CAGE}set_back = 0.1\n")
    assert result.clear_mm == pytest.approx(0.1 - PLAY, abs=PROVEN)
    assert result.verdict is Verdict.FITS_AS_DRAWN
    (worst,) = [one for one in result.findings if one.rule == "worst overhang"]
    assert (worst.weight, worst.found) == ("warn", pytest.approx(PLAY - 0.1, abs=PROVEN))


def test_an_opening_of_its_own_is_held_against_the_cage():
    opening = "opening = { rectangle = [38.6, 26.6], corner = 2.3 }\n"
    _, result = reed(SETTLED + CAGE + opening)
    (inner,) = [one for one in result.outline.inner if not isinstance(one, Circle)]
    assert inner.area == pytest.approx(38.6 * 26.6 - (4 - pi) * 2.3**2, abs=ARC_FIT * inner.length)
    assert result.clear_mm == pytest.approx(0.3 - PLAY, abs=PROVEN)
    evaluation, small = reed(SETTLED + CAGE + opening.replace("38.6", "37.6"))
    assert (evaluation.verdict, small.verdict) == (Verdict.DOES_NOT_FIT, Verdict.DOES_NOT_FIT)
    (stop,) = [one for one in small.findings if one.weight == "stop"]
    assert (stop.rule, stop.found) == ("overhang", pytest.approx(0.2, abs=2 * CHORD))
    assert "'cage'" in stop.text
    assert render(evaluation) == {}


def test_a_round_cage_stays_a_circle_by_its_own_numbers():
    _, result = reed(SETTLED + "cage = { round = 30.0, at = [1.5, -2.0] }\n")
    assert Circle((1.5, -2.0), 15.5) in result.outline.inner


@pytest.mark.parametrize("missing", ["impulse", "oil", "water", "drain", "dowel"])
def test_every_passage_of_the_block_has_to_be_spoken_of(missing):
    absent = [name for name in ("impulse", "oil", "water", "drain", "dowel") if name != missing]
    _, result = reed(f"absent = {absent}\n{CAGE}".replace("'", '"'))
    assert result.unsaid == (missing,)
    assert result.verdict is Verdict.NOT_PROVEN


def test_the_cage_speaks_of_the_intake_and_nothing_else_does():
    spec = Reed(name="reed", outline=Placed(Round(90.0)), cage=Placed(Rectangle(38.0, 26.0)))
    assert set(spec.spoken_of()) == {"intake", "reed", "cage"}
    oil = '[[part.passage]]\nname = "oil"\nat = [0, 24]\nshape = { round = 4.0 }\n'
    _, result = reed(SETTLED.replace('"oil", ', "") + oil)
    assert result.unsaid == ("intake",)
    # An opening alone says that the intake goes through it, but not what it has to clear.
    _, bare = reed(SETTLED + "opening = { rectangle = [39.0, 27.0] }\n")
    assert bare.unsaid == ("port",)


def test_a_block_without_cage_opening_or_port_is_not_drawn():
    job = parse_job(REED.format(more=SETTLED))
    assert job.parts == ()
    assert [fault.wants for fault in job.incomplete] == ["part.1.cage"]
    assert "'cage' is missing; write the body of the reed cage" in job.incomplete[0].message


@pytest.mark.parametrize("kind", [name for name in KINDS if name != "reed"])
def test_no_other_kind_has_a_cage(kind):
    with pytest.raises(JobError) as caught:
        parse_job(REED.format(more=CAGE).replace('kind = "reed"', f'kind = "{kind}"'))
    assert 'cage: belongs to kind = "reed" only' in str(caught.value)


@pytest.mark.parametrize(
    ("more", "code", "says"),
    [
        (SETTLED + CAGE, 0, "its"),
        (SETTLED + CAGE + "set_back = 0.1\n", 1, "drawn"),
        (CAGE, 1, "not proven"),
        (SETTLED + CAGE + "opening = { rectangle = [37.0, 27.0] }\n", 1, "not fit"),
        (SETTLED, 2, "cage"),
    ],
)
def test_the_answer_of_fit_is_its_exit_code(command, more, code, says):
    done = command("fit", "job.toml", text=REED.format(more=more))
    assert done.returncode == code, done.stdout + done.stderr
    assert says in (done.stdout + done.stderr).lower()


# -- one file each: a kind, a shape, a check ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeper(PartSpec):
    """A part of a kind that the package does not know: its slit is cut across its middle."""

    kind: ClassVar[str] = "keeper"
    passages: ClassVar[tuple[str, ...]] = ("grease",)
    seals: ClassVar[bool] = True
    cautions: ClassVar[tuple[str, ...]] = ("Mind the spring.",)

    slit: Size = key(3.0, what="width of the slit across its middle", how="feeler", example="3.0")

    def cuts(self, around: Around) -> list[Asked]:
        return [Asked(Placed(Rectangle(20.0, self.slit))), *PartSpec.cuts(self, around)]


@dataclass(frozen=True, slots=True)
class Diamond(Shape):
    """A square on its corner, by its diagonal."""

    word: ClassVar[str] = "diamond"

    diagonal: Size = key(name="diamond", what="a square on its corner", how="calipers over its corners", example="20.0")
    margin: Margin = key(0.0, what="added all round", how="yours to choose", example="1.0")

    @property
    def area(self) -> float:
        return self._across**2 / 2

    @property
    def _across(self) -> float:
        return self.diagonal + 2 * self.margin

    def polygon(self, drawings: Any = None) -> Polygon:  # noqa: ARG002
        half = self._across / 2
        return Polygon([(half, 0), (0, half), (-half, 0), (0, -half)])


KEEPER = """title = "Keeper"
units = "mm"
[[part]]
name = "keeper"
kind = "keeper"
slit = 4.0
outline = { round = 60.0 }
studs = { at = [[-24, 0], [24, 0]], size = "M5" }
"""
GREASE = '[[part.passage]]\nname = "grease"\nat = [0, 18]\nshape = { round = 3.0 }\n'


def test_a_kind_is_its_class_and_one_line(monkeypatch):
    with pytest.raises(JobError, match="keeper"):
        parse_job(KEEPER)
    monkeypatch.setitem(KINDS, "keeper", Keeper)

    evaluation = evaluate(parse_job(KEEPER))
    result = evaluation.parts["keeper"]
    area = pi * 30**2 - 80 - 2 * pi * 2.75**2
    assert result.outline.area == pytest.approx(area, abs=1e-6)
    assert result.unsaid == ("grease", "port")
    assert evaluation.verdict is Verdict.NOT_PROVEN
    files = render(evaluation)
    assert {"keeper.dxf", "keeper.svg", "keeper.pdf", "report.json"} <= set(files)
    assert b"keeper" in files["report.json"]
    assert "keeper" in str(record_numbers(parse_job(KEEPER), "2024-05-01"))
    assert evaluate(parse_job(KEEPER + GREASE)).verdict is Verdict.FITS
    # Its own key belongs to it, and to no other kind.
    with pytest.raises(JobError, match='slit: belongs to kind = "keeper" only'):
        parse_job(KEEPER.replace('kind = "keeper"', 'kind = "flat"'))
    with pytest.raises(JobError, match="slit"):
        parse_job(KEEPER.replace("slit = 4.0", "slit = -4.0"))


def test_a_shape_is_its_class_and_one_line(monkeypatch):
    job = KEEPER.replace('"keeper"', '"flat"').replace("slit = 4.0\n", "opening = { diamond = 20.0, margin = 1.0 }\n")
    with pytest.raises(JobError, match="write one shape"):
        parse_job(job)
    monkeypatch.setitem(SHAPES, "diamond", Diamond)

    (result,) = evaluate(parse_job(job)).parts.values()
    assert result.outline.area == pytest.approx(pi * 30**2 - 22**2 / 2 - 2 * pi * 2.75**2, abs=1e-6)
    (opening,) = [one for one in result.outline.inner if not isinstance(one, Circle)]
    assert sorted(hypot(*place) for place in opening.points) == pytest.approx([11.0] * 4, abs=1e-6)
    assert f"{result.name}.dxf" in render(evaluate(parse_job(job)))
    with pytest.raises(JobError, match="diamond"):
        parse_job(job.replace("diamond = 20.0", "diamond = 0.0"))


def test_a_check_is_one_function_and_one_line(monkeypatch):
    def weighed(subject: Any) -> Iterator[Finding]:
        yield Finding(rule="land", weight="stop", part=subject.part.name, text="too light", do="take more of it")

    job = parse_job(REED.format(more=SETTLED + CAGE))
    assert evaluate(job).verdict is Verdict.FITS
    monkeypatch.setattr(check, "CHECKS", (*check.CHECKS, weighed))
    evaluation = evaluate(job)
    assert evaluation.verdict is Verdict.DOES_NOT_FIT
    assert evaluation.findings[0].text == "too light"
    assert render(evaluation) == {}


def test_a_line_of_arcs_that_crosses_itself_is_a_fault_and_no_traceback():
    with pytest.raises(ShapeError, match="does not go round once without crossing"):
        Points(points=((0.0, 0.0), (20.0, 10.0), (20.0, 0.0), (0.0, 10.0)), bulges=(0.0, 0.0, 0.0, 0.1)).polygon()
    assert Points(points=((0.0, 0.0), (20.0, 0.0)), bulges=(1.0, 1.0)).polygon().area == pytest.approx(314.1, abs=0.2)
