"""The search for ways: deeds put back into other sums, no nearer way on a grid, closed forms, posted work."""

from __future__ import annotations

from itertools import product
from math import acos, cos, degrees, pi, radians, sin, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut import evaluate, parse_job
from gasketcut.engine.assumptions import NOTICED
from gasketcut.engine.ports.crank import Crank
from tests.engine.test_ways import E1, E3, RELATIVE, deeds, job_of, near, ways


def travel(stroke, rod, turn):
    throw = stroke / 2
    return throw * (1 - cos(radians(turn))) + rod - sqrt(rod**2 - (throw * sin(radians(turn))) ** 2)


def angle(stroke, rod, down):
    throw = stroke / 2
    pin = throw + rod - down
    return degrees(acos((pin**2 + throw**2 - rod**2) / (2 * pin * throw)))


def forward(engine, way, present):
    """The engine after the deeds, from nothing but its sizes and what was done."""
    sizes, ports, squish = engine
    bore, stroke, rod = sizes["bore"], sizes["stroke"], sizes["rod"]
    done = deeds(way)
    area, bowl = pi / 4 * bore**2, bore - 2 * sizes["squish_band"]
    band = area - pi / 4 * bowl**2
    fitted = done.get(("gasket", None), present)
    lowered = present - fitted + done.get(("base cut", None), 0) - done.get(("spacer", None), 0)
    cut, head = done.get(("band cut", None), 0), done.get(("head cut", None), 0)
    bowl_cc = done.get(("bowl", None), 0)
    chamber = sizes["chamber_cc"] * 1000 - area * (lowered + head) + band * cut + 1000 * bowl_cc
    roofs = {name: travel(stroke, rod, 180 - ports[name] / 2) + lowered for name in ("exhaust", "transfer")}
    for name in roofs:
        roofs[name] -= done.get(("raise", name), 0)
    floor = travel(stroke, rod, ports["intake"] / 2) + lowered + done.get(("lower", "intake"), 0)
    trapped = 1 + area * roofs["exhaust"] / chamber
    opens = {name: angle(stroke, rod, down) for name, down in roofs.items()}
    return {
        "squish_mm": squish - lowered + cut - head,
        "exhaust_deg": 360 - 2 * opens["exhaust"],
        "transfer_deg": 360 - 2 * opens["transfer"],
        "intake_deg": 2 * angle(stroke, rod, floor),
        "blowdown_deg": opens["transfer"] - opens["exhaust"],
        "trapped": trapped,
        "full": 1 + area * stroke / chamber,
        "chamber_cc": chamber / 1000,
        "cranking_psi": 101.325 / 6.894757 * (trapped**1.3 - 1),
    }


ALL = ["gasket", "ports", "base cut", "band cut", "head cut", "spacer", "bowl"]
PRESENT = 0.5


@settings(max_examples=15)
@given(
    squish=st.floats(0.35, 1.2),
    wanted=st.fixed_dictionaries(
        {},
        optional={
            "exhaust": st.floats(150, 175),
            "transfer": st.floats(108, 130),
            "intake": st.floats(140, 165),
            "trapped": st.floats(6.0, 9.0),
            "full": st.floats(9.0, 12.0),
        },
    ),
    may=st.sets(st.sampled_from(ALL), min_size=1),
)
def test_deeds_put_back_give_what_is_said_and_what_is_not_missed_is_had(squish, wanted, may):
    found = ways(E1, squish, {**wanted, "may": sorted(may)}, present=PRESENT)

    assert found.ways
    for way in found.ways:
        back = forward(E1, way, PRESENT)
        assert back == {key: near(way.reached[key]) for key in back}
        assert all(deed.mm is None or deed.mm >= 0 for deed in way.deeds)
        for want in found.wants:
            off = way.missed.get(want.figure, 0.0)
            value = back[want.figure]
            assert value == pytest.approx(min(max(value, want.low), want.high) + off, rel=RELATIVE)


@settings(max_examples=6)
@given(
    offset=st.floats(-2, 2),
    exhaust=st.floats(158, 170),
    transfer=st.floats(105, 113),
    squish=st.floats(0.5, 0.7),
    ratio=st.floats(6.2, 7.0),
)
def test_under_a_pin_offset_too_what_is_wanted_is_had(offset, exhaust, transfer, squish, ratio):
    sizes, ports, measured = E1
    engine = ({**sizes, "pin_offset": offset, "deck": 0.3}, ports, measured)
    wanted = {"exhaust": exhaust, "transfer": transfer, "trapped": ratio}
    first = ways(engine, squish, {**wanted, "may": ["base cut", "band cut", "exhaust", "bowl"]}).ways[0]
    crank, done = Crank(sizes["stroke"], sizes["rod"], offset), deeds(first)

    assert first.missed == {}
    # Put back: the transfer's roof is nothing but lowered, the exhaust's lowered and raised.
    roofs = {name: crank.travel_between(360 - ports[name]) for name in ("exhaust", "transfer")}
    low = roofs["transfer"] + done["base cut", None]
    high = roofs["exhaust"] + done["base cut", None] - done["raise", "exhaust"]
    assert 360 - crank.after(low) - crank.before(low) == near(transfer)
    assert 360 - crank.after(high) - crank.before(high) == near(exhaust)


