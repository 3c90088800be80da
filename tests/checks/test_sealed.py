"""The sealed width is a lower bound: never above what a search of our own finds, and hardly below it."""

from math import hypot

import numpy as np
import pytest
import shapely
from shapely import affinity

from gasketcut import evaluate, parse_job
from gasketcut.checks.sealing.seal import OUTSIDE, least_seal, seals
from gasketcut.output.data.report import fit_data
from gasketcut.verdict import Verdict
from tests.checks.test_merges import BASE, CARB, carb, texts

FLOAT = 1e-6  # mm
CLOSE, NEAR = 0.03, 0.03  # share and mm by which the bound may stand below the narrowest motion found


# --- a search of our own: motions are tried on each hole, distances are asked of the shapes ---


def allowed(studs, motions, growth):
    """Does every stud go through its hole? Motions (dx, dy, turn), shape (n, 3)."""
    middle = np.mean([stud.center for stud in studs], axis=0)
    good = np.ones(len(motions), dtype=bool)
    c, s = np.cos(motions[:, 2]), np.sin(motions[:, 2])
    for stud in studs:
        x, y = (np.array(stud.center) - middle) * (1 + growth)
        off = (
            stud.center[0] - middle[0] - (c * x - s * y + motions[:, 0]),
            stud.center[1] - middle[1] - (s * x + c * y + motions[:, 1]),
        )
        turn = np.radians(stud.turn) + motions[:, 2]
        along = np.clip(off[0] * np.cos(turn) + off[1] * np.sin(turn), -stud.slot, stud.slot)
        good &= np.hypot(off[0] - along * np.cos(turn), off[1] - along * np.sin(turn)) <= stud.play + FLOAT
    return good


def outermost(studs, growth, count, rng):
    """Motions at the ends of what the studs allow: each direction followed until a hole touches its stud."""
    reach = max(hypot(*stud.center) for stud in studs) + 1.0
    ways = rng.normal(size=(count, 3)) / [1, 1, reach]
    if not allowed(studs, np.zeros((1, 3)), growth)[0]:
        return np.empty((0, 3))
    low, high = np.zeros(count), np.full(count, 3.0)
    for _ in range(40):
        halfway = (low + high) / 2
        good = allowed(studs, ways * halfway[:, None], growth)
        low, high = np.where(good, halfway, low), np.where(good, high, halfway)
    return ways * low[:, None]


def width_after(part, window, motion, growth, middle):
    """Between the gas of the window and every other gas, hole and the outside, after one motion of a grown sheet."""

    def moved(shape):
        grown = affinity.scale(shape, 1 + growth, 1 + growth, origin=middle)
        turned = affinity.rotate(grown, motion[2], origin=middle, use_radians=True)
        return affinity.translate(turned, motion[0], motion[1])

    own = [window.shape, *(moved(cut.shape) for cut in part.cuts if cut.way == window.way)]
    others = [moved(part.solid.exterior), *(moved(cut.shape) for cut in part.cuts if cut.way != window.way)]
    others += [other.shape for other in part.flange_openings if other.way != window.way]
    return float(shapely.union_all(own).distance(shapely.union_all(others)))


def sampled(part, window, growth_percent, seed=1, count=60):
    """The narrowest width that any tried motion leaves, sharpened about the best of them."""
    rng = np.random.default_rng(seed)
    places = np.array([stud.center for stud in part.studs])
    middle = tuple(places.mean(axis=0))
    best = np.inf
    for growth in {0.0, growth_percent / 200, growth_percent / 100}:
        motions = np.vstack([np.zeros((1, 3)), outermost(part.studs, growth, count, rng)])
        motions = motions[allowed(part.studs, motions, growth)]
        if not len(motions):
            continue
        found = [width_after(part, window, motion, growth, middle) for motion in motions]
        at, least, step = motions[int(np.argmin(found))], min(found), 0.1
        while step > 0.002:
            tried = at + rng.normal(size=(12, 3)) * step * [1, 1, 0.05]
            # A motion that goes too far is shortened until the studs let it.
            for _ in range(6):
                bad = ~allowed(part.studs, tried, growth)
                tried[bad] *= 0.985
            tried = tried[allowed(part.studs, tried, growth)]
            nearer = [width_after(part, window, motion, growth, middle) for motion in tried]
            if nearer and min(nearer) < least - 1e-5:
                at, least = tried[int(np.argmin(nearer))], min(nearer)
            else:
                step /= 2
        best = min(best, least)
    return best


