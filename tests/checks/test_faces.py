"""Two faces against each other: steps, passages that do not meet, studs that do not line up."""

import json
from math import acos, hypot, pi, sin

import pytest

from gasketcut import Verdict, evaluate, parse_job
from gasketcut.shape.motion import OUTSIDE
from gasketcut.tolerances import CHORD
from tests.making import fit

EDGE = 2 * CHORD + 0.25**2 / 8 / 8  # mm: chords of both circles, and the quarter millimetre between tried places


def joint(windows="", studs="", flow='["cylinder", "pipe"]', kind="joint", more=""):
    return f"""title = "Quay winch"
units = "mm"
[[part]]
name = "stub"
kind = "{kind}"
flow = {flow}
{more}
{studs}
{windows}
"""


def window(face, diameter, at=(0.0, 0.0), role="port", name="exhaust"):
    face = f'face = "{face}"' if face else ""
    shape = diameter if isinstance(diameter, str) else f"{{ round = {diameter} }}"
    return f'[[part.{role}]]\nname = "{name}"\nat = [{at[0]}, {at[1]}]\nshape = {shape}\n{face}\n'


def found(text, rule):
    _, findings = fit(parse_job(text))
    return [one for one in findings if one.rule == rule]


# --- steps ---


@pytest.mark.parametrize("first", [24.0, 25.0, 26.0])
@pytest.mark.parametrize("off", [0.0, 0.3, 0.9, 1.7])
def test_a_step_between_two_circles(first, off):
    # r1 into r2, off by d: the edge of the second stands r1 - r2 + d into the way, that of the first r2 - r1 + d.
    second = 25.0
    text = joint(window("cylinder", first) + window("pipe", second, (off * 0.6, off * 0.8)))
    steps = found(text, "step")
    meets, leaves = (first - second) / 2 + off, (second - first) / 2 + off
    assert [one.found for one in steps if one.weight == "warn"] == pytest.approx(
        [meets] if meets > 0.1 else [], abs=EDGE
    )
    assert [one.found for one in steps if one.weight == "note"] == pytest.approx(
        [leaves] if leaves > 0.1 else [], abs=EDGE
    )
    for one in steps:
        if one.weight == "warn":  # where the second circle comes nearest to the middle of the first
            reach = second / 2 - off
            assert hypot(*one.at) == pytest.approx(reach, abs=0.05)
            assert off == 0.0 or one.at == pytest.approx((-reach * 0.6, -reach * 0.8), abs=0.3)


def test_the_side_that_the_gas_meets_follows_the_flow():
    windows = window("cylinder", 24.0) + window("pipe", 27.0)
    (out,) = found(joint(windows), "step")
    assert (out.weight, out.found) == ("note", pytest.approx(1.5, abs=EDGE))
    assert "widens" in out.text
    (back,) = found(joint(windows, flow='["pipe", "cylinder"]'), "step")
    assert (back.weight, back.found) == ("warn", pytest.approx(1.5, abs=EDGE))
    assert "cylinder stands" in back.text
    assert "from pipe" in back.text


def test_a_step_too_small_for_a_scraper_is_not_worth_a_word():
    assert found(joint(window("cylinder", 25.18) + window("pipe", 25.0)), "step") == []
    assert len(found(joint(window("cylinder", 25.22) + window("pipe", 25.0)), "step")) == 1


def test_a_step_at_a_rectangle_is_the_difference_of_its_sides():
    windows = window("cylinder", "{ rectangle = [24.0, 14.0] }") + window("pipe", "{ rectangle = [23.0, 20.0] }")
    met, left = found(joint(windows), "step")
    assert (met.weight, met.found) == ("warn", pytest.approx(0.5, abs=1e-6))
    assert (left.weight, left.found) == ("note", pytest.approx(3.0, abs=1e-6))


# --- passages ---


def lens(radius, apart):
    return 2 * radius**2 * acos(apart / 2 / radius) - apart * radius * sin(acos(apart / 2 / radius))


