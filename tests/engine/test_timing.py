"""Port timing, what a base gasket does to it, time-area and port work, against published rows and geometry."""

import pytest

from gasketcut import JobError, evaluate, parse_job
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.port_change import chord_share, wall_width
from gasketcut.engine.ports.timing import timing_at, travel_of
from gasketcut.engine.squish.effects import state_of
from gasketcut.job.model import Engine, PortTiming

printed_degree = 0.02  # deg
derived_degree = 0.01


def raised(by: float, stroke: float, rod: float, **opens: float):
    """The state with the cylinder that much higher, from the ports' openings in degrees."""
    kinds = {"intake": "piston-port", "exhaust": "exhaust"}
    ports = tuple(PortTiming(name=name, kind=kinds.get(name, "transfer"), opens=at) for name, at in opens.items())  # type: ignore[arg-type]
    return state_of(Engine(bore=stroke, stroke=stroke, rod=rod, ports=ports), by, 1.0, by)


def test_duration_of_a_port_33_mm_down():
    # PT-1: blasterforum.com/threads/stroker-questions.46926: 177.
    assert timing_at(33.0, Crank(57, 110), roof=True).duration == pytest.approx(177.00, abs=printed_degree)


def test_depth_from_the_deck_is_not_travel():
    # PT-4, geometry: with the crown 0.5 mm below the deck at TDC, a roof 33.0 mm down opens after 32.5.
    port = PortTiming(name="exhaust", kind="exhaust", depth=33.0)
    travel = travel_of(port, Crank(57, 110), deck=0.5)
    assert travel is not None
    found = timing_at(travel, Crank(57, 110), roof=True)

    assert (found.opens, found.duration) == pytest.approx((90.49, 179.02), abs=printed_degree)
    assert travel_of(port, Crank(57, 110)) == 33.0


@pytest.mark.parametrize("offset", [0.0, 1.5, -1.5])
@pytest.mark.parametrize("roof", [True, False])
def test_opening_travel_and_duration_lead_to_one_another(offset, roof):
    # Geometry, with the pin off to either side as well: what is given by one is found again by the others.
    crank = Crank(40, 80, offset)
    kind = "exhaust" if roof else "piston-port"
    found = timing_at(24.0, crank, roof=roof)
    for given in ({"opens": found.opens}, {"duration": found.duration}, {"travel": 24.0}, {"depth": 24.3}):
        port = PortTiming(name="p", kind=kind, **given)

        assert travel_of(port, crank, deck=0.3) == pytest.approx(24.0, abs=1e-9)


# -- a base gasket -------------------------------------------------------------------------------------------------

# Stroke, rod, exhaust and transfer opening, raised by; opening after and change of duration of each; tolerance.
GASKETS = [
    (57, 110, 91.5, 119.5, 1.5, 88.48, 6.03, 115.62, 7.76, 0.02),  # BG-1: exhaust blasterforum 46926, transfer geometry
    (57, 110, 91.5, 119.5, 0.5, 90.49, 2.02, 118.18, 2.63, 0.01),  # BG-2 to BG-6, geometry
    (34, 58, 103, 121, 0.1, 102.63, 0.74, 120.54, 0.93, 0.01),
    (34, 58, 103, 121, 0.5, 101.16, 3.68, 118.71, 4.58, 0.01),
    (34, 58, 103, 121, 1.0, 99.35, 7.31, 116.50, 9.00, 0.01),
    (40, 80, 95, 118, 0.5, 93.54, 2.93, 116.18, 3.64, 0.01),
]


@pytest.mark.parametrize(
    ("stroke", "rod", "exhaust", "transfer", "by", "first", "longer", "second", "second_longer", "tolerance"), GASKETS
)
def test_a_thicker_gasket_opens_roofs_earlier_and_longer(
    stroke, rod, exhaust, transfer, by, first, longer, second, second_longer, tolerance
):
    before = raised(0.0, stroke, rod, exhaust=exhaust, transfer=transfer).ports
    after = raised(by, stroke, rod, exhaust=exhaust, transfer=transfer).ports

    assert after["exhaust"].opens == pytest.approx(first, abs=tolerance)
    assert after["transfer"].opens == pytest.approx(second, abs=tolerance)
    for port, change in (("exhaust", longer), ("transfer", second_longer)):
        assert after[port].duration - before[port].duration == pytest.approx(change, abs=tolerance)


@pytest.mark.parametrize(
    ("stroke", "rod", "at", "per_mm"),
    [
        # BG-7, geometry: degrees a millimetre, one side.
        (34, 58, 103, 3.715), (34, 58, 121, 4.658), (57, 110, 91.5, 2.025), (57, 110, 119.5, 2.658),
        (40, 80, 95, 2.942), (40, 80, 118, 3.688), (58, 107, 90, 1.976), (58, 107, 100, 2.109), (58, 107, 120, 2.651),
    ],
)  # fmt: skip
def test_degrees_a_millimetre(stroke, rod, at, per_mm):
    step = 1e-4
    before, after = (raised(by, stroke, rod, exhaust=at).ports["exhaust"].opens for by in (-step, step))

    assert (before - after) / (2 * step) == pytest.approx(per_mm, abs=0.005)


