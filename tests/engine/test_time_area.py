"""Time-area of ports: published rows, shapely's own areas of rounded windows, and what the ranges say of an engine."""

from itertools import pairwise
from math import cos, radians, sin, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import quad
from shapely.geometry import box

from gasketcut import JobError, evaluate, parse_job
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.time_area import (
    TimeArea,
    Window,
    angle_area,
    specific_time_area,
    time_area,
    time_area_of,
    window_of,
)
from gasketcut.engine.squish.compression import disc_cc
from gasketcut.engine.squish.effects import state_of
from gasketcut.job.model import Engine, PortTiming
from gasketcut.output.data.squish import squish_data
from gasketcut.output.text.squish import squish_text
from gasketcut.profile.profiles import Profiles, read_profiles


def plain(crank, width, height, edge, **more):
    """Angle-area of a sharp-cornered roof port."""
    return angle_area(crank, Window(width=width, height=height), edge, by_crown=True, **more)


def test_degrees_to_seconds_and_to_seconds_a_metre():
    # TA-1: dirtrider.net/forums3/threads/eric-port-time-area-formula.180640: 90 deg at 10 000 rpm are 0.0015 s.
    # TA-3: same page: 160.86 deg cm2 for 48 cc at 0.000145 s cm2/cc is 3852 rpm; s cm2/cc x 100 = s/m.
    assert time_area(90, 10_000) == pytest.approx(0.0015, rel=1e-12)
    assert specific_time_area(time_area(16_086, 3852), 48) == pytest.approx(0.0145, rel=3e-4)


def test_jennings_method_on_our_travel():
    # TA-4, geometry on his method: opens 91.5, half-way 135.75, so 40.92 mm wide and 7.254 cm2 open on average for
    # 88.5 deg; 0.000145 s cm2/cc and 195.0 cc make 3784 rpm.
    crank = Crank(57, 110)
    area = 40.92 * (float(crank.travel((91.5 + 180) / 2)) - float(crank.travel(91.5)))

    assert area / 100 == pytest.approx(7.254, abs=0.003)
    assert 3784 * specific_time_area(time_area(area * 88.5, 3784), 195.0) / 0.0145 == pytest.approx(3784, abs=2)


def test_a_rectangular_exhaust_integrated_over_its_opening_and_its_blowdown():
    # TA-5, geometry: 40.9 wide, roof 33.0 down, floor at BDC, 7000 rpm, 195 cc; TA-8: the same size as Jennings'
    # 0.0140 to 0.0150 s/m (TA-2, same forum page as TA-1).
    # TA-6, geometry: up to the transfer at 119.5.
    found = plain(Crank(57, 110), 40.9, 24.0, 33.0)
    specific = specific_time_area(time_area(found, 7000), disc_cc(66, 57))
    blowdown = plain(Crank(57, 110), 40.9, 24.0, 33.0, until=119.5)

    assert found == pytest.approx(114_257, rel=1e-3)
    assert time_area(found, 7000) == pytest.approx(2.7204, rel=1e-3)
    assert specific == pytest.approx(0.013950, rel=1e-3)
    assert 0.0140 / 1.05 < specific < 0.0150 * 1.05
    assert blowdown == pytest.approx(7398.4, rel=2e-3)
    assert specific_time_area(time_area(blowdown, 7000), disc_cc(66, 57)) == pytest.approx(0.0009033, rel=2e-3)


def test_a_port_that_opens_a_millimetre_a_degree():
    # TA-7: scribd.com/document/580581405: 40 mm wide, 30 deg of blowdown, strips of 1 mm, the first 40 mm2 x 30 deg =
    # 1200, all together 18 600 (arithmetic); an integral gives their limit, 18 000, half a strip's width less.
    even = SimpleNamespace(
        full_travel=180.0, after=lambda travel: travel, before=lambda travel: travel, travel=lambda turn: turn
    )
    strips = [40 * 1.0 * (120 - start) for start in range(90, 120)]
    found = plain(even, 40.0, 100.0, 90.0, until=120.0)

    assert found == pytest.approx(18_000, rel=1e-9)
    assert sum(strips) - found == pytest.approx(40 * 30 / 2, rel=1e-6)


