"""From the picture of an old gasket to a job that is proven as far as it can be, and from the cut part's picture back.

Pictures are drawn by an SVG rasteriser from exact contours; what is invented is the gasket.
"""

import json

import pytest
from shapely.geometry import Point, Polygon, box

from gasketcut import evaluate, read_job, read_profiles
from gasketcut.shape.loop import Circle, Loop
from tests.capture.rendered import Disturbed, Thing, card, picture_of

pytest.importorskip("contourpy")
pytestmark = pytest.mark.slow

DPI = 200
QUARTER = 2**0.5 - 1  # bulge of a quarter circle


def rectangle(width, height, corner, at=(0.0, 0.0)):
    x, y, r = width / 2, height / 2, corner
    points = [(-x + r, -y), (x - r, -y), (x, -y + r), (x, y - r), (x - r, y), (-x + r, y), (-x, y - r), (-x, -y + r)]
    return Loop(tuple((a + at[0], b + at[1]) for a, b in points), (0.0, QUARTER) * 4)


WINDOW = (21.0, 15.0, 4.0)
STUDS, STUD, IMPULSE = (-23.0, 23.0), 6.6, ((4.0, 12.5), 3.2)
CARBURETTOR = (
    rectangle(62.0, 36.0, 9.0),
    rectangle(*WINDOW),
    Circle((STUDS[0], 0.0), STUD / 2),
    Circle((STUDS[1], 0.0), STUD / 2),
    Circle(*((IMPULSE[0], IMPULSE[1] / 2))),
)


def saved(picture, path, dpi=DPI):
    picture.save(path, dpi=(dpi, dpi))
    return path


@pytest.fixture(scope="module")
def drawn_once():
    """The old gasket, a little turned, with a card above it."""
    part = Thing(CARBURETTOR, 0.25, (50.0, 28.0), 2.0)
    return picture_of([part, card((50.0, 82.0), 0.55, 0.0)], (100.0, 118.0), DPI, how=Disturbed(grain=2.0, dust=5))


@pytest.fixture
def old(drawn_once, tmp_path):
    """Its picture in the folder of the test."""
    return saved(drawn_once, tmp_path / "old.png")


ROLES = ("--as", "A=stud:M6", "--as", "C=stud:M6", "--as", "B=impulse", "--as", "W1=opening")


TRACED = (
    "trace", "old.png", "--out", "carb.toml", "--kind", "intake", "--name", "carb-gasket", "--stock", "paper 0.5",
    "--thickness", "0.5", *ROLES, "--face-up", "cylinder side", "--absent", "oil,water",
)  # fmt: skip


def test_one_command_gives_a_job_whose_fit_says_what_is_left_to_measure(old, tmp_path, command):
    run = command(*TRACED)
    assert run.returncode == 0, run.stderr + run.stdout

    job = read_job(tmp_path / "carb.toml")
    (part,) = job.parts
    assert part.name == "carb-gasket"
    made = command("make", "carb.toml", "--out", "out")
    assert made.returncode in (0, 1), made.stderr
    assert (tmp_path / "out" / "carb-gasket.dxf").exists(), made.stdout

    fit = command("fit", "carb.toml")
    verdict, _, rest = fit.stdout.partition("warn")
    assert "NOT PROVEN" in verdict
    assert "STOP" not in fit.stdout
    # The metal behind the impulse hole, and the port behind the window, are what nobody has measured yet.
    assert "metal passage 'impulse' not measured" in " ".join(verdict.split())
    assert "no port of the metal is drawn" in " ".join(rest.split())

    cut = evaluate(job, read_profiles()).parts["carb-gasket"].outline
    assert sorted(2 * hole.radius for hole in cut.inner if isinstance(hole, Circle)) == pytest.approx(
        [IMPULSE[1], STUD, STUD], abs=0.01
    )


def test_without_roles_the_flags_to_add_are_printed_and_nothing_is_guessed(old, command):
    run = command("trace", str(old), "--out", "carb.toml", "--kind", "intake", "--name", "carb-gasket")
    said = run.stdout + run.stderr
    assert "--as" in said
    for name in ("A", "B", "C", "W1"):
        assert f"{name}=" in said, said