def held(part, growth=0.0):
    """Of every window: bound and the least found; no bound above, none far below."""
    found = seals(part, growth, 1.5)
    loose = []
    for window in part.flange_openings:
        seal = least_seal(found, window)
        least = sampled(part, window, growth)
        assert seal.width <= least + 1e-5, (window.name, seal, least)
        assert seal.width >= least - max(NEAR, CLOSE * least), (window.name, seal, least)
        loose.append(least - seal.width)
    return loose


SLOTS = "[[-21, 0]], slot = [9, 5.5], stud_diameter = 5"


@pytest.mark.parametrize(
    ("port", "at", "more", "growth"),
    [
        ("{ round = 19.4 }", "[0, -13.2]", "set_back = 0.1", 0.0),
        ("{ rectangle = [22, 13], corner = 4 }", "[4, -9.5]", "set_back = 0", 0.0),
        ("{ oval = [22, 13] }", "[6, -9.5]", "set_back = 0.05", 0.6),
        ("{ slot = [22, 13] }", "[12, -9]", "set_back = 0.1", -0.5),
    ],
)
def test_sealed_is_a_close_lower_bound(port, at, more, growth):
    text = CARB.replace("set_back = 0.5\n", "").format(port=port, at=at, more=more, joins="", port_joins="")

    held(evaluate(parse_job(text)).parts["carb-gasket"].part, growth)


def random_gasket(seed):
    rng = np.random.default_rng(seed)
    width, height = rng.uniform(18, 24), rng.uniform(11, 16)
    port = [
        f"{{ rectangle = [{width:.2f}, {height:.2f}], corner = {rng.uniform(0.5, 4):.2f} }}",
        f"{{ oval = [{width:.2f}, {height:.2f}] }}",
        f"{{ slot = [{width:.2f}, {height:.2f}] }}",
        f"{{ round = {height:.2f} }}",
        # An L, the inward corner toward the passage.
        f"{{ points = [[-9, -6], [2, -6], [2, -1], [9, -1], [9, 6], [-9, 6]], corner = {rng.uniform(0, 1):.2f} }}",
    ][seed % 5]
    side = rng.choice([-1, 1])
    at = f"[{rng.uniform(-8, 8):.2f}, {side * (height / 2 + 1.5 + rng.uniform(1.2, 2.5)):.2f}]"
    size = rng.choice(["4.4", "5.0", "5.2"])
    studs = f"{{ at = [[-21, {rng.uniform(-3, 3):.2f}], [21, 0]], diameter = 5.5, stud_diameter = {size} }}"
    if seed % 4 == 3:
        studs = (
            f"[{studs.replace('[[-21', '[[-21.5')}, {{ at = [0, {-side * 15}], slot = [7, 5.5], stud_diameter = 5.0 }}]"
        )
    growth = [0.0, 0.0, 0.4, -0.4][seed % 4]
    text = CARB.replace("set_back = 0.5\n", f"set_back = {rng.uniform(0, 0.4):.2f}\n")
    text = text.replace(
        'studs = {{ at = [[-21, 0], [21, 0]], size = "M5" }}', f"studs = {studs}".replace("{", "{{").replace("}", "}}")
    )
    turn = f'turn = "{rng.uniform(-10, 10):.1f} deg"'
    return text.format(port=port, at=at, more="", joins="", port_joins=turn), growth


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_sealed_of_random_gaskets_is_a_close_lower_bound(seed):
    text, growth = random_gasket(seed)

    print(max(held(evaluate(parse_job(text)).parts["carb-gasket"].part, growth)))


# --- closed forms ---


def test_two_round_openings_come_nearer_by_what_the_studs_let_the_sheet_move():
    # One shift of both holes by the play: the moved passage comes nearer to the port in the metal by 0.25.
    text = CARB.replace("set_back = 0.5\n", "set_back = 0\n").format(
        port="{ round = 19.4 }", at="[0, -12.95]", more="", joins="", port_joins=""
    )
    part = evaluate(parse_job(text)).parts["carb-gasket"]
    intake = least_seal(part.seals, part.part.flange_openings[0])

    assert intake.against == "passage 'impulse'"
    assert intake.width == pytest.approx(12.95 - 9.7 - 1.25 - 0.25, abs=0.01)
    assert intake.still == pytest.approx(2.0, abs=0.005)
    # Either the passage's opening comes up to the port, or the port's opening comes down to the passage.
    dy = intake.motion[1]
    assert abs(dy) == pytest.approx(0.25, abs=0.01)
    assert intake.at == pytest.approx((0, (-9.7 - 11.7 + dy) / 2), abs=0.05)