def test_an_integral_of_its_own_agrees_on_random_ports():
    random = np.random.default_rng(31)
    for _ in range(60):
        r = float(random.uniform(12, 35))
        rod, e = r * float(random.uniform(3.0, 4.4)), r * float(random.uniform(-0.1, 0.1))
        crank = Crank(2 * r, rod, e)
        top = float(random.uniform(0.5, 0.8)) * crank.full_travel
        height = float(random.uniform(0.3, 1.2)) * (crank.full_travel - top)
        first, last = crank.after(top), 360 - crank.before(top)

        def opened(turn, r=r, rod=rod, e=e, top=top, height=height, crank=crank):
            angle = crank.tdc + radians(turn)
            drop = sqrt((rod + r) ** 2 - e**2) - r * cos(angle) - sqrt(rod**2 - (r * sin(angle) - e) ** 2)
            return min(max(drop - top, 0.0), height)

        full = [crank.after(top + height), 360 - crank.before(top + height)] if top + height < crank.full_travel else []
        exact = quad(opened, first, last, points=full or None, epsabs=1e-9, limit=200)[0]

        assert plain(crank, 21.0, height, top) == pytest.approx(21.0 * exact, rel=1e-7)


# -- the true window -----------------------------------------------------------------------------------------------


def rounded(width, height, corner, bridge=0.0):
    """The window as shapely has it, its roof at y = 0; 2000 chords to a corner."""
    whole = box(-width / 2, -height, width / 2, 0)
    if corner:
        whole = box(-width / 2 + corner, -height + corner, width / 2 - corner, -corner).buffer(corner, quad_segs=2000)
    return whole.difference(box(-bridge / 2, -height - 1, bridge / 2, 1)) if bridge else whole


@pytest.mark.parametrize(
    ("width", "height", "corner", "bridge"),
    [(26.0, 11.0, 3.0, 0.0), (26.0, 11.0, 5.5, 0.0), (40.0, 15.0, 4.0, 5.0), (8.0, 12.0, 4.0, 0.0), (14.0, 6.5, 0, 0)],
)
def test_the_open_area_below_the_crown_is_shapely_s(width, height, corner, bridge):
    window = Window(width=width, height=height, corner=corner, bridge=bridge, count=2)
    shape = rounded(width, height, corner, bridge)
    for opened in np.linspace(0.0, 1.1 * height, 23):
        seen = shape.intersection(box(-width, -float(opened), width, 0)).area if opened else 0.0

        assert float(window.open_area(np.array([opened]))[0]) == pytest.approx(2 * seen, abs=1e-4)


@pytest.mark.parametrize("by_crown", [True, False])
@pytest.mark.parametrize("offset", [0.0, 1.2])
def test_an_integral_by_scipy_over_shapely_s_areas_agrees(by_crown, offset):
    crank = Crank(34, 58, offset)
    width, height, corner, bridge, edge = 26.0, 9.0, 3.0, 4.0, 23.1 if by_crown else 15.0
    shape = rounded(width, height, corner, bridge)

    def seen(turn):
        travel = float(crank.travel(turn))
        opened = min(max(travel - edge if by_crown else edge - travel, 0.0), height)
        return shape.intersection(box(-width, -opened, width, 0)).area if opened > 0 else 0.0

    near = edge + height if by_crown else edge - height
    if by_crown:
        ends = [crank.after(edge), crank.after(near), 360 - crank.before(near), 360 - crank.before(edge)]
    else:
        ends = [-crank.before(edge), -crank.before(near), crank.after(near), crank.after(edge)]
    exact = sum(quad(seen, low, high, epsabs=1e-3, limit=100)[0] for low, high in pairwise(ends))
    window = Window(width=width, height=height, corner=corner, bridge=bridge, count=3)

    assert angle_area(crank, window, edge, by_crown=by_crown) == pytest.approx(3 * exact, rel=1e-5)


def test_corners_and_bar_take_and_count_gives():
    # Found 10: corners were left out of time-areas, and one transfer stood for all of them.
    engine = Engine(bore=44, stroke=34, rod=58, rpm=9500)
    sharp = PortTiming(name="transfer", kind="transfer", opens=121.0, width=14.0, height=6.5)
    crank = Crank(34, 58)
    edge = float(crank.travel(121.0))

    def whole(**more):
        port = PortTiming(name="transfer", kind="transfer", opens=121.0, width=14.0, height=6.5, **more)
        return time_area_of(engine, crank, port, edge).whole

    one = time_area_of(engine, crank, sharp, edge).whole
    assert whole(count=4) == pytest.approx(4 * one, rel=1e-12)
    assert whole(bridge=3.5) == pytest.approx(one * 10.5 / 14, rel=1e-12)
    assert whole(corner=2.0) < 0.98 * one
    assert PortTiming(
        name="t", kind="transfer", width=14, height=6.5, corner=2, bridge=3, count=2
    ).area == pytest.approx(2 * rounded(14, 6.5, 2, 3).area, abs=1e-4)