def outlines(command, tmp_path):
    """Of the part as the job has it: the outer contour, window, holes, as polygons."""
    run = command(*TRACED)
    assert run.returncode == 0, run.stderr + run.stdout


def polygon_of(contour):
    return Polygon(contour.flattened(0.001)) if isinstance(contour, Loop) else Point(contour.center).buffer(
        contour.radius, quad_segs=180
    )  # fmt: skip


def loop_of(polygon):
    points = tuple((float(x), float(y)) for x, y in polygon.exterior.coords[:-1])
    return Loop(points, (0.0,) * len(points))


OFFSET, MOVED, NOTCH = 0.15, 0.3, 0.8


@pytest.fixture
def cut(tmp_path):
    """Cut 0.15 mm outside the line all round, the right stud hole 0.3 mm too high, a notch 0.8 mm deep below."""
    outer = polygon_of(CARBURETTOR[0]).buffer(OFFSET, quad_segs=64)
    low = outer.bounds[1]
    outer = outer.difference(box(-12.0, low - 1, -10.0, low + OFFSET + NOTCH))
    window = polygon_of(CARBURETTOR[1]).buffer(-OFFSET)
    holes = [Circle(one.center, one.radius - OFFSET) for one in CARBURETTOR[2:]]
    holes[1] = Circle((holes[1].center[0], holes[1].center[1] + MOVED), holes[1].radius)
    part = Thing((loop_of(outer), loop_of(window), *holes), 0.3, (52.0, 30.0), 187.0)
    picture = picture_of([part, card((50.0, 84.0), 0.5, 0.0)], (100.0, 120.0), DPI, how=Disturbed(grain=2.0, seed=7))
    return saved(picture, tmp_path / "cut.png")


def test_what_is_wrong_with_the_cut_is_found(old, cut, tmp_path, command):
    outlines(command, tmp_path)
    run = command("compare", "cut.png", "carb.toml", "--part", "carb-gasket", "--json", "--picture", "map.pdf")
    assert run.returncode == 1, run.stderr
    found = json.loads(run.stdout)

    assert found["offset_mm"] == pytest.approx(OFFSET, abs=0.03)
    moved = sorted(hole["moved_mm"] for hole in found["holes"])
    assert moved[-1] == pytest.approx(MOVED, abs=0.03)
    assert all(mm < 0.03 for mm in moved[:-1])
    worst = found["worst"][0]
    assert worst["mm"] == pytest.approx(-NOTCH, abs=0.03)
    assert worst["at"][1] < -17  # below, in the job's own frame, which lies as the old one did
    assert found["verdict"] == "not as drawn"
    assert (tmp_path / "map.pdf").read_bytes().startswith(b"%PDF")


def test_a_cut_as_drawn_passes(old, tmp_path, command):
    outlines(command, tmp_path)
    part = Thing(CARBURETTOR, 0.3, (45.0, 36.0), 91.0)
    picture = picture_of([part, card((50.0, 100.0), 0.5, 0.0)], (100.0, 135.0), DPI, how=Disturbed(grain=2.0, seed=8))
    saved(picture, tmp_path / "good.png")
    run = command("compare", "good.png", "carb.toml", "--part", "carb-gasket", "--within", "0.1mm", "--json")
    assert run.returncode == 0, run.stdout + run.stderr


def test_a_part_turned_over_is_told(old, tmp_path, command):
    outlines(command, tmp_path)
    flipped = tuple(
        Loop(tuple((-x, y) for x, y in reversed(one.points)), (*one.bulges[-2::-1], one.bulges[-1]))
        if isinstance(one, Loop) else Circle((-one.center[0], one.center[1]), one.radius)
        for one in CARBURETTOR
    )  # fmt: skip
    part = Thing(flipped, 0.3, (50.0, 30.0), 5.0)
    picture = picture_of([part, card((50.0, 86.0), 0.5, 0.0)], (100.0, 120.0), DPI, how=Disturbed(seed=9))
    saved(picture, tmp_path / "flipped.png")
    run = command("compare", "flipped.png", "carb.toml", "--part", "carb-gasket")
    assert "mirror" in run.stdout or "turned over" in run.stdout, run.stdout
