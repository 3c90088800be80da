"""Ports with bays, slots, growth: proven in little work, close to a brute search, with their margin in numbers."""

import json
from math import cos, pi, sin
from time import process_time

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import box

from gasketcut.checks.motion.allowed import allowed_motions
from gasketcut.checks.motion.overhang import worst_overhang
from gasketcut.shape.motion import Locator
from gasketcut.shape.outlines import disc, grown
from tests.checks.test_worst_overhang import Depths, middle, slack, turned_about

L = shapely.Polygon([(-12, -9), (12, -9), (12, 0), (0, 0), (0, 9), (-12, 9)])
OUT, BACK = np.linspace(0.1, pi - 0.1, 100), np.linspace(pi - 0.2, 0.2, 100)
KIDNEY = shapely.Polygon(
    [*((11 * cos(t), 11 * sin(t) - 4) for t in OUT), *((5 * cos(t), 5 * sin(t) - 4) for t in BACK)]
)
BRIDGED = shapely.union_all([box(-13, -6, -2, 6), box(2, -6, 13, 6), box(-3, -1.5, 3, 1.5)])
PORTS = {"an L": L, "a kidney of 200 points": KIDNEY, "two windows bridged": BRIDGED}
ROUND = [Locator((-21.0, 0.0), 0.25), Locator((21.0, 0.0), 0.25)]
SLOTTED = [ROUND[0], Locator((21.0, 0.0), 0.25, 0.75)]
SHEET = box(-32, -22, 32, 22)