def test_a_traced_area_counts_in_place_of_the_sides():
    crank, sides = Crank(34, 58), {"width": 26.0, "height": 11.0}
    port = PortTiming(name="exhaust", kind="exhaust", opens=103.0, **sides)
    traced = PortTiming(name="exhaust", kind="exhaust", opens=103.0, area_mm2=0.9 * 286, **sides)
    mean = PortTiming(name="exhaust", kind="exhaust", opens=103.0, area_mm2=0.9 * 286, height=11.0)
    engine, edge = Engine(bore=44, stroke=34, rod=58, rpm=9500), float(crank.travel(103.0))
    whole, less, same = (time_area_of(engine, crank, one, edge).whole for one in (port, traced, mean))

    assert less == pytest.approx(0.9 * whole, rel=1e-12)
    assert same == pytest.approx(less, rel=1e-12)
    assert window_of(PortTiming(name="exhaust", kind="exhaust", height=11.0)) is None


def test_several_transfers_add_up_each_from_its_own_opening():
    ports = (
        PortTiming(name="exhaust", kind="exhaust", opens=103.0, width=26.0, height=11.0, corner=3.0),
        PortTiming(name="main", kind="transfer", opens=121.0, width=14.0, height=6.5, count=2),
        PortTiming(name="boost", kind="transfer", opens=125.0, width=9.0, height=6.0),
    )
    engine = Engine(bore=44, stroke=34, rod=58, rpm=9500, ports=ports)
    crank, state = Crank(34, 58), state_of(engine, 0.5, 0.9, 0.0)
    areas = [state.areas[name].whole for name in ("main", "boost")]
    alone = [plain(crank, 14.0, 6.5, float(crank.travel(121.0))), plain(crank, 9.0, 6.0, float(crank.travel(125.0)))]

    assert areas == pytest.approx([2 * time_area(alone[0], 9500), time_area(alone[1], 9500)], rel=1e-9)
    judged = evaluate(parse_job(job(DEMO_PORTS + 'boost = { opens = "125 deg", width = 9.0, height = 6.0 }')))
    found = squish_data(judged.squish)["before"]["time_area"]
    both = found["transfer"]["s_per_m"] + found["boost"]["s_per_m"]
    assert found["transfer"]["together_s_per_m"] == found["boost"]["together_s_per_m"] == pytest.approx(both, abs=2e-7)


def test_two_exhaust_windows_both_blow_down():
    one = PortTiming(name="exhaust", kind="exhaust", opens=103.0, width=13.0, height=11.0)
    other = PortTiming(name="exhaust left", kind="exhaust", opens=103.0, width=13.0, height=11.0)
    transfer = PortTiming(name="transfer", kind="transfer", opens=121.0)
    made = [Engine(bore=44, stroke=34, rod=58, rpm=9500, ports=p) for p in ((one, transfer), (one, other, transfer))]
    single, double = (state_of(engine, 0.5, 0.9, 0.0).blowdown_area.whole for engine in made)

    assert double == pytest.approx(2 * single, rel=1e-12)


# -- against what was published ------------------------------------------------------------------------------------

DEMO_PORTS = """exhaust = { opens = "103 deg", width = 26.0, height = 11.0, corner = 3.0 }
transfer = { opens = "121 deg", width = 14.0, height = 6.5, count = 2 }
intake = { kind = "piston-port", opens = "75 deg", width = 22.0, height = 13.0 }
"""


def job(ports: str = DEMO_PORTS, engine: str = "rpm = 9500", squish: str = "") -> str:
    return (
        f'units = "mm"\n[engine]\nbore = 44.0\nstroke = 34.0\nrod = 58.0\nchamber_cc = 6.2\n{engine}\n'
        f"[engine.ports]\n{ports}\n[squish]\nmeasured = 0.92\ngasket_present = 0.5\ntarget = 0.92\n{squish}"
    )