@pytest.mark.parametrize(("off", "covered"), [(0.04, False), (0.06, True), (1.0, True), (2.0, True)])
def test_a_passage_half_covered(off, covered):
    ports = window("cylinder", 25.0) + window("pipe", 25.0)
    pair = window("cylinder", 3.0, (20, 0), "passage", "impulse") + window(
        "pipe", 3.0, (20 + off, 0), "passage", "impulse"
    )
    stops = found(joint(ports + pair), "passage")
    share = lens(1.5, off) / (pi * 1.5**2)
    assert [one.found for one in stops] == pytest.approx([share] if covered else [], abs=0.002)
    assert [one.weight for one in stops] == ["stop"] * len(stops)
    assert all(f"{1 - share:.0%}" in one.text for one in stops)


def test_a_passage_that_opens_into_a_larger_one_is_not_covered():
    pair = window("cylinder", 3.0, (20, 0), "passage", "oil") + window("pipe", 6.0, (20.5, 0), "passage", "oil")
    assert found(joint(window("cylinder", 25.0) + window("pipe", 25.0) + pair), "passage") == []


@pytest.mark.parametrize("names", [("impulse", "impulse"), ("impulse", "oil")])
def test_passages_that_do_not_meet(names):
    ports = window("cylinder", 25.0) + window("pipe", 25.0)
    pair = window("cylinder", 3.0, (20, 0), "passage", names[0]) + window("pipe", 3.0, (20, 8), "passage", names[1])
    stops = found(joint(ports + pair), "passage")
    assert all(one.weight == "stop" for one in stops)
    assert any("'impulse' meets nothing on pipe" in one.text for one in stops)
    assert stops[0].at == pytest.approx((20, 0), abs=1.5)
    assert any(f"'{names[1]}' meets nothing on cylinder" in one.text for one in stops) == (names[1] == "oil")


def test_a_window_without_a_face_is_on_both():
    windows = window("cylinder", 25.0) + window("pipe", 25.0) + window("", 3.0, (20, 0), "passage", "impulse")
    assert found(joint(windows), "passage") == []
    assert found(joint(windows), "step") == []


# --- studs ---

PORTS = window("cylinder", 25.0) + window("pipe", 25.0)


def studs(first, second, hole=6.6):
    return (
        f'studs = [{{ at = {first}, size = "M6", face = "cylinder" }},'
        f' {{ at = {second}, stud_diameter = 6.0, diameter = {hole}, face = "pipe" }}]'
    )


@pytest.mark.parametrize("more", [0.5, 0.7, 1.0, 2.4])
def test_two_studs_whose_spacing_differs(more):
    # Half the difference at each stud, less the 0.3 mm that an M6 has in its medium hole (ISO 273).
    text = joint(PORTS, studs("[[-20, 3], [20, -3]]", f"[[-{20 + more / 2}, 3], [{20 + more / 2}, -3]]"))
    apart, other = hypot(40, 6), hypot(40 + more, 6)
    lacking = (other - apart) / 2 - 0.3
    (one,) = found(text, "hole")
    if lacking <= 0:
        assert (one.weight, one.found) == ("note", 0.0)
    else:
        assert (one.weight, one.found) == ("stop", pytest.approx(lacking, abs=OUTSIDE * (lacking + 0.3) + 1e-4))
        assert f"{lacking:.2f} mm" in one.text


def test_three_studs_of_which_one_is_off():
    first = "[[-20, 0], [20, 0], [0, 24]]"
    (fits,) = found(joint(PORTS, studs(first, "[[-20, 0], [20, 0], [0, 24.5]]")), "hole")
    assert fits.weight == "note"
    # Shifted by half of it the two stand off by as much as the third: 0.45 mm against 0.3.
    (one,) = found(joint(PORTS, studs(first, "[[-20, 0], [20, 0], [0, 24.9]]")), "hole")
    assert (one.weight, one.found) == ("stop", pytest.approx(0.45 - 0.3, abs=1e-3))
    assert one.at == pytest.approx((0, 24))