@pytest.mark.parametrize(("by", "opens", "duration"), [(0.5, 73.38, 146.77), (-0.5, 76.62, 153.23), (0.0, 75.0, 150.0)])
def test_a_piston_ported_intake_goes_the_other_way(by, opens, duration):
    # BG-8, geometry: 34/58, 75 deg before TDC, 14.973 mm of travel.
    found = raised(by, 34, 58, intake=75.0).ports["intake"]

    assert found.travel == pytest.approx(14.973 - by, abs=0.001)
    assert (found.opens, found.duration) == pytest.approx((opens, duration), abs=derived_degree)


@pytest.mark.parametrize(("by", "blowdown"), [(0.0, 28.00), (1.5, 27.14)])
def test_blowdown_shrinks_as_transfers_move_more_than_the_exhaust(by, blowdown):
    # PT-2: blasterforum 46926: 28. BG-9, geometry: 27.14 with 1.5 mm more.
    assert raised(by, 57, 110, exhaust=91.5, transfer=119.5).blowdown == pytest.approx(blowdown, abs=printed_degree)


def test_blowdown_ends_with_whichever_transfer_opens_first():
    assert raised(0.0, 57, 110, exhaust=91.5, boost=125.0, transfer=119.5).blowdown == pytest.approx(28.0, abs=1e-9)


@pytest.mark.parametrize(
    ("by", "durations"), [(0.0, (177.0, 121.0, 110.0)), (1.0, (181.0, 126.2, 115.7)), (1.5, (183.0, 128.8, 118.4))]
)
def test_a_posted_raise_moves_every_port_by_its_own_angle(by, durations):
    # C01: a barrel raised by a plate of 1.0 and 0.5 mm of gasket. The poster added the same 3 deg to each port and got
    # 183, 127, 116; geometry agrees for the exhaust alone.
    ports = raised(by, 57, 110, exhaust=91.5, transfer=119.5, boost=125.0).ports
    found = [ports[name].duration for name in ("exhaust", "transfer", "boost")]

    assert found == pytest.approx(durations, abs=0.06)
    if by == 1.5:
        assert abs(found[1] - 127) > 1.5
        assert abs(found[2] - 116) > 2


@pytest.mark.parametrize(("by", "cover"), [(0.0, 1.8), (-0.5, 1.3)])
def test_skirt_over_the_exhaust_floor_at_tdc(by, cover):
    # SK-1, geometry: 30.0 + 0.3 - 28.5; without a 0.5 mm gasket the crown stands 0.2 above the deck.
    port = PortTiming(name="exhaust", kind="exhaust", floor=28.5)
    state = state_of(Engine(bore=44, ports=(port,), deck=0.3, skirt=30.0), 0.5 + by, 1.0, by)

    assert state.skirt_cover == pytest.approx(cover, abs=1e-9)


# -- widths --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bore", "chords", "walls"),
    [
        # PW-4 to PW-7, geometry: 62 and 70 % of the bore as chord (Jennings, th4.ilovetranslation.com/Hacsw4fn1zA=d).
        (40, (24.80, 28.00), (26.75, 31.02)),
        (47, (29.14, 32.90), (31.43, 36.44)),
        (54, (33.48, 37.80), (36.11, 41.87)),
        (66, (40.92, 46.20), (44.14, 51.18)),
    ],
)
def test_chord_and_wall_of_a_window(bore, chords, walls):
    assert [chord_share(chord, bore) for chord in chords] == pytest.approx([0.62, 0.70], abs=1e-9)
    assert [wall_width(chord, bore) for chord in chords] == pytest.approx(walls, abs=derived_degree)


# -- port work -----------------------------------------------------------------------------------------------------


def worked(work: str, ring_pin: str = "0 deg"):
    """The answer, and the work, on an invented 44 x 34 with a rod of 58 whose 0.5 mm gasket is left out."""
    found = evaluate(
        parse_job(
            'units = "mm"\n[squish]\nmeasured = 1.0\ngasket_present = 0.5\ntarget = 0.5\n'
            f'[engine]\nbore = 44\nstroke = 34\nrod = 58\nskirt_width = 36\nring_pin = "{ring_pin}"\n[engine.ports]\n'
            'exhaust = { opens = "103 deg", width = 26, height = 11, corner = 3, centre = "90 deg" }\n'
            f'intake = {{ opens = "75 deg" }}\n[[work]]\n{work}'
        )
    ).squish
    assert found is not None
    return found, [(one.weight, one.wanted) for one in found.findings if one.rule == "port"]