def brute(solid, window, locators, growth, seed):
    """The deepest of many motions, found by trying; a share of growth makes the sheet larger first."""
    chance, about, depths = np.random.default_rng(seed), middle(locators), Depths(window)
    arm = float(np.max(np.hypot(*(np.array([one.at for one in locators]) - about).T)))
    best = -np.inf
    for share in np.linspace(0.0, growth, 5) if growth else [0.0]:
        bigger = affinity.scale(solid, 1 + share, 1 + share, origin=tuple(about))
        near = bigger.boundary.intersection(window.buffer(2.0))
        fine = shapely.get_coordinates(shapely.segmentize(near, 0.02))
        places = fine[:: max(1, len(fine) // 120)]
        span = max(one.play + one.slot for one in locators)
        centre, width, top = np.zeros((1, 3)), 1.0, -np.inf
        for step in range(12):
            around = np.repeat(centre, 1500 if step == 0 else 60, axis=0)
            tried = around + width * chance.uniform(-1, 1, around.shape) * (span, span, span / arm)
            tried = np.vstack([tried, centre])
            tried = tried[free_after(locators, tried, share, about) >= 0]
            found, at = depths.deepest(*turned_about(places, tried, about))
            order = np.argsort(found)[::-1][:12]
            centre, width, top = tried[order], width * 0.6, max(top, float(found[order[0]]))
            marks = places[at[order]]
            close = fine[np.min(np.hypot(*(fine[:, None] - marks).transpose(2, 0, 1)), axis=1) < width + 0.1]
            places = np.vstack([close[:: max(1, len(close) // 80)], marks])
        best = max(best, top)
    return best


def free_after(locators, motions, share, about):
    """`slack` of a sheet that has grown: its holes have moved outward by the share, the studs have not."""
    c, s = np.cos(motions[:, 2]), np.sin(motions[:, 2])
    left = np.full(len(motions), np.inf)
    for at, play, half, direction, beside in locators:
        x, y = (np.array(at) + beside - about) * (1 + share)
        off = np.column_stack([at[0] - about[0] - c * x + s * y - motions[:, 0],
                               at[1] - about[1] - s * x - c * y - motions[:, 1]])  # fmt: skip
        way = np.radians(direction) + motions[:, 2]
        along = np.column_stack([np.cos(way), np.sin(way)])
        off = off - np.clip(np.sum(off * along, axis=1), -half, half)[:, None] * along
        left = np.minimum(left, play - np.hypot(*off.T))
    return left


def test_the_search_counts_growth_as_the_other_one_does_without():
    motions = np.random.default_rng(5).uniform(-0.3, 0.3, (50, 3))
    assert free_after(SLOTTED, motions, 0.0, middle(SLOTTED)) == pytest.approx(slack(SLOTTED, motions))


@pytest.mark.parametrize("port", PORTS)
@pytest.mark.parametrize("locators", [ROUND, SLOTTED], ids=["round", "slotted"])
@pytest.mark.parametrize("growth", [0.0, 0.004])
def test_little_work_for_any_port(port, locators, growth):
    window = PORTS[port]
    worst = worst_overhang(SHEET.difference(grown(window, 0.3)), window, allowed_motions(locators, growth))
    assert worst.reached <= worst.bound <= worst.reached + max(0.01, 0.01 * abs(worst.reached))
    assert worst.looked < 4000  # a convex port takes some 300 to 2000; by boxes of motions the L took 250,000


def test_a_port_with_bays_costs_no_more_than_some_convex_ones():
    def cost(window):
        sheet, started = SHEET.difference(grown(window, 0.3)), process_time()
        worst_overhang(sheet, window, allowed_motions(ROUND, 0.004))
        return process_time() - started

    cost(disc((0, 0), 20.0))
    assert cost(L) < 10 * cost(disc((0, 0), 20.0))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_forty_gaskets_against_a_brute_search(seed):
    chance = np.random.default_rng(1000 + seed)
    window = [L, KIDNEY, BRIDGED, disc((0, 0), 20.0)][seed % 4]
    window = affinity.rotate(window, chance.uniform(0, 360), origin=(0, 0))
    if seed % 3 == 0:
        window = affinity.scale(window, -1, 1, origin=(0, 0))
    count = int(chance.integers(2, 5))
    turns = chance.uniform(0, 2 * pi / count) + np.arange(count) * 2 * pi / count
    locators = [
        Locator((float(21 * cos(t)), float(21 * sin(t))), float(chance.uniform(0.1, 0.4)),
                float(chance.choice([0.0, 0.6])), float(chance.uniform(0, 180)))
        for t in turns
    ]  # fmt: skip
    growth = float(chance.choice([0.0, 0.003, -0.003]))
    solid = SHEET.difference(grown(window, float(chance.uniform(0.0, 0.6))))
    worst = worst_overhang(solid, window, allowed_motions(locators, growth))
    best = brute(solid, window, locators, growth, seed)
    print(f"gasket {seed}: bound {worst.bound:.4f}, reached {worst.reached:.4f}, sampled {best:.4f}")
    assert worst.bound >= best - 1e-6
    assert worst.bound <= max(best, worst.reached) + max(0.01, 0.01 * abs(best))


JOB = """units = "mm"
[[stock]]
name = "paper"
thickness = 0.5
[[part]]
name = "cover"
kind = "flat"
stock = "paper"
outline = { rectangle = [64.0, 44.0], corner = 6.0 }
studs = { at = [[-21, 0], [21, 0]], size = "M5" }
[[part.port]]
name = "vent"
shape = { points = [[-12, -9], [12, -9], [12, 0], [0, 0], [0, 9], [-12, 9]] }
"""


def test_a_clear_port_carries_its_margin_in_numbers(command):
    found = json.loads(command("fit", "job.toml", "--json", text=JOB).stdout)
    (row,) = found["parts"][0]["passages"]
    assert (row["name"], row["role"], row["part"]) == ("vent", "port", "cover")
    assert 0.2 < row["clear_mm"] < 0.25
    x, y = row["clear_at"]
    assert L.distance(shapely.Point(x, y)) == pytest.approx(row["clear_mm"], abs=0.01)
    motion = row["clear_motion"]
    assert np.hypot(motion["dx_mm"], motion["dy_mm"]) <= 0.25 * 1.002 + 1e-3
    assert set(motion) == {"dx_mm", "dy_mm", "turn_deg", "growth_percent"}
    (finding,) = [one for one in found["findings"] if one["rule"] == "worst overhang"]
    assert finding["found"] == -row["clear_mm"]
    assert finding["at"] == row["clear_at"]


def test_a_port_far_from_the_sheet_has_a_margin_too(command):
    found = json.loads(command("fit", "job.toml", "--json", text=JOB + "cut = { round = 36.0 }\n").stdout)
    (row,) = found["parts"][0]["passages"]
    assert row["clear_mm"] > 2.0
    assert row["clear_at"] is not None


def test_not_looked_at_is_null(command):
    found = json.loads(command("fit", "job.toml", "--json", text=JOB.replace("studs", "# studs")).stdout)
    (row,) = found["parts"][0]["passages"]
    assert (row["clear_mm"], row["clear_at"], row["clear_motion"]) == (None, None, None)