def test_a_flange_shifted_or_turned_as_a_whole_goes_on():
    (one,) = found(joint(PORTS, studs("[[-20, 0], [20, 0], [4, 24]]", "[[-20, 1], [20, 1], [4, 25]]")), "hole")
    assert one.weight == "note"


def test_more_studs_than_holes():
    (one,) = found(joint(PORTS, studs("[[-20, 0], [20, 0], [4, 24]]", "[[-20, 0], [20, 0]]")), "hole")
    assert one.weight == "stop"
    assert "3 studs" in one.text
    assert "2 holes" in one.text


# --- a gasket between two faces ---

GASKET = """outline = { rectangle = [70.0, 44.0], corner = 5.0 }
opening = { round = 26.0 }
absent = ["water", "dowel"]
studs = { at = [[-27, 0], [27, 0]], size = "M6" }
"""


def test_a_gasket_has_to_clear_the_windows_of_both_faces():
    text = joint(PORTS.replace("25.0", "25.4", 1), kind="exhaust", more=GASKET)
    clear = found(text, "set-back")
    assert sorted(one.found for one in clear) == pytest.approx([0.3, 0.5], abs=EDGE)
    wide = joint(window("cylinder", 25.0) + window("pipe", 27.0), kind="exhaust", more=GASKET)
    (hangs,) = found(wide, "overhang")
    assert (hangs.weight, hangs.found) == ("stop", pytest.approx(0.5, abs=EDGE))
    (step,) = found(wide, "step")
    assert (step.weight, step.found) == ("note", pytest.approx(1.0, abs=EDGE))


# --- what nobody has said anything about ---

BASE = """title = "Quay winch"
units = "mm"
[[part]]
name = "base"
kind = "base"
outline = {{ rectangle = [80.0, 70.0], corner = 5.0 }}
opening = {{ round = 44.0 }}
studs = {{ at = [[-30, -25], [30, -25], [30, 25], [-30, 25]], size = "M5" }}
{more}
"""
ALL = ["transfer", "impulse", "oil", "water", "drain", "dowel"]


def said(text):
    """What is found of passages that nobody named, and of a port that nobody drew."""
    one = found(text, "passage")
    return [this for this in one if "is said" in this.text], [this for this in one if "no port" in this.text]


def test_undeclared_passages_warn_and_nothing_is_proven_checked_or_made(made):
    text = BASE.format(more="")
    evaluation = evaluate(parse_job(text))
    (warn,), (no_port,) = said(text)
    report = made(text)
    assert [one for one in report.findings if one.rule == "passage"] == [warn, no_port]
    assert (warn.weight, no_port.weight) == ("warn", "warn")
    assert all(f'"{name}"' in warn.do for name in ALL)
    assert "bore" not in warn.text
    assert evaluation.verdict is report.verdict is Verdict.NOT_PROVEN
    assert evaluation.parts["base"].unsaid == (*ALL, "port")
    assert report.files  # it is made all the same: the user is told, not hindered


@pytest.mark.parametrize("missing", ALL)
def test_what_is_declared_not_to_be_there_is_settled(missing):
    named = json.dumps([name for name in ALL if name != missing])
    (one,), _ = said(BASE.format(more=f"absent = {named}"))
    assert f"about {missing}:" in one.text
    settled = BASE.format(more=f"absent = {json.dumps(ALL)}")
    assert said(settled)[0] == []
    # With a port of the metal too, nothing is left to be said.
    settled += window("", 43.0, name="bore")
    assert found(settled, "passage") == []
    assert evaluate(parse_job(settled)).verdict is Verdict.FITS


def test_what_is_drawn_is_settled():
    drawn = 'absent = ["transfer", "water", "drain"]\n'
    drawn += "dowels = { at = [[0, 29], [0, -29]], diameter = 4.02, stud_diameter = 4.0 }"
    drawn += "\n" + window("", 3.0, (27, 0), "passage", "oil feed") + window("", 3.0, (-27, 0), "passage", "Impulse")
    assert found(BASE.format(more=drawn), "passage") == []
