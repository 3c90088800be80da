"""The ways from an engine as it stands to what is wanted of it, against the sums of geometry done apart from us.

W0 to W9 and N1 to N3: closed forms of spacer, cuts and edges, worked out to 30 digits and put back through the forward
sums (derived for this purpose; no page has them). Engines: a 56 cc, a 92 cc, and a 50 cc with a separate head.
"""

from __future__ import annotations

import pytest

from gasketcut import evaluate, parse_job

RELATIVE = 1e-9  # of the digits given

E1 = (
    {"bore": 47.0, "stroke": 32.6, "rod": 59.2, "chamber_cc": 6.0, "squish_band": 6.0},
    {"exhaust": 156, "transfer": 116, "intake": 148},
    0.70,
)
E2 = (
    {"bore": 54.0, "stroke": 40.0, "rod": 70.0, "chamber_cc": 9.4, "squish_band": 7.9},
    {"exhaust": 160, "transfer": 120, "intake": 156},
    0.80,
)
E3 = (
    {"bore": 40.0, "stroke": 39.7, "rod": 85.0, "chamber_cc": 5.6, "squish_band": 6.0},
    {"exhaust": 150, "transfer": 112},
    0.90,
)


def job_of(engine, squish, wanted, present=0.6, floor=0.1, more="", parts=""):
    sizes, ports, measured = engine
    rows = [f"{key} = {value}" for key, value in sizes.items()]
    rows += ["[engine.ports]", *(f'{name} = {{ duration = "{value} deg" }}' for name, value in ports.items())]
    rows += ["[squish]", f"measured = {measured}", f"gasket_present = {present}", f"target = {squish}"]
    rows += [f"least = {floor}", more, "[wanted]", *(f"{key} = {value}" for key, value in wanted.items())]
    return parse_job('units = "mm"\n[engine]\n' + "\n".join([*rows, parts]))


def ways(*args, **more):
    found = evaluate(job_of(*args, **more)).ways
    assert found is not None
    return found


def deeds(way):
    return {(deed.does, deed.port): deed.cc if deed.does == "bowl" else deed.mm for deed in way.deeds}


def near(value):
    return pytest.approx(value, rel=RELATIVE)


def digits(value, places=9):
    """As near as the digits that were printed."""
    return pytest.approx(value, rel=0.6 * 10 ** -(places - 1))


