"""Work on a port at a flange: the part is judged for the new port, and the metal that is left is told."""

import json
from math import pi

import pytest

from gasketcut import JobError, evaluate, parse_job
from gasketcut.engine.ports.port_change import port_changes
from gasketcut.engine.ports.worked import edge_of, with_work
from gasketcut.output.data.report import fit_data
from gasketcut.tolerances import CHORD
from gasketcut.verdict import Verdict

OFF = 2 * CHORD
SHARE = 2e-4  # of an area: chords round a port of 20 mm

PART = """
units = "mm"
[[part]]
name = "carb-gasket"
kind = "intake"
outline = {{ hull = 6.0 }}
opening = {{ round = {opening} }}
studs = {{ at = [[-21, 0], [21, 0]], size = "M5" }}
absent = ["impulse", "oil", "water", "drain", "dowel"]
port = [{{ name = "intake", shape = {{ round = 19.4 }} }}]
{more}
[[work]]
port = "intake"
part = "carb-gasket"
{work}
"""


def evaluated(work='all_round = "0.030 in"', opening=22.5, more=""):
    return evaluate(parse_job(PART.format(work=work, opening=opening, more=more)))


def faults(work, more="", text=None):
    with pytest.raises(JobError) as caught:
        evaluated(work, more=more).parts  # noqa: B018  faults of the metal come when it is drawn
    return [(fault.line, fault.key, fault.message) for fault in caught.value.faults]


def ground(evaluation, name="carb-gasket"):
    (one,) = evaluation.grindings[name]
    return one


def test_the_part_is_judged_for_the_new_port():
    before, after = evaluate(parse_job(PART.format(work="", opening=22.5, more="").split("[[work]]")[0])), evaluated()
    window = after.parts["carb-gasket"].part.flange_openings[0].shape

    assert window.area == pytest.approx(pi * (9.7 + 0.762) ** 2, rel=SHARE)
    assert before.parts["carb-gasket"].clear_mm - after.parts["carb-gasket"].clear_mm == pytest.approx(0.762, abs=0.02)
    assert after.parts["carb-gasket"].verdict is Verdict.FITS


def test_a_sheet_whose_opening_is_too_small_for_it_hangs_into_the_new_port():
    found = evaluated(opening=20.0)
    (stop,) = [one for one in found.findings if one.weight == "stop"]

    assert found.verdict is Verdict.DOES_NOT_FIT
    assert stop.rule == "overhang"
    assert stop.found == pytest.approx(9.7 + 0.762 - 10.0, abs=OFF)


def test_the_opening_that_is_cut_for_a_port_follows_it():
    text = PART.format(work="all_round = 0.5", opening=22.5, more="").replace('kind = "intake"', 'kind = "base"')
    text = text.replace("opening = { round = 22.5 }\n", "").replace('"dowel"', '"dowel", "bore"')
    (hole,) = [one for one in evaluate(parse_job(text)).parts["carb-gasket"].part.holes if one.role == "opening"]

    assert hole.diameter == pytest.approx(19.4 + 2 * 0.5 + 2 * 0.5, abs=1e-9)


@pytest.mark.parametrize("outline", ["{ hull = 6.0 }", "{ lobes = 6.5, ring = 5.0, fillet = 8 }", "{ grow = 20.0 }"])
def test_the_flange_does_not_grow_with_the_port(outline):
    text = PART.format(work="all_round = 0.5", opening=22.5, more="").replace("{ hull = 6.0 }", outline)
    text = text.replace("opening = { round = 22.5 }\n", "").replace('kind = "intake"', 'kind = "base"')
    old, new = evaluate(parse_job(text.split("[[work]]")[0])), evaluate(parse_job(text))

    assert new.parts["carb-gasket"].part.outer.equals(old.parts["carb-gasket"].part.outer)
    assert new.parts["carb-gasket"].outline.outer == old.parts["carb-gasket"].outline.outer


def test_the_wall_to_a_stud_is_the_distance_less_both_radii():
    one = ground(evaluated(more='passage = [{ name = "impulse", at = [0, -14.0], shape = { round = 2.0 } }]'))
    found = {wall.to: wall.mm for wall in one.walls}

    assert found["stud 1"] == pytest.approx(21 - 2.5 - 10.462, abs=OFF)
    assert found["stud 2"] == pytest.approx(found["stud 1"], abs=OFF)
    assert found["impulse"] == pytest.approx(14 - 1 - 10.462, abs=OFF)
    assert one.walls[0].to == "impulse"
    assert one.taken == pytest.approx(pi * (10.462**2 - 9.7**2), rel=1e-3)


def test_a_studs_own_tolerance_counts_against_the_wall():
    text = PART.format(work="all_round = 0.5", opening=22.5, more="").replace('"M5" }', '"M5", tolerance = 0.3 }')
    found = {wall.to: wall.mm for wall in ground(evaluate(parse_job(text))).walls}

    assert found["stud 1"] == pytest.approx(21 - 2.5 - 0.3 - 10.2, abs=OFF)


