"""Hole places from caliper readings, against known patterns, other methods and chance."""

import json
import re
from dataclasses import replace
from functools import partial
from itertools import combinations

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import least_squares

from gasketcut import parse_job
from gasketcut.errors import GasketError, JobError
from gasketcut.job.model import CaliperReading, Measure
from gasketcut.length import Measured
from gasketcut.measure.chi_square import chi_square_above, chi_square_quantile
from gasketcut.measure.network import Network, adjust
from gasketcut.measure.pattern import solve

EXACT = 1e-6  # mm
S = 0.05  # mm, standard deviation of a reading

# Invented flanges; the first hole at the origin, the second on +x, the third left of the line between them.
FOUR = {"A": (0.0, 0.0), "B": (54.0, 0.0), "C": (51.5, 46.0), "D": (3.2, 44.4)}
FIVE = {**FOUR, "E": (29.0, 61.0)}
SIZES = {"A": 5.5, "B": 5.52, "C": 6.6, "D": 5.4, "E": 8.2, "bore": 44.0}
RADII = {"centres": (0, 0), "inside": (-1, -1), "outside": (1, 1), "inside-outside": (-1, 1), "outside-inside": (1, -1)}


def shown(places, first, second, over):
    """What a caliper shows over two holes."""
    one, two = RADII[over]
    away = float(np.hypot(*np.subtract(places[first], places[second])))
    return away + one * SIZES[first] / 2 + two * SIZES[second] / 2


def readings(places, over=("centres",), pairs=None, error=lambda: 0.0, sigma=S):
    pairs = list(combinations(places, 2)) if pairs is None else pairs
    return tuple(
        CaliperReading(a, b, Measured(shown(places, a, b, way) + error(), sigma), way)
        for number, (a, b) in enumerate(pairs)
        for way in [over[number % len(over)]]
    )


def measure(distances, known=tuple(SIZES), **more):
    names = {end for one in distances for end in (one.first, one.second)}
    sizes = tuple((name, Measured(SIZES[name], 0.02)) for name in sorted(names) if name in known)
    return Measure(**{"distances": distances, "diameters": sizes, "left": "C", **more})


def off(found, places):
    return max(float(np.hypot(*np.subtract(found.holes[name], places[name]))) for name in places)


def texts(found, weight):
    return " / ".join(one.text for one in found.findings if one.weight == weight)


def advice(found):
    return " / ".join(one.do for one in found.findings if one.weight == "stop")


# --- known patterns come back ---


@pytest.mark.parametrize("places", [FOUR, FIVE], ids=["four", "five"])
@pytest.mark.parametrize("over", [*[(way,) for way in RADII], tuple(RADII)], ids=[*RADII, "mixed"])
def test_exact_readings_give_the_pattern_back(places, over):
    found = solve(measure(readings(places, over)))
    assert off(found, places) < EXACT
    assert found.suspect is None
    assert max(map(abs, found.residuals)) < EXACT
    assert not texts(found, "stop")


@pytest.mark.parametrize("known", ["", "ABDE"])
def test_unknown_diameters_follow_from_inside_and_outside(known):
    found = solve(measure(readings(FIVE, ("inside",)) + readings(FIVE, ("outside",)), known=known))
    assert off(found, FIVE) < EXACT
    assert found.diameters == pytest.approx({name: SIZES[name] for name in FIVE}, abs=EXACT)


def test_the_bore_is_a_hole_like_any_other():
    places = {**FOUR, "bore": (27.3, 22.6)}
    rims = readings(places, ("inside", "outside-inside"), [("bore", name) for name in FOUR])
    assert off(solve(measure(readings(FOUR, ("outside",)) + rims)), places) < EXACT


def test_edges_settle_where_the_holes_lie():
    # Edges x = -8 and y = -7 of the part; two distances between holes, the rest from the edges to the near rims.
    places = {"A": (0.0, 0.0), "B": (40.0, 0.0), "C": (38.0, 30.0)}
    rows = []
    for name, (x, y) in places.items():
        rows += [("left edge", name, x + 8 - SIZES[name] / 2), ("low edge", name, y + 7 - SIZES[name] / 2)]
    edges = tuple(CaliperReading(edge, name, Measured(value, S), "inside") for edge, name, value in rows)
    found = solve(measure(readings(places) + edges, edges=("left edge", "low edge")))
    assert off(found, places) < EXACT