CYLINDER = ["base cut"]
W = {
    "W0": (
        E1, 0.50, {"may": CYLINDER}, {("base cut", None): 0.2},
        {"exhaust_deg": 154.4664544, "transfer_deg": 114.0340932, "blowdown_deg": 20.21618059,
         "intake_deg": 149.3557455, "chamber_cc": 5.653011091, "trapped": 7.775377505},
    ),
    "W1": (
        E1, 0.50, {"exhaust": 160, "transfer": 112, "may": ["base cut", "band cut", "exhaust"]},
        {("base cut", None): 0.4036294241, ("band cut", None): 0.2036294241, ("raise", "exhaust"): 0.9316537999},
        {"blowdown_deg": 24.0, "intake_deg": 150.7357766, "chamber_cc": 5.457096626, "trapped": 7.787162626,
         "full": 11.36433766},
    ),
    "W2": (
        E1, 0.508, {"exhaust": 160, "blowdown": 23.5, "may": ["base cut", "band cut", "exhaust"]},
        {("base cut", None): 0.3039433039, ("band cut", None): 0.1119433039, ("raise", "exhaust"): 0.8319676796},
        {"transfer_deg": 113.0, "intake_deg": 150.0602116, "chamber_cc": 5.559188568, "trapped": 7.662519505},
    ),
    "W3": (
        E1, 0.50, {"trapped": 8.0, "may": ["base cut", "band cut"]},
        {("base cut", None): 0.3499212948, ("band cut", None): 0.1499212948},
        {"exhaust_deg": 153.3098352, "transfer_deg": 112.5397916, "blowdown_deg": 20.38502179,
         "chamber_cc": 5.508769902},
    ),
    "W4": (
        E1, 0.50, {"exhaust": 160, "transfer": 112, "trapped": 7.2, "may": ["base cut", "band cut", "exhaust", "bowl"]},
        {("base cut", None): 0.4036294241, ("band cut", None): 0.2036294241, ("raise", "exhaust"): 0.9316537999,
         ("bowl", None): 0.5168069649},
        {"chamber_cc": 5.973903591, "full": 10.46771089},
    ),
    "W5": (
        E1, 0.50, {"exhaust": 160, "transfer": 118, "intake": 152, "may": ["base cut", "ports"]},
        {("base cut", None): 0.2, ("raise", "exhaust"): 0.7280243758, ("raise", "transfer"): 0.4066654513,
         ("lower", "intake"): 0.3901817910},
        {"blowdown_deg": 21.0, "trapped": 7.551942260},
    ),
    "W6": (
        E2, 0.55, {"exhaust": 166, "transfer": 116, "may": ["base cut", "band cut", "exhaust"]},
        {("base cut", None): 0.5075792863, ("band cut", None): 0.2575792863, ("raise", "exhaust"): 1.497581111},
        {"blowdown_deg": 25.0, "intake_deg": 158.8023609, "chamber_cc": 8.532237133, "trapped": 7.793994460},
    ),
    "W7": (
        E2, 0.55, {"trapped": 8.0, "may": ["base cut", "band cut"]},
        {("base cut", None): 0.3454408063, ("band cut", None): 0.09544080631},
        {"exhaust_deg": 157.8709754, "transfer_deg": 117.2913635, "intake_deg": 157.9066173, "chamber_cc": 8.718061518},
    ),
    "W8": (
        E2, 0.55, {"exhaust": 166, "transfer": 116, "trapped": 7.4, "may": ["base cut", "band cut", "exhaust", "bowl"]},
        {("base cut", None): 0.5075792863, ("band cut", None): 0.2575792863, ("raise", "exhaust"): 1.497581111,
         ("bowl", None): 0.5252584623},
        {"chamber_cc": 9.057495595},
    ),
    "W9": (
        E3, 0.70, {"exhaust": 160, "transfer": 118, "may": ["spacer", "head cut", "exhaust"]},
        {("spacer", None): 0.7643397365, ("head cut", None): 0.9643397365, ("raise", "exhaust"): 0.8386248345},
        {"blowdown_deg": 21.0, "chamber_cc": 5.348672588, "trapped": 7.008766297},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", W)
def test_the_worked_ways_to_their_digits(name):
    engine, squish, wanted, done, reached = W[name]
    first = ways(engine, squish, wanted).ways[0]

    assert first.missed == {}
    assert first.reached["squish_mm"] == near(squish)
    assert deeds(first) == {key: digits(value) for key, value in done.items()}
    assert {key: first.reached[key] for key in reached} == {key: digits(value) for key, value in reached.items()}


@pytest.mark.parametrize(
    ("name", "psi"),
    [("W0", 196.71828), ("W1", 197.13495), ("W2", 192.73777), ("W3", 204.69225), ("W4", 176.61003), ("W5", 188.85473)],
)
def test_the_pressure_that_a_tight_gauge_shows(name, psi):
    # 14.6959 psi of air (rounded), exponent 1.3: so far the table goes.
    engine, squish, wanted, _, _ = W[name]
    assert ways(engine, squish, wanted).ways[0].reached["cranking_psi"] == pytest.approx(psi, rel=5e-6)


def test_a_thinner_gasket_does_what_the_base_cut_does():
    found = ways(E1, 0.50, {"exhaust": 160, "transfer": 112, "may": ["gasket", "base cut", "band cut", "exhaust"]})
    first, second = found.ways[:2]

    assert (first.missed, second.missed) == ({}, {})
    assert deeds(first)["gasket", None] == digits(0.6 - 0.4036294241, 8)
    assert deeds(second)["base cut", None] == digits(0.4036294241)
    assert first.reached == {key: near(value) for key, value in second.reached.items()}


# -- wants that cannot all be had ------------------------------------------------------------------------------------


def test_a_blowdown_that_needs_the_band_put_back_is_a_contradiction():
    # N1: T 116 needs the cylinder where it is, 0.508 needs it 0.192 lower: the band would have to grow by 0.192.
    may = ["base cut", "band cut", "exhaust"]
    found = ways(E1, 0.508, {"exhaust": 160, "blowdown": 22, "may": may})
    (clash,) = found.clashes
    nearest = {one.figure: one.value for one in clash.nearest}

    assert {want.figure for want in clash.wants} == {"squish_mm", "exhaust_deg", "blowdown_deg"}
    assert not clash.by_sums
    assert nearest["squish_mm"] == near(0.70)
    assert nearest["blowdown_deg"] == digits(22.94333747)
    kept = next(way for way in found.ways if "squish_mm" not in way.missed and "exhaust_deg" not in way.missed)
    assert deeds(kept)["base cut", None] == near(0.192)
    assert kept.reached["transfer_deg"] == digits(114.1133251)
    assert kept.missed == {"blowdown_deg": pytest.approx(0.94333747, abs=1e-8)}


def test_without_the_band_the_squish_or_the_transfer_is_missed():
    # N2, and under a floor of 0.40 it is a stop.
    found = ways(E1, 0.50, {"transfer": 112, "may": ["base cut"]}, floor=0.40)
    kept = next(way for way in found.ways if "transfer_deg" not in way.missed)

    assert deeds(kept) == {("base cut", None): digits(0.4036294241)}
    assert kept.reached["squish_mm"] == digits(0.2963705759)
    assert kept.missed == {"squish_mm": digits(-0.2036294241)}
    assert kept.is_stopped
    assert kept.name == "base cut, for transfer"
    assert not found.is_stopped
    assert [want.figure for want in found.clashes[0].wants] == ["squish_mm", "transfer_deg"]


def test_a_ratio_by_the_bowl_alone_changes_nothing_else():
    # N3.
    found = ways(E1, 0.70, {"trapped": 7.0, "may": ["bowl"]})
    (first,) = found.ways

    assert deeds(first) == {("bowl", None): digits(0.3257158790)}
    assert {key: first.reached[key] for key in ("squish_mm", "exhaust_deg", "transfer_deg")} == {
        key: near(found.reached_now[key]) for key in ("squish_mm", "exhaust_deg", "transfer_deg")
    }


def test_exhaust_less_transfer_is_twice_the_blowdown():
    # E 160, T 120, blowdown 25 contradict by 5 degrees of blowdown.
    may = ["gasket", "ports", "band cut"]
    (clash,) = ways(E1, 0.50, {"exhaust": 160, "transfer": 120, "blowdown": 25, "may": may}).clashes

    assert clash.by_sums
    assert {one.figure: one.value for one in clash.nearest} == {
        "exhaust_deg": near(170.0),
        "transfer_deg": near(110.0),
        "blowdown_deg": near(20.0),
    }


# -- change with each 0.1 mm -----------------------------------------------------------------------------------------

CHANGES = {  # base cut: E, T, blowdown, V, R; band cut: V, R; exhaust's roof: E, R; transfer's roof: T
    "E1": (E1, (-0.765449, -0.979109, 0.106830, -0.173494, 0.218136), (0.077283, -0.080442), (0.762856, -0.028916),
           0.971628),
    "E2": (E2, (-0.614318, -0.778315, 0.081999, -0.229022, 0.184996), (0.114414, -0.077058), (0.612725, -0.024364),
           0.773740),
    "E3": (E3, (-0.638099, -0.805801, 0.083851, -0.125664, 0.162953), (0.064089, -0.069007), (0.636278, -0.022440),
           0.800743),
}  # fmt: skip


def changed(engine, wanted, squish):
    found = ways(engine, squish, wanted)
    first = found.ways[0]
    assert first.missed == {}
    return {key: value - found.reached_now[key] for key, value in first.reached.items()}, first


@pytest.mark.parametrize("name", CHANGES)
def test_a_tenth_off_the_base_and_off_the_band(name):
    engine, base, band, _, _ = CHANGES[name]
    squish = engine[2]
    lower, _ = changed(engine, {"may": ["base cut"]}, squish - 0.1)
    wider, _ = changed(engine, {"may": ["band cut"]}, squish + 0.1)
    rounding = 6e-7

    keys = ("exhaust_deg", "transfer_deg", "blowdown_deg", "chamber_cc", "trapped")
    assert [lower[key] for key in keys] == pytest.approx(base, abs=rounding)
    assert [wider[key] for key in ("chamber_cc", "trapped")] == pytest.approx(band, abs=rounding)
    assert wider["exhaust_deg"] == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("name", CHANGES)
def test_a_tenth_off_a_roof(name):
    engine, _, _, (longer, ratio), transfer = CHANGES[name]
    squish = engine[2]
    for port, more in (("exhaust", longer), ("transfer", transfer)):
        # The goal has the digits of the table, so the cut comes out to about a millionth.
        by, way = changed(engine, {port: engine[1][port] + more, "may": ["ports"]}, squish)
        assert deeds(way) == {("raise", port): pytest.approx(0.1, abs=1e-6)}
        if port == "exhaust":
            assert by["trapped"] == pytest.approx(ratio, abs=1e-6)


def test_no_way_is_shown_that_does_more_than_another_for_nothing():
    # Seen: a spacer of 0.06 mm beside a way that reaches the same without one.
    wanted = {"exhaust": [158, 162], "blowdown": 21, "trapped": 7, "may": ["ports", "spacer", "head cut", "bowl"]}
    found = ways(E3, 0.70, wanted, present=0.5)
    kinds = [set(deeds(way)) for way in found.ways if not way.missed and not way.is_stopped]

    assert {("head cut", None), ("raise", "exhaust"), ("raise", "transfer")} in kinds
    assert {("spacer", None), ("head cut", None), ("raise", "exhaust")} in kinds
    assert not any(one < other for one in kinds for other in kinds)


STUDS = (
    '[[part]]\nname = "base"\nkind = "base"\nopening = { round = 48 }\noutline = { lobes = 6, ring = 5 }\n'
    'studs = { at = [[-32, -32], [32, 32]], size = "M6", stud_length = 15.5, flange = 8.0, nut_height = 5.2 }'
)


def test_a_spacer_uses_up_stud_and_a_base_cut_gives_some_back():
    # By hand: 15.5 less 8.0 of flange, 5.2 of nut and what lies under the cylinder; W9's spacer over a gasket of 0.6.
    wanted = {"exhaust": 160, "transfer": 118, "may": ["spacer", "head cut", "exhaust"]}
    raised = ways(E3, 0.70, wanted, parts=STUDS)
    lowered = ways(E1, 0.50, {"may": ["base cut"]}, parts=STUDS)

    assert not [one for way in ways(E3, 0.70, wanted).ways for one in way.findings if one.rule == "stud"]
    (short,) = [one for one in raised.ways[0].findings if one.rule == "stud"]
    (long,) = [one for one in lowered.ways[0].findings if one.rule == "stud"]
    assert short.found == pytest.approx(15.5 - 8.0 - 5.2 - 0.6 - 0.7643397365)
    assert short.weight == "warn"  # less than the pitch of 1.0
    assert long.found == pytest.approx(15.5 - 8.0 - 5.2 - 0.6 + 0.2)
    assert long.weight == "note"