@pytest.mark.parametrize(
    ("limit", "weights"),
    [
        ("", ["note"]),
        ("least_wall = 5.0", ["note"]),
        ("least_wall = 7.0", ["warn"]),
        ("least_wall = 8.1", ["warn"] * 3),
    ],
)
def test_a_wall_is_told_and_judged_only_by_the_users_own_limit(limit, weights):
    found = [one for one in evaluated(f"all_round = 0.762\n{limit}").findings if one.rule == "wall"]

    assert sorted(one.weight for one in found) == weights
    assert all(one.wanted == (float(limit.split()[-1]) if limit else None) for one in found)


def test_the_note_beside_a_thread_says_whose_rule_it_is():
    more = "dowels = { at = [[0, -13.0]], diameter = 3.1, stud_diameter = 3.0 }"
    (note,) = [one for one in evaluated(more=more).findings if one.rule == "wall"]

    assert "dowel 1" in note.text
    assert "3.00 to 4.50 mm" in note.do
    assert "one page of an engineers' forum" in note.do


def test_a_port_ground_into_a_stud_stops():
    found = [one for one in evaluated("widen = 20.0", opening=22.5).findings if one.rule == "wall"]

    assert {one.weight for one in found} == {"stop"}
    assert min(one.found for one in found) < 0


def test_one_work_serves_the_bore_and_the_flange():
    engine = """
[engine]
bore = 44.0
stroke = 34.0
rod = 58.0
[engine.ports]
intake = { kind = "piston-port", opens = "75 deg", width = 15.0, height = 9.0 }
"""
    text = PART.format(work="remove = 0.5\nwiden = 1.0", opening=22.5, more="").replace("[[work]]", f"{engine}[[work]]")
    found = evaluate(parse_job(text))
    (change,) = port_changes(found.job, 0.0)

    assert (change.port, change.removed, change.widened) == ("intake", 0.5, 1.0)
    assert with_work(found.job.engine, [change]).ports[0].travel > edge_of(found.job.engine, found.job.engine.ports[0])
    assert ground(found).new.bounds[2] == pytest.approx(9.7 + 0.5, abs=OFF)


def test_work_at_a_flange_alone_needs_no_engine():
    found = evaluated("widen = 1.0")

    assert port_changes(found.job, 0.0) == ()
    assert ground(found).new.area == pytest.approx(pi * 9.7**2 + 19.4, rel=1e-3)


def test_a_new_shape_lies_where_it_is_said():
    found = ground(evaluated("to = { round = 21.0 }\nat = [0.0, 0.5]"))

    assert found.new.centroid.coords[0] == pytest.approx((0.0, 0.5), abs=1e-6)
    assert {one.turn: one.mm for one in found.depths}[90] == pytest.approx(10.5 + 0.5 - 9.7, abs=OFF)


# -- two faces -----------------------------------------------------------------------------------------------------

JOINT = """
units = "mm"
[[part]]
name = "manifold"
kind = "joint"
flow = ["pipe", "cylinder"]
studs = {{ at = [[-22, 0], [22, 0]], size = "M6" }}
port = [
  {{ name = "intake", face = "pipe", shape = {{ round = 21.0 }} }},
  {{ name = "intake", face = "cylinder", shape = {{ round = {second} }} }},
]
{work}
"""


def test_the_face_that_stands_in_the_way_is_opened_to_the_other():
    one = ground(evaluate(parse_job(JOINT.format(second=20.0, work=""))), "manifold")

    assert (one.face, one.other, one.is_asked) == ("cylinder", "pipe", False)
    assert [step.mm for step in one.before] == pytest.approx([0.5] * 12, abs=OFF)
    assert [step.mm for step in one.after] == pytest.approx([0.0] * 12, abs=0.006)
    assert one.taken == pytest.approx(pi * (10.5**2 - 10**2), rel=1e-3)


def test_a_step_too_small_to_grind_gives_no_template():
    assert evaluate(parse_job(JOINT.format(second=20.9, work=""))).grindings["manifold"] == ()


def test_work_on_one_face_of_a_joint_is_judged_against_the_other():
    work = '[[work]]\nport = "intake"\npart = "manifold"\nface = "cylinder"\nall_round = 0.8'
    found = evaluate(parse_job(JOINT.format(second=20.0, work=work)))
    one = ground(found, "manifold")

    assert one.is_asked
    assert one.before[0].mm == pytest.approx(0.5, abs=OFF)
    assert one.after[0].mm == pytest.approx(-0.3, abs=OFF)
    assert not [each for each in found.findings if each.rule == "step" and each.weight == "warn"]