@pytest.mark.parametrize("over", [("centres",), ("inside", "outside")], ids=["centres", "rims"])
@pytest.mark.parametrize("seed", range(4))
def test_readings_with_chance_in_them_come_back_within_four_sigma(over, seed):
    chance = np.random.default_rng(seed)
    found = solve(measure(readings(FIVE, over, error=lambda: chance.normal(0, S))))
    free = fitted_on(np.array([found.holes[name] for name in FIVE]), np.array(list(FIVE.values())))
    for place, (name, true) in zip(free, FIVE.items(), strict=True):
        assert np.max(np.abs(place - true)) < 4 * found.sigma[name]
    assert 0.01 < found.sigma["A"] < 0.1


# --- second opinions ---


def fitted_on(places, target):
    """Moved and turned onto the target by least squares."""
    middle, other = places.mean(axis=0), target.mean(axis=0)
    u, _, v = np.linalg.svd((places - middle).T @ (target - other))
    flip = np.diag([1.0, np.sign(np.linalg.det(u @ v))])
    return (places - middle) @ (u @ flip @ v) + other


def test_as_classical_scaling_of_all_distances_has_it():
    # Torgerson's classical multidimensional scaling: exact for exact distances.
    names = list(FIVE)
    away = np.array([[shown(FIVE, a, b, "centres") for b in names] for a in names])
    centring = np.eye(5) - 0.2
    values, vectors = np.linalg.eigh(-centring @ away**2 @ centring / 2)
    scaled = vectors[:, -2:] * np.sqrt(values[-2:])
    found = np.array([solve(measure(readings(FIVE))).holes[name] for name in names])
    if np.linalg.det(np.column_stack([scaled[1] - scaled[0], scaled[2] - scaled[0]])) < 0:
        scaled = scaled * (1, -1)
    assert np.max(np.abs(fitted_on(scaled, found) - found)) < EXACT


