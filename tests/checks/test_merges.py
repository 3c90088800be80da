"""What runs into what: found from the single shapes, before they become one opening."""

import pytest

from gasketcut import JobError, evaluate, parse_job
from gasketcut.verdict import Verdict

CARB = """
title = "Carburettor gasket"
units = "mm"
[[stock]]
name = "gasket paper 0.5"
thickness = 0.5
[[part]]
name = "carb-gasket"
kind = "intake"
stock = "gasket paper 0.5"
absent = ["oil", "water", "drain", "dowel"]
set_back = 0.5
outline = {{ lobes = 6.5, ring = 5.5, fillet = 8.0 }}
studs = {{ at = [[-21, 0], [21, 0]], size = "M5" }}
{more}
[[part.port]]
name = "intake"
shape = {port}
{port_joins}
[[part.passage]]
name = "impulse"
at = {at}
shape = {{ round = 2.5 }}
{joins}
"""

BASE = """
units = "mm"
[[part]]
name = "base"
kind = "base"
absent = ["impulse", "oil", "water", "drain", "dowel"]
opening = {{ round = 44.6 }}
outline = {{ lobes = 6.5, ring = 4.5, fillet = 6.0 }}
studs = {{ at = [[-27, -22], [27, -22], [27, 24], [-27, 24]], size = "M5" }}
[[part.port]]
name = "transfer"
at = {at}
shape = {{ rectangle = [10, 15], corner = 2.5 }}
{joins}
"""


def carb(port="{ round = 19.4 }", at="[0.0, -11.5]", joins="", port_joins="", more=""):
    job = parse_job(CARB.format(port=port, at=at, joins=joins, port_joins=port_joins, more=more))
    return evaluate(job).parts["carb-gasket"]


def base(at="[-22.5, 0.5]", joins=""):
    return evaluate(parse_job(BASE.format(at=at, joins=joins))).parts["base"]


def texts(part, rule):
    return [(one.weight, one.text) for one in part.findings if one.rule == rule]


def test_an_impulse_cut_into_the_intake_does_not_fit():
    part = carb()
    ((weight, text),) = texts(part, "merge")

    # 11.5 less both radii is 0.55 of metal; two set-backs of 0.5 are more.
    assert weight == "stop"
    assert "port 'intake' and passage 'impulse' run into each other" in text
    assert "0.55 mm" in text
    assert part.verdict is Verdict.DOES_NOT_FIT


@pytest.mark.parametrize(("where", "name"), [("joins", "intake"), ("port_joins", "impulse"), ("joins", "INTAKE")])
def test_what_is_meant_to_join_is_no_stop(where, name):
    part = carb(**{where: f'joins = ["{name}"]'})

    assert texts(part, "merge") == []
    assert part.verdict is Verdict.FITS


def test_a_port_drawn_the_wrong_way_round_meets_the_impulse_in_the_metal():
    assert texts(carb("{ rectangle = [22, 13], corner = 4 }", "[0, -11]"), "merge") == []

    opened = carb("{ rectangle = [13, 22], corner = 4 }", "[0, -11]", more="opening = { round = 12 }")
    merged = [text for weight, text in texts(opened, "merge") if weight == "stop"]
    assert any("port 'intake' and passage 'impulse' run into each other as they are in the metal" in t for t in merged)
    ((weight, text),) = texts(carb("{ rectangle = [13, 22], corner = 4 }", "[0, -11]"), "merge")
    assert (weight, text) == ("stop", "port 'intake' and passage 'impulse' run into each other")


def test_the_opening_is_named_by_the_port_it_serves():
    part = carb("{ round = 18 }", more="opening = { round = 20.5 }")
    ((weight, text),) = texts(part, "merge")

    assert weight == "stop"
    assert "the opening for port 'intake' and passage 'impulse' run into each other" in text
    assert texts(carb("{ round = 18 }", more="opening = { round = 20.5 }", joins='joins = ["opening"]'), "merge") == []


def test_a_transfer_opens_into_the_bore_only_where_the_job_says_so():
    ((weight, text),) = texts(base(), "merge")

    assert weight == "stop"
    assert "the bore and port 'transfer' run into each other" in text
    assert base().verdict is Verdict.DOES_NOT_FIT
    assert texts(base(joins='joins = ["bore"]'), "merge") == []
    assert base(joins='joins = ["bore"]').verdict is Verdict.FITS