def test_on_a_grid_of_deeds_no_nearer_way_is_found():
    # Brute force: every height, band cut and edge in steps; nothing misses less than the first way, by the same count.
    for squish, wanted, may in (
        (0.508, {"exhaust": 160, "blowdown": 22}, ["base cut", "band cut", "exhaust"]),
        (0.50, {"transfer": 112, "trapped": 8.4}, ["base cut", "band cut"]),
        (0.60, {"exhaust": "[158, 161]", "transfer": 118.5, "trapped": 7.9}, ["base cut", "band cut", "ports"]),
    ):
        found = ways(E1, squish, {**wanted, "may": may})
        assert _least_on_grid(found, may) >= _missed(found.wants, found.ways[0].reached) - 1e-9


@pytest.mark.slow
@settings(max_examples=12)
@given(
    squish=st.floats(0.4, 0.9),
    wanted=st.fixed_dictionaries(
        {"exhaust": st.floats(152, 166), "trapped": st.floats(6.5, 8.5)},
        optional={"transfer": st.floats(112, 120), "blowdown": st.floats(18, 26)},
    ),
    may=st.sampled_from([["base cut", "exhaust"], ["base cut", "band cut", "ports"], ["base cut", "bowl", "band cut"]]),
)
def test_on_many_grids_no_nearer_way_is_found(squish, wanted, may):
    found = ways(E1, squish, {**wanted, "may": may})
    nearest = min(_missed(found.wants, way.reached) for way in found.ways)
    assert _least_on_grid(found, may) >= nearest - 1e-9


def _missed(wants, reached):
    return sum(abs(want.off(reached[want.figure])) / NOTICED[want.figure] for want in wants)


def _least_on_grid(found, may):
    class Done:
        def __init__(self, *steps):
            self.deeds = tuple(Step(*one) for one in steps if one[2])

    class Step:
        def __init__(self, does, port, size):
            self.does, self.port = does, port
            self.mm, self.cc = (None, size) if does == "bowl" else (size, None)

    steps = [number / 20 for number in range(13)]
    axes = [
        [("base cut", None, size) for size in steps],
        [("band cut", None, size) for size in (steps if "band cut" in may else [0])],
        [("raise", "exhaust", size) for size in (steps if {"ports", "exhaust"} & set(may) else [0])],
        [("raise", "transfer", size) for size in (steps if "ports" in may else [0])],
        [("bowl", None, size) for size in (steps if "bowl" in may else [0])],
    ]
    return min(_missed(found.wants, forward(E1, Done(*one), 0.6)) for one in product(*axes))


@pytest.mark.parametrize("transfer", [113.0, 115.5, 118.0, 121.0])
def test_spacer_and_deck_by_their_closed_forms(transfer):
    # s = x_tr - x(180 - T/2), d = h + s - h*: from the definition of travel.
    sizes, ports, squish = E3
    roof = travel(sizes["stroke"], sizes["rod"], 180 - ports["transfer"] / 2)
    up = roof - travel(sizes["stroke"], sizes["rod"], 180 - transfer / 2)
    first = ways(E3, 0.70, {"transfer": transfer, "may": ["spacer", "head cut"]}).ways[0]

    assert deeds(first) == {("spacer", None): near(up), ("head cut", None): near(squish + up - 0.70)}


# -- posted work -----------------------------------------------------------------------------------------------------


def timed(stroke, rod, ports, wanted, deck=0.0):
    said = "\n".join(f"{name} = {{ {rows} }}" for name, rows in ports.items())
    keys = "\n".join(f"{key} = {value}" for key, value in wanted.items())
    text = f"""units = "mm"
[engine]
stroke = {stroke}
rod = {rod}
deck = {deck}
[engine.ports]
{said}
[squish]
measured = 1.0
target = 1.0
[wanted]
{keys}
"""
    found = evaluate(parse_job(text)).ways
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("depth", "duration", "raised"), [(26.0, 169.779, 2.0), (24.0, 180.563, 4.0), (21.5, 193.720, 6.5)]
)
def test_a_forums_chart_of_depth_and_duration(depth, duration, raised):
    # P1 to P3: a moped single of 43 mm stroke, roof below the deck -> duration (a forum's chart reprinted on a moped
    # page; stroke from memory). Rod 90 fits it: 28.0 mm is 158.637 deg, and 26.0, 24.0, 21.5 as above.
    found = timed(43, 90, {"exhaust": "depth = 28.0"}, {"exhaust": duration, "may": ["exhaust"]})
    (first,) = found.ways

    assert found.reached_now["exhaust_deg"] == pytest.approx(158.637, abs=5e-4)
    assert deeds(first) == {("raise", "exhaust"): pytest.approx(raised, abs=2e-4)}
    assert 28.0 - raised == depth