def test_our_ranges_are_the_published_ones():
    # TA-2: dirtrider.net/forums3/threads/eric-port-time-area-formula.180640, in s cm2/cc; times 100 in s/m.
    found = {one.kind: (one.low, one.high, one.engines) for one in Profiles().ports.time_areas}

    assert found == {
        "exhaust": (pytest.approx(0.0140), pytest.approx(0.0150), "racing engines"),
        "transfer": (pytest.approx(0.0080), pytest.approx(0.0100), "racing engines"),
        "piston-port": (pytest.approx(0.0140), pytest.approx(0.0160), "racing engines"),
    }


def test_at_the_speed_in_the_middle_a_port_is_in_the_middle():
    # Time-area goes with one over the speed: put back, each has the middle of its range.
    answer = evaluate(parse_job(job())).squish
    for one in squish_data(answer)["after"]["time_area"].values():
        speed = one["middle_rpm"]
        middle = sum(one["range_s_per_m"]) / 2

        assert one["in_range"] is False
        assert one["s_per_m"] * 9500 / speed == pytest.approx(middle, rel=1e-4)
        assert one["stated_for"] == "racing engines"


def test_without_a_speed_the_speed_in_the_middle_is_still_said():
    known, unknown = (squish_data(evaluate(parse_job(job(engine=said))).squish) for said in ("rpm = 9500", ""))
    for name, one in unknown["after"]["time_area"].items():
        assert (one["s_mm2"], one["s_per_m"], one["in_range"]) == (None, None, None)
        assert one["middle_rpm"] == known["after"]["time_area"][name]["middle_rpm"]


def test_the_text_says_whose_ranges_and_for_what_engines():
    evaluation = evaluate(parse_job(job()))
    text = " ".join(squish_text(evaluation.squish, "t", ()).split())

    assert "exhaust 0.00014 to 0.00015; transfer 0.00008 to 0.00010; piston-port 0.00014 to 0.00016" in text
    assert "These ranges were stated for racing engines" in text
    rpm = squish_data(evaluation.squish)["after"]["time_area"]["exhaust"]["middle_rpm"]
    assert f"{rpm:.0f} rpm, under" in text


def test_a_range_of_one_s_own_replaces_that_kind_alone(tmp_path):
    (tmp_path / "ports.toml").write_text(
        'time_area = [{ kind = "exhaust", low = 0.00009, high = 0.00011, engines = "saws", source = "mine" }]\n'
    )
    found = {one.kind: one for one in read_profiles(tmp_path).ports.time_areas}

    assert (found["exhaust"].engines, found["exhaust"].middle) == ("saws", pytest.approx(0.01))
    assert found["transfer"] == Profiles().ports.time_areas[1]


def test_blowdown_s_area_ends_where_the_first_transfer_opens():
    # TA-6 once more, through a job: up to 119.5 deg, whatever opens later.
    ports = tuple(
        PortTiming(name=name, kind=kind, width=40.9 if kind == "exhaust" else 10.0, travel=travel, opens=opens)
        for name, kind, travel, opens in (
            ("exhaust", "exhaust", 33.0, None), ("boost", "transfer", None, 125.0), ("main", "transfer", None, 119.5),
        )
    )  # fmt: skip
    area = state_of(Engine(bore=66, stroke=57, rod=110, rpm=7000, ports=ports), 0.5, 1.0, 0.0).blowdown_area

    assert isinstance(area, TimeArea)
    assert area.specific == pytest.approx(0.0009033, rel=2e-3)


# -- keys ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "word"),
    [
        ("width = 26.0, height = 11.0, bridge = 26.0", "fills the window"),
        ("width = 26.0, height = 11.0, count = 0", "not a whole number"),
        ("width = 26.0, height = 11.0, count = 1.5", "whole number"),
        ("width = 26.0, height = 11.0, corner = 6.0", "more than half the shorter side"),
        ("width = 4.0, corner = 2.5", "more than half the shorter side"),
    ],
)
def test_windows_that_cannot_be_are_refused_at_their_line(keys, word):
    with pytest.raises(JobError) as caught:
        parse_job(job(f'exhaust = {{ opens = "103 deg", {keys} }}'))

    (fault,) = caught.value.faults
    assert word in fault.message
    assert fault.line == 9
