"""An outlet's plate, screen and deflector against each other, and against the rule for the screen."""

from math import pi

import pytest

from gasketcut import evaluate, parse_job

PLATE = """
units = "mm"
[[part]]
name = "plate"
kind = "outlet"
outlet = {{ round = {opening} }}
outline = {{ rectangle = [80, 60] }}
studs = {{ at = [[-32, 0], [32, 0]], size = "M5" }}
"""
SCREEN = '[[part]]\nname = "mesh"\nkind = "screen"\nof = "plate"\nlap = {lap}\n'
WEAVE = "[outlet]\nport_area_mm2 = {port}\nscreen = {{ opening = 0.584, wire = 0.33{more} }}\n"
WEAVE += "[[outlet.stage]]\nname = 'outlet'\nround = {opening}\n"

# The rule (14 CCR 1242, as the profile gives it): 125 % of the port open; of this weave (0.584 / 0.914)^2 is.
PORT = 269.3
NEED = 1.25 * PORT / (0.584 / 0.914) ** 2


def job(opening=15.1, lap=4.0, port=PORT, more="", stage=None):
    text = PLATE.format(opening=opening) + SCREEN.format(lap=lap)
    return text + WEAVE.format(port=port, more=more, opening=stage or opening)


def said(text, part="mesh", weight="warn"):
    found = evaluate(parse_job(text)).parts[part].findings
    return [one for one in found if one.rule == "outlet" and one.weight == weight]


def test_a_screen_smaller_than_the_rule_asks_is_a_warning_on_that_part():
    # A blank of 15.1 + 2 x 4 = 23.1 mm where the rule asks for a disc of 32.4.
    (found,) = said(job())
    assert found.part == "mesh"
    assert (found.found, found.wanted) == pytest.approx((pi / 4 * 15.1**2, NEED), rel=1e-3)
    assert (4 * NEED / pi) ** 0.5 == pytest.approx(32.4, abs=0.05)
    assert "32.4 mm" in found.text
    assert "41% open" in found.text


def test_what_lies_under_the_frame_does_not_count():
    (found,) = said(job(lap=10.0))  # a blank of 35.1 mm, of which 15.1 are over the opening
    assert found.found == pytest.approx(pi / 4 * 15.1**2, rel=1e-3)
    assert "the blank is large enough" in found.do


def test_a_screen_as_large_as_the_rule_asks_is_silent():
    assert said(job(opening=32.5, lap=4.0)) == []
    assert len(said(job(opening=32.3, lap=4.0))) == 1


def test_a_screen_that_stands_out_counts_as_the_job_says_up_to_its_blank():
    assert said(job(lap=10.0, more=", gross_mm2 = 860")) == []
    assert [one.found for one in said(job(more=", gross_mm2 = 860"))] == pytest.approx([pi / 4 * 23.1**2] * 2, rel=1e-3)


def test_a_weave_that_the_rule_does_not_allow():
    text = job(opening=45.0).replace("opening = 0.584, wire = 0.33", "opening = 0.8, wire = 0.4")
    assert [
        "wider than 0.58 mm (0.023 in) (14 CCR 1242, for engines made before July 1, 1978)" in one.text
        for one in said(text)
    ] == [True]
    text = job(opening=45.0).replace("wire = 0.33", "wire = 0.2")
    assert [
        "thinner than 0.33 mm (0.013 in) (14 CCR 1242, for engines made before July 1, 1978)" in one.text
        for one in said(text)
    ] == [True]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (PLATE.format(opening=15) + SCREEN.format(lap=4), "its weave is not said"),
        (job().replace(f"port_area_mm2 = {PORT}\n", ""), "the exhaust port's area is not known"),
    ],
)
def test_what_was_not_looked_at_is_said(text, what):
    assert [what in one.text for one in said(text, weight="note")] == [True]
    assert said(text) == []


def test_the_plate_and_the_last_stage_say_one_area():
    assert said(job(stage=15.0), "plate") == []
    (found,) = said(job(stage=17.0), "plate")
    assert (found.found, found.wanted) == pytest.approx((pi / 4 * 15.1**2, pi / 4 * 17**2), rel=1e-3)


@pytest.mark.parametrize(("apart", "warns"), [(64.0, 0), (64.4, 0), (58.0, 1)])
def test_a_deflector_s_holes_are_those_of_two_bolts_of_the_plate(apart, warns):
    holes = f"holes = {{ at = [[{-apart / 2}, -6], [{apart / 2}, -6]], diameter = 5.5 }}\n"
    text = PLATE.format(opening=40) + f'[[part]]\nname = "lip"\nkind = "deflector"\nof = "plate"\nlap = 16\n{holes}'
    assert len(said(text, "lip")) == warns


RULES = ["{ lobes = 6.5, ring = 4.5, fillet = 6.0 }", "{ hull = 6 }", "{ grow = 16 }"]


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("studs", ["[[-17, 0], [17, 0]]", "[[-15, 6], [15, 6], [0, -18]]"])
def test_an_outlet_is_an_opening_for_the_outline_as_any_other(rule, studs):
    def area(own):
        text = f'units = "mm"\n[[part]]\nname = "p"\n{own}\noutline = {rule}\nstuds = {{ at = {studs}, size = "M5" }}\n'
        return evaluate(parse_job(text)).parts["p"].polygon.area

    assert area('kind = "outlet"\noutlet = { round = 17.0 }') == area('kind = "flat"\nopening = { round = 17.0 }')
    two = 'kind = "outlet"\noutlet = { slot = [17.0, 12.0] }'
    assert area(two) == area('kind = "flat"\nopening = { slot = [17.0, 12.0] }')