def test_two_transfers_that_join_the_bore_have_no_web_between_them_inside_it():
    second = '[[part.port]]\nname = "other"\nat = [-22.5, 14.5]\nshape = { rectangle = [10, 12] }\njoins = ["bore"]\n'
    joined = evaluate(parse_job(BASE.format(at="[-22.5, 0.5]", joins='joins = ["bore"]\n' + second))).parts["base"]

    # Both set back by 0.5: 8.5 - 8 = 0.5 of sheet between them, up to where both end in the bore.
    ((weight, text),) = texts(joined, "merge")
    assert weight == "stop"
    assert "port 'transfer' and port 'other'" in text
    inside = BASE.format(at="[-5, 0]", joins='joins = ["bore"]\n' + second.replace("[-22.5, 14.5]", "[8, 0]"))
    assert texts(evaluate(parse_job(inside)).parts["base"], "web") == []


def test_a_bolts_hole_joins_nothing():
    ((weight, text),) = texts(carb("{ round = 15 }", "[-21, 3.5]", joins='joins = ["intake"]'), "merge")

    assert weight == "stop"
    assert text == "passage 'impulse' and the stud's hole at (-21, 0) run into each other"


@pytest.mark.parametrize(
    ("joins", "says"),
    [
        ('["bore"]', "'bore' is not in this part; what can be joined here is \"intake\""),
        ('["impulse"]', "'impulse' cannot join itself"),
        ('["studs"]', "'studs' is a bolt's hole, which nothing may join"),
        ('["stud 1"]', "'stud 1' is a bolt's hole, which nothing may join"),
    ],
)
def test_joins_that_name_what_is_not_there_are_faults_with_their_line(joins, says):
    with pytest.raises(JobError) as refused:
        carb(joins=f"joins = {joins}")
    (fault,) = refused.value.faults

    assert says in fault.message
    text = CARB.format(port="{ round = 19.4 }", at="[0.0, -11.5]", joins=f"joins = {joins}", port_joins="", more="")
    assert text.splitlines()[fault.line - 1] == f"joins = {joins}"


def test_an_opening_over_the_sheets_edge_is_a_stop():
    text = CARB.format(port="{ round = 19.4 }", at="[0, -20]", joins="", port_joins="", more="")
    shaped = text.replace("{ lobes = 6.5, ring = 5.5, fillet = 8.0 }", "{ rectangle = [60, 40] }")
    found = texts(evaluate(parse_job(shaped)).parts["carb-gasket"], "merge")

    assert ("stop", "passage 'impulse' breaks out of the sheet's edge") in found


@pytest.mark.parametrize(("gap", "weight"), [(1.2, "warn"), (0.4, "stop"), (2.5, None)])
def test_the_web_between_port_and_passage_is_named(gap, weight):
    found = texts(carb(at=f"[0, {-(9.7 + 1.25 + 1.0 + gap)}]"), "web")

    assert [one for one, _ in found] == ([weight] if weight else [])
    if weight:
        assert f"only {gap:.2f} mm" in found[0][1]
        assert "of sheet between port 'intake' and passage 'impulse'" in found[0][1]


def test_where_the_metal_is_narrower_than_the_sheet_over_it_the_wall_counts():
    # Both cut smaller than they are: the sheet over the wall is wider than the wall.
    smaller = "cut = { round = 2.0 }"
    part = carb(at="[0, -12]", joins=smaller, port_joins="cut = { round = 19.0 }")
    ((weight, text),) = texts(part, "wall")

    assert weight == "warn"
    assert "only 1.05 mm (0.041 in) of metal between port 'intake' and passage 'impulse'" in text


@pytest.mark.slow  # the worst motion of a sheet that may shrink takes long
def test_a_sheet_that_shrinks_has_narrower_lands():
    at = f"[0, {-(9.7 + 1.25 + 1.0 + 2.04)}]"

    assert texts(carb(at=at), "web") == []
    ((weight, _),) = texts(carb(at=at, more="growth_percent = -3"), "web")
    assert weight == "warn"


def test_windows_of_one_name_on_two_faces_are_one_passage():
    faces = 'face = "cylinder"\n[[part.port]]\nname = "intake"\nface = "manifold"\nshape = { round = 18.0 }'
    part = carb("{ round = 19.4 }", "[0, -14.5]", port_joins=faces)

    assert texts(part, "merge") == []