def test_a_roof_raised_by_half_a_millimetre():
    # BG-4 again: to that port it is the cylinder raised by 0.5, and the gasket left out the same lowered:
    # 104.874 by the law of the crank, from x(103) + 0.5. Together nothing moves. Window, geometry:
    # 26 x 11 and 26 x 11.5 mm less (4 - pi) 9 mm2 of corners.
    found, _ = worked('port = "exhaust"\nremove = 0.5')
    opens = [state.ports["exhaust"].opens for state in (found.before, found.gasket_only, found.after)]

    assert opens == pytest.approx([103, 104.874, 103], abs=0.001)
    (one,) = found.work
    assert (one.area_before, one.area_after) == pytest.approx((278.274, 291.274), abs=0.001)


@pytest.mark.parametrize(("port", "wanted"), [("exhaust", 160), ("intake", 158)])
def test_a_duration_that_is_wanted_comes_true_with_the_new_gasket(port, wanted):
    # Geometry: 0.5 mm lower, the roof has to come up from 103 to 100 deg and the floor down from 75 to 79.
    found, _ = worked(f'port = "{port}"\nduration = "{wanted} deg"')
    x = Crank(34, 58).travel

    assert found.after.ports[port].duration == pytest.approx(wanted, abs=1e-6)
    assert found.work[0].removed == pytest.approx(
        x(103) + 0.5 - x(100) if port == "exhaust" else x(79) - x(75) - 0.5, abs=1e-6
    )


@pytest.mark.parametrize(
    ("widen", "ring_pin", "said"),
    [
        # PW-1: Jennings, start at 62 %, limit 70 % of the bore, th4.ilovetranslation.com/Hacsw4fn1zA=d.
        (1.2, "0 deg", []),  # 27.2 / 44 = 61.8 %
        (2.0, "0 deg", [("note", 0.62)]),  # 63.6 %
        (5.0, "0 deg", [("warn", 0.70)]),  # 70.5 %
        (10.0, "0 deg", [("warn", 0.70), ("stop", 0.0)]),  # as wide as the skirt
        (2.0, "129 deg", [("note", 0.62), ("stop", 0.0)]),  # the pin 39 deg away, the window reaches 39.52
    ],
)
def test_a_window_that_grows_too_wide(widen, ring_pin, said):
    assert worked(f'port = "exhaust"\nwiden = {widen}', ring_pin)[1] == said


def test_margins_of_a_widened_window():
    # Geometry: 28 of 44 mm; a skirt of 36; a pin 90 deg away, 34.558 mm round the wall, less half of 30.350.
    (one,) = worked('port = "exhaust"\nwiden = 2.0')[0].work

    assert (one.chord, one.skirt_margin) == pytest.approx((28 / 44, 4.0), abs=1e-9)
    assert one.pin_margin == pytest.approx(34.5575 - 30.3501 / 2, abs=0.001)


@pytest.mark.parametrize(
    ("window", "weights", "says"),
    [
        ("", ["warn"], "not known"),
        (", floor = 47.0", ["warn"], "not known"),
        # Crown at BDC: 34 mm below the deck. Roofs at 33.5, 34.0 and 36.5.
        (", floor = 47.0, height = 13.5", ["stop"], "spring out"),
        (", floor = 47.0, height = 13.0", ["stop"], "spring out"),
        (", floor = 47.0, height = 10.5", ["note"], "2.50 mm (0.098 in) below the crown at BDC"),
    ],
)
def test_the_ring_s_pin_over_an_intake_stops_only_where_the_ring_is_known_to_pass_it(window, weights, says):
    found = evaluate(
        parse_job(
            'units = "mm"\n[squish]\nmeasured = 1.0\ngasket_present = 0.5\ntarget = 0.5\n'
            '[engine]\nbore = 44\nstroke = 34\nrod = 58\nring_pin = "272 deg"\n[engine.ports]\n'
            f'intake = {{ opens = "75 deg", width = 24, centre = "270 deg"{window} }}\n'
        )
    ).squish
    assert found is not None
    pins = [one for one in found.findings if "ring's pin" in one.text]
    assert [one.weight for one in pins] == weights
    assert says in pins[0].text


@pytest.mark.parametrize(
    "work",
    [
        'port = "exhaust"\nremove = 24',  # above TDC
        'port = "exhaust"\nwiden = 18.1',  # wider than the bore
        'port = "boost"\nremove = 0.5',  # there is none
        'port = "exhaust"\nremove = 0.5\n[[work]]\nport = "exhaust"\nwiden = 1.0',  # two pieces on one port
    ],
)
def test_work_that_cannot_be_done_is_refused(work):
    with pytest.raises(JobError, match=work.split('"')[1]) as caught:
        worked(work)
    assert caught.value.faults[0].key.startswith("work.")