@pytest.mark.parametrize(("wanted", "spacer"), [(190, 1.745), (200, 3.514)])
def test_a_spacer_for_ten_and_twenty_degrees(wanted, spacer):
    # P5: a moped race cylinder, exhaust 180, "just over 200" with a spacer, 190 wanted (a blog of 2010). Stroke
    # 39.6 and rod 80 are assumed; the figures follow from them.
    found = timed(39.6, 80, {"exhaust": 'duration = "180 deg"'}, {"exhaust": wanted, "may": ["spacer"]})
    kept = next(way for way in found.ways if "exhaust_deg" not in way.missed)

    assert deeds(kept) == {("spacer", None): pytest.approx(spacer, abs=6e-4)}
    assert set(kept.missed) == {"squish_mm"}


def test_roofs_for_durations_where_the_crown_is_flush():
    # P6: a scooter of 62 mm stroke, rod 120, crown flush at TDC: 35.0733, 32.3400, 30.9564 mm deep for 180, 190, 195.
    ports = {"exhaust": "depth = 35.0733"}
    for wanted, depth in ((190, 32.3400), (195, 30.9564)):
        (first,) = timed(62, 120, ports, {"exhaust": wanted, "may": ["ports"]}).ways
        assert 35.0733 - deeds(first)["raise", "exhaust"] == pytest.approx(depth, abs=1e-4)


def test_a_plate_under_the_barrel_lifts_the_transfers_more_than_the_exhaust():
    # A posted case: 57 mm stroke, rod 110 (not in the post; fits it), 1.5 mm under the barrel. The poster added 6 deg
    # to every port; geometry says 183.0, 128.8, 118.4 and a blowdown of 27.1.
    ports = {"exhaust": 'opens = "91.5 deg"', "transfer": 'opens = "119.5 deg"', "boost": 'opens = "125 deg"'}
    found = timed(57, 110, ports, {"exhaust": 183.0, "may": ["spacer"]})
    way = next(way for way in found.ways if "exhaust_deg" not in way.missed)

    assert deeds(way) == {("spacer", None): pytest.approx(1.5, abs=0.01)}
    assert way.reached["transfer_deg"] == pytest.approx(128.8, abs=0.1)
    assert way.reached["blowdown_deg"] == pytest.approx(27.1, abs=0.1)
    assert way.state.ports["boost"].duration == pytest.approx(118.4, abs=0.1)


def test_a_saw_without_its_base_gasket():
    # A posted case: squish 0.039 in over a gasket of 0.020 in leaves 0.019 in without it, in the rule.
    text = """units = "in"
[squish]
measured = 0.039
gasket_present = 0.020
target = 0.019
least = 0.017
most = 0.025
[wanted]
may = ["gasket"]
"""
    found = evaluate(parse_job(text)).ways
    assert found is not None
    (way,) = found.ways

    assert deeds(way) == {("gasket", None): pytest.approx(0, abs=1e-12)}
    assert way.reached["squish_mm"] == near(0.019 * 25.4)
    assert [one.weight for one in way.findings if "no gasket" in one.text] == ["warn"]


# -- sheets come in steps --------------------------------------------------------------------------------------------

SHEETS = """[[stock]]
name = "can"
fitted = [0.09, 0.10, 0.11]
[[stock]]
name = "paper"
fitted = [0.23, 0.25, 0.27]
"""


def test_what_is_left_of_the_squish_between_two_stacks_is_missed():
    found = ways(E1, 0.508, {"may": ["gasket"]}, present=0.5, more=SHEETS)
    first = found.ways[0]
    choices = evaluate(job_of(E1, 0.508, {"may": ["gasket"]}, present=0.5, more=SHEETS)).squish.choices
    nearest = min(choices, key=lambda one: abs(one.squish[1] - 0.508))

    assert first.deeds[0].layers == nearest.layers
    assert first.reached["squish_mm"] == near(nearest.squish[1])
    assert first.missed == {"squish_mm": near(nearest.squish[1] - 0.508)}
    assert found.clashes == ()


def test_the_base_is_cut_for_what_the_sheets_leave():
    found = ways(E1, 0.70 - 0.6, {"may": ["gasket", "base cut"]}, present=0.5, more=SHEETS, floor=0.05)
    mixed = next(way for way in found.ways if way.name == "gasket + base cut")

    assert mixed.missed == {}
    assert mixed.deeds[0].layers
    assert deeds(mixed)["base cut", None] == near(0.6 - (0.5 - deeds(mixed)["gasket", None]))