def test_the_json_of_fit_has_walls_depths_and_steps():
    data = json.loads(json.dumps(fit_data(evaluated("all_round = 0.762\nleast_wall = 3.0"))))
    (one,) = data["parts"][0]["ground"]

    assert one["wall_mm"] == min(wall["wall_mm"] for wall in one["walls"])
    assert (one["wall_to"], one["least_wall_mm"]) == ("the outside", 3.0)
    assert len(one["depths"]) == 12
    assert one["steps"] == []
    joint = fit_data(evaluate(parse_job(JOINT.format(second=20.0, work=""))))["parts"][0]["ground"][0]
    assert joint["steps"][3] == {"deg": 90, "before_mm": pytest.approx(0.5, abs=OFF), "after_mm": 0.0}
    assert joint["step_against"] == "pipe"


# -- bad input -----------------------------------------------------------------------------------------------------


def test_a_grown_port_that_leaves_the_flange_is_a_fault_with_its_line():
    ((line, key, words),) = faults("raise = 12.0")

    assert PART.splitlines()[line - 1] == "{work}"
    assert key == "work.1.raise"
    assert "leaves the flange of 'carb-gasket' by 4.45 mm" in words  # 9.7 + 12 beyond 11.25 + 6
    assert "take off less" in words


def test_a_new_shape_inside_the_old_one_puts_metal_back():
    ((line, key, words),) = faults("to = { rectangle = [22.0, 18.0] }")

    assert PART.splitlines()[line - 1] == "{work}"
    assert key == "work.1.to"
    assert "metal cannot be put back" in words
    assert "0.70 mm" in words


def test_a_new_shape_that_crosses_itself_is_a_fault_of_the_work():
    ((_, key, words),) = faults("to = { points = [[-12, -12], [12, 12], [12, -12], [-12, 12]] }")

    assert key == "work.1.to"
    assert "crossing" in words


def test_an_old_shape_that_is_none_is_a_fault_of_the_part():
    text = PART.format(work="all_round = 0.5", opening=22.5, more="")
    text = text.replace("{ round = 19.4 }", "{ points = [[-12, -12], [12, 12], [12, -12], [-12, 12]] }")
    with pytest.raises(JobError) as caught:
        evaluate(parse_job(text)).parts  # noqa: B018

    assert [fault.key for fault in caught.value.faults] == ["part 'carb-gasket'"]


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ('part = "carb-gasket"', 'part = "crab-gasket"', "work.1.part", "did you mean 'carb-gasket'?"),
        ('[[work]]\nport = "intake"', '[[work]]\nport = "exhaust"', "work.1.port", "has no port 'exhaust'"),
        ("all_round = 0.5", "all_round = -12.0", "work.1.all_round", "nothing is left of port 'intake'"),
        ("all_round = 0.5", "all_round = -0.5", "work.1.all_round", "metal cannot be put back"),
        ("all_round = 0.5", "all_round = 0.5\nto = { round = 21.0 }", "work.1.to", "not both"),
        ("all_round = 0.5", 'all_round = 0.5\nface = "cylinder"', None, None),
    ],
)
def test_what_the_part_does_not_have_is_a_fault_with_its_line(old, new, key, words):
    text = PART.format(work="all_round = 0.5", opening=22.5, more="").replace(old, new)
    if key is None:
        assert parse_job(text).work[0].face == "cylinder"  # the port is on both faces, so on this one too
        return
    with pytest.raises(JobError) as caught:
        parse_job(text)
    (fault,) = caught.value.faults

    assert fault.key == key
    assert words in fault.message
    assert text.splitlines()[fault.line - 1].startswith(key.split(".")[-1])


def test_a_port_on_two_faces_asks_which():
    with pytest.raises(JobError, match='write face = "pipe" or face = "cylinder"'):
        parse_job(JOINT.format(second=20.0, work='[[work]]\nport = "intake"\npart = "manifold"\nall_round = 0.8'))


@pytest.mark.parametrize(
    ("work", "wants"),
    [
        ('port = "intake"\npart = "carb-gasket"', "work.1.all_round"),
        ('port = "intake"\nall_round = 0.5\nremove = 0.5', "work.1.part"),
    ],
)
def test_half_said_work_is_left_out_and_asked_for(work, wants):
    text = PART.format(work="", opening=22.5, more="").split("[[work]]")[0] + f"[[work]]\n{work}"
    job = parse_job(text)

    assert job.work == ()
    assert [fault.wants for fault in job.incomplete] == [wants]


def test_work_waits_for_a_part_that_is_not_all_said():
    job = parse_job(
        PART.format(work="all_round = 0.5", opening=22.5, more="").replace("outline = { hull = 6.0 }\n", "")
    )

    assert (job.parts, job.work) == ((), ())
    assert {fault.key for fault in job.incomplete} == {"part.1", "work.1"}