@pytest.mark.parametrize("over", [("centres",), ("outside", "inside")], ids=["centres", "rims"])
@pytest.mark.parametrize("seed", [3, 4])
def test_as_a_general_solver_has_it(over, seed):
    chance = np.random.default_rng(seed)
    job = measure(readings(FIVE, over, error=lambda: chance.normal(0, S)))
    names = list(FIVE)

    def weighted(unknowns):
        x = np.concatenate([[0.0, 0.0, unknowns[0], 0.0], unknowns[1:7]]).reshape(5, 2)
        sizes = dict(zip(names, unknowns[7:], strict=True))
        rows = []
        for one in job.distances:
            first, second = RADII[one.over]
            away = np.hypot(*(x[names.index(one.first)] - x[names.index(one.second)]))
            rows.append((away + first * sizes[one.first] / 2 + second * sizes[one.second] / 2 - one.reading.value) / S)
        return [*rows, *((sizes[name] - value.value) / value.sigma for name, value in job.diameters)]

    start = [54.0, *np.ravel([FIVE[name] for name in "CDE"]), *(SIZES[name] for name in names)]
    best = least_squares(weighted, start, xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    found = solve(job)
    if found.suspect is None:
        assert found.holes["B"][0] == pytest.approx(best[0], abs=EXACT)
        assert np.ravel([found.holes[name] for name in "CDE"]) == pytest.approx(best[1:7], abs=EXACT)
        assert [found.diameters[name] for name in names] == pytest.approx(list(best[7:]), abs=EXACT)


@pytest.mark.slow
def test_the_covariance_is_that_of_a_bootstrap():
    # What the whole covariance says of every distance between two holes, one set of readings drawn anew 300 times.
    chance = np.random.default_rng(7)
    job = measure(readings(FIVE, ("outside", "inside"), error=lambda: chance.normal(0, S)))
    given = tuple((name, value.value, value.sigma) for name, value in job.diameters)
    network = Network(tuple(FIVE), (), job.distances, given)
    start = np.ravel([[*place, SIZES[name]] for name, place in FIVE.items()])
    solved = adjust(network, start)
    fitted, _ = network.predicted(solved.unknowns)
    between = Network(tuple(FIVE), (), readings(FIVE), ())
    drawn = []
    for _ in range(300):
        values = fitted + chance.normal(0, network.sigmas())
        rows = tuple(
            replace(one, reading=Measured(float(value), S)) for one, value in zip(job.distances, values, strict=False)
        )
        sizes = tuple((name, float(v), 0.02) for name, v in zip(FIVE, values[len(rows) :], strict=True))
        drawn.append(between.predicted(adjust(Network(tuple(FIVE), (), rows, sizes), start).unknowns)[0])
    _, jacobian = between.predicted(solved.unknowns)
    said = np.sqrt(np.diag(jacobian @ solved.covariance @ jacobian.T))
    assert said == pytest.approx(np.std(drawn, axis=0), rel=0.15)


@pytest.mark.slow
def test_the_standard_errors_are_those_of_three_hundred_trials():
    chance = np.random.default_rng(11)
    true = np.array(list(FIVE.values()))
    trials = []
    for _ in range(300):
        found = solve(measure(readings(FIVE, ("centres",), error=lambda: chance.normal(0, S))))
        trials.append(fitted_on(np.array([found.holes[name] for name in FIVE]), true) - true)
    spread = np.sqrt(np.mean(np.array(trials) ** 2, axis=(0, 2)))
    assert [found.sigma[name] for name in FIVE] == pytest.approx(list(spread), rel=0.15)


# --- gross errors ---


def with_errors(places, errors, seed=2):
    chance = np.random.default_rng(seed)
    rows = list(readings(places, error=lambda: chance.normal(0, 0.02), sigma=0.03))
    for number, size in errors.items():
        one = rows[number]
        rows[number] = CaliperReading(one.first, one.second, Measured(one.reading.value + size, 0.03), one.over)
    return measure(tuple(rows))


@pytest.mark.parametrize("at", range(10))
@pytest.mark.parametrize("size", [1.0, -0.6, 25.4])
def test_one_gross_error_is_named_with_its_size(at, size):
    found = solve(with_errors(FIVE, {at: size}))
    assert found.suspect == at
    assert found.residuals[at] == pytest.approx(size, abs=0.2)
    assert off(found, FIVE) < 0.15
    one = list(combinations(FIVE, 2))[at]
    assert f"reading {at + 1}, {one[0]} to {one[1]}" in texts(found, "warn")
    assert ("too long" if size > 0 else "too short") in texts(found, "warn")


@pytest.mark.parametrize("at", range(6))
def test_with_four_holes_and_six_distances_an_error_is_seen_but_not_named(at):
    # One reading too many checks all of them alike: every one of the six could be it.
    found = solve(with_errors(FOUR, {at: 1.0}))
    assert found.suspect is None
    assert set(found.suspects) == set(combinations("ABCD", 2))
    assert "4 holes and 6 distances have one reading to spare" in texts(found, "stop")
    assert "a further hole, well off their middle, from all the holes" in advice(found)


@pytest.mark.parametrize("at", range(6))
def test_the_further_hole_that_is_asked_for_names_the_wrong_one(at):
    # What the stop above asks for: a fifth hole read from all four; then each reading has others that check it.
    rows = list(readings(FIVE, pairs=[*combinations("ABCD", 2), *(("E", name) for name in "ABCD")]))
    one = rows[at]
    rows[at] = CaliperReading(one.first, one.second, Measured(one.reading.value + 1.0, S), one.over)
    found = solve(measure(tuple(rows)))
    assert found.suspects == ((one.first, one.second),)
    assert found.suspect == at


@pytest.mark.parametrize("at", [2, 4])
def test_a_wrong_reading_over_edges_is_named_where_the_rest_agree_without_it_alone(at):
    # Five holes, ten distances over their outer edges, one 1.2 mm long: by residuals alone a diameter looks as bad.
    chance = np.random.default_rng(1)
    rows = list(readings(FIVE, ("outside",), error=lambda: chance.normal(0, 0.02), sigma=0.03))
    one = rows[at]
    rows[at] = CaliperReading(one.first, one.second, Measured(one.reading.value + 1.2, 0.03), one.over)
    found = solve(measure(tuple(rows)))
    assert (found.suspect, found.suspects) == (at, ((one.first, one.second),))
    assert off(found, FIVE) < 0.15


# A fifth hole in the middle of a rectangle: the sides check each other too alike.
CENTRED = {"A": (0.0, 0.0), "B": (54.0, 0.0), "C": (54.0, 46.0), "D": (0.0, 46.0), "E": (27.0, 23.5)}


def test_several_suspects_are_listed_and_the_reading_that_tells_them_apart_is_named():
    found = solve(with_errors(CENTRED, {3: 1.2}))
    assert found.suspect is None
    assert len(found.suspects) > 1
    assert ("A", "E") in found.suspects
    # The advice followed: the pair read again, this time rightly or as before, leaves one suspect fewer.
    again = re.search(r"measure (\w) to (\w) again", advice(found))
    assert again is not None
    more = readings(CENTRED, pairs=[again.groups()], sigma=0.03)
    job = with_errors(CENTRED, {3: 1.2})
    after = solve(measure((*job.distances, *more)))
    assert len(set(after.suspects)) < len(found.suspects)
    assert ("A", "E") in after.suspects


def test_a_pair_that_was_not_read_yet_is_asked_for_first():
    # Five holes, eight distances: C to E and D to E are left; one of them shows what is wrong.
    pairs = [pair for pair in combinations("ABCDE", 2) if pair not in {("C", "E"), ("B", "D")}]
    rows = list(readings(FIVE, pairs=pairs, sigma=0.03))
    one = rows[0]
    rows[0] = CaliperReading("A", "B", Measured(one.reading.value + 1.2, 0.03), one.over)
    found = solve(measure(tuple(rows)))
    asked = re.search(r"measure (\w) to (\w) as well", advice(found))
    assert asked is not None, advice(found)
    assert asked.groups() in {("C", "E"), ("B", "D")}
    # What it would show if A to B is wrong is what it really measures.
    shown = re.search(r"about ([\d.]+) mm \([\d.]+ in\) if A to B is wrong", advice(found))
    assert shown is not None, advice(found)
    assert float(shown[1]) == pytest.approx(shown_at(*asked.groups()), abs=0.02)


def shown_at(first, second):
    return float(np.hypot(*np.subtract(FIVE[first], FIVE[second])))


def test_a_wrong_diameter_is_a_suspect_by_its_hole_alone():
    rows = readings(FIVE, ("outside",), sigma=0.03) + readings(FIVE, ("inside",), sigma=0.03)
    sizes = tuple((name, Measured(SIZES[name] + (0.8 if name == "C" else 0.0), 0.02)) for name in FIVE)
    found = solve(Measure(distances=rows, diameters=sizes, left="C"))
    assert found.suspect is None
    assert found.suspects == (("C",),)
    assert "the diameter of C does not agree" in texts(found, "stop")


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 10, 25, 60])
@pytest.mark.parametrize("share", [0.5, 0.95, 0.99, 0.999])
def test_chi_square_against_scipy(share, freedom):
    assert chi_square_quantile(share, freedom) == pytest.approx(stats.chi2.ppf(share, freedom), rel=1e-12)
    assert chi_square_above(2.5, freedom) == pytest.approx(stats.chi2.sf(2.5, freedom), rel=1e-12)