def test_a_set_back_larger_than_the_play_leaves_the_web_of_the_sheet():
    part = carb(at="[0, -14]")
    intake = least_seal(part.seals, part.part.flange_openings[0])

    assert (intake.width, intake.motion) == (pytest.approx(14 - 9.7 - 1.25 - 1.0, abs=0.005), None)


LOOSE = "studs = { at = [[-21, 0], [21, 0]], diameter = 7.4, stud_diameter = 5 }"


def loose(at, more=""):
    text = CARB.replace('studs = {{ at = [[-21, 0], [21, 0]], size = "M5" }}', "{more}").replace(
        "{more}\n{more}", "{more}"
    )
    text = text.replace("set_back = 0.5", "set_back = 0")
    return evaluate(parse_job(text.format(port="{ round = 19.4 }", at=at, more=LOOSE, joins="", port_joins="")))


@pytest.mark.parametrize(("gap", "weight"), [(1.1, "stop"), (1.9, "warn"), (2.6, "warn"), (2.8, "note")])
def test_below_the_stocks_width_it_warns_and_at_nothing_it_stops(gap, weight):
    e = loose(f"[0, {-(9.7 + 1.25 + gap)}]")
    part = e.parts["carb-gasket"]
    found = texts(part, "seal")

    assert [one for one, _ in found] == [weight]  # seen from either side it is one finding
    assert "port 'intake'" in found[0][1] or "passage 'impulse'" in found[0][1]
    assert (part.verdict is Verdict.DOES_NOT_FIT) is (weight == "stop")


def test_json_says_of_each_port_and_passage_how_wide_it_is_sealed_where_and_against_what():
    (data,) = fit_data(loose("[0, -12.95]"))["parts"]
    port, passage = data["passages"]

    assert (port["name"], port["sealed_against"]) == ("intake", "passage 'impulse'")
    assert (passage["name"], passage["sealed_against"]) == ("impulse", "port 'intake'")
    assert port["sealed_mm"] == pytest.approx(2.0 - 1.2, abs=0.03)
    assert set(port["sealed_motion"]) == {"dx_mm", "dy_mm", "turn_deg"}
    dy = port["sealed_motion"]["dy_mm"]
    assert abs(dy) == pytest.approx(1.2, abs=0.02)
    assert port["sealed_at"] == pytest.approx([0, (-9.7 - 11.7 + dy) / 2], abs=0.2)


def test_the_outside_and_a_studs_hole_count():
    edge = evaluate(parse_job(BASE.format(at="[-22.5, 0.5]", joins='joins = ["bore"]'))).parts["base"]
    assert least_seal(edge.seals, edge.part.flange_openings[0]).against == OUTSIDE

    wide = carb("{ rectangle = [34, 12], corner = 2 }", "[0, -12]")
    assert "the stud's hole at" in least_seal(wide.seals, wide.part.flange_openings[0]).against


def test_what_joins_is_not_sealed_against_each_other():
    part = carb(joins='joins = ["intake"]')

    assert {one.against for one in part.seals} == {
        OUTSIDE, "the stud's hole at (-21, 0)", "the stud's hole at (21, 0)"
    }  # fmt: skip


def test_without_studs_nothing_is_said_of_it():
    text = CARB.replace('studs = {{ at = [[-21, 0], [21, 0]], size = "M5" }}', "")
    e = evaluate(parse_job(text.format(port="{ round = 12 }", at="[0, -12]", more="", joins="", port_joins="")))

    assert [one["sealed_mm"] for one in fit_data(e)["parts"][0]["passages"]] == [None, None]
    assert e.verdict is Verdict.NOT_PROVEN


def test_the_width_that_has_to_stay_comes_from_the_sheet():
    from gasketcut.profile.profiles import Profiles

    sheets = Profiles().sheets
    assert [sheets.seal(name) for name in (None, "can", "graphite-steel", "steel")] == [1.5, 1.5, 1.25, 1.0]