@pytest.mark.parametrize("errors", [{0: 1.0, 7: -1.2}, {3: 0.8, 8: 0.9}, {1: -0.7, 9: 1.5}])
def test_more_than_one_gross_error_is_said_and_not_guessed(errors):
    found = solve(with_errors(FIVE, errors))
    assert found.suspect is None
    assert "more than one reading is wrong" in texts(found, "stop")


def test_readings_that_agree_are_kept():
    for seed in range(20):
        assert solve(with_errors(FIVE, {}, seed)).suspect is None


# --- what readings cannot say ---

SIDES = [("A", "B"), ("B", "C"), ("C", "D"), ("A", "D")]


@pytest.mark.parametrize("pairs", [SIDES, [*list(combinations("ABCD", 2))[:4], ("D", "E")]], ids=["four", "five"])
def test_too_few_readings_name_one_more_until_they_settle_it(pairs):
    pairs, asked = list(pairs), 0
    while message := refused(readings(FIVE, pairs=pairs)):
        more = re.search(r"measure (\w) to (\w) as well", message)
        assert more is not None, message
        assert more.groups() not in pairs
        asked += 1
        pairs.append(more.groups())
    holes = {end for pair in pairs for end in pair}
    assert asked >= 1
    assert len(pairs) == 2 * len(holes) - 3  # a plane pattern of n points hangs on that many


def refused(rows):
    """What is said when the readings do not settle a pattern, or nothing."""
    try:
        solve(measure(rows, rough=tuple(FIVE.items())))
    except GasketError as error:
        return str(error)
    return ""


def test_holes_in_line_read_only_along_the_line_are_refused():
    line = {"A": (0.0, 0.0), "B": (30.0, 0.0), "C": (71.0, 0.0)}
    assert re.search("line|needed", refused(readings(line)))
    for seed in range(12):
        shaken = np.random.default_rng(seed).normal
        assert re.search("line|needed", refused(readings(line, error=partial(shaken, 0, S)))), seed


@pytest.mark.parametrize("missing", list(combinations("ABCD", 2)), ids="".join)
def test_without_one_diagonal_another_arrangement_fits_and_a_sketch_decides(missing):
    # Five of the six: one hole may lie on either side of the line through the two that it was read to.
    rows = readings(FOUR, pairs=[pair for pair in combinations("ABCD", 2) if pair != missing])
    rough = tuple((name, (x + 3.0, y - 2.0)) for name, (x, y) in FOUR.items())
    true = fitted_on(np.array(list(FOUR.values())), np.array([place for _, place in rough]))
    assert off(solve(measure(rows, rough=rough)), dict(zip(FOUR, map(tuple, true), strict=True))) < EXACT
    assert "another arrangement" in texts(solve(measure(rows)), "warn")


def test_left_decides_the_mirror_image():
    rows = readings(FOUR)
    up, down = solve(measure(rows, left="C")), solve(Measure(distances=rows, frame=("B", "A"), left="C"))
    assert up.holes["C"] == pytest.approx(FOUR["C"], abs=EXACT)
    # Seen from B to A with C on the left all lies mirrored: x = 54 - x, y as it was.
    assert down.holes["C"] == pytest.approx((54.0 - 51.5, 46.0), abs=EXACT)
    assert "mirror image" not in texts(up, "warn")
    assert "mirror image" in texts(solve(measure(rows, left=None)), "warn")


def test_inside_and_outside_that_contradict_the_diameters():
    rows = list(readings(FOUR, ("inside",)))
    rows.append(CaliperReading("A", "B", Measured(shown(FOUR, "A", "B", "outside") + 0.8, S), "outside"))
    found = solve(measure(tuple(rows)))
    assert "outside less inside is 11.82 mm, the two diameters are 11.02 mm" in texts(found, "warn")


JOB = """title = "Quay winch"
units = "mm"
[measure]
left = "C"
[measure.holes]
A = 5.5
B = 5.52
"""
ROW = '[[measure.distance]]\nfrom = "{}"\nto = "{}"\nover = "centres"\nreading = {}\n'


def text(changes=()):
    rows = [(*pair, round(shown(FIVE, *pair, "centres"), 4)) for pair in combinations(FIVE, 2)]
    for number, value in changes:
        rows[number] = (*rows[number][:2], value)
    return JOB + "".join(ROW.format(*row) for row in rows)


@pytest.mark.parametrize("reading", ['"61.0 mm +- 0"', "61.0\nsigma = 0", '"61.0 mm +- 0.0 mm"'])
def test_no_reading_is_without_uncertainty(reading):
    with pytest.raises(JobError, match="no reading is that sure"):
        parse_job(text([(4, reading)]))


def test_the_command_prints_the_documented_keys(command):
    done = command("pattern", "job.toml", "--json", text=text([(8, 36.0)]))
    found = json.loads(done.stdout)
    assert done.returncode == 0
    assert {"holes", "sigma_mm", "residuals", "suspect", "suspects"} <= set(found)
    for name, place in found["holes"].items():
        assert place == pytest.approx(FIVE[name], abs=0.001)
    assert found["sigma_mm"].keys() == found["holes"].keys()
    assert len(found["residuals"]) == 10
    true = shown(FIVE, "C", "E", "centres")
    assert found["suspects"] == [["C", "E"]]
    assert (found["suspect"]["from"], found["suspect"]["to"]) == ("C", "E")
    assert found["suspect"]["off_mm"] == pytest.approx(36.0 - true, abs=0.001)


def test_the_command_ends_with_one_where_readings_contradict_and_two_without_them(command):
    assert command("pattern", "job.toml", text=text([(0, 55.0), (7, 49.5)])).returncode == 1
    done = command("pattern", "job.toml", text='title = "x"\nunits = "mm"\n')
    assert (done.returncode, "[measure]" in done.stderr) == (2, True)
