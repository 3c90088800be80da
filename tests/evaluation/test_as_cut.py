"""A part as it was cut, put through the checks of `fit`: overhang, lands, seals, and whether it goes over its studs."""

import numpy as np
import pytest
from shapely.geometry import Polygon, box

from gasketcut import evaluate, parse_job
from gasketcut.evaluation.as_cut import CutContours, as_cut
from gasketcut.shape.loop import Circle, Loop
from gasketcut.verdict import Verdict
from tests.comparing.cut_parts import JOB

SLOT = "dowels = [{ at = [[-23.5, 25.5]], slot = [6.0, 4.2], stud_diameter = 4.0 }]"
SLOTTED = JOB.replace("holes = [{ at = [[-23.5, 25.5]], diameter = 4.0 }]", SLOT).replace(', "dowel"', "")


@pytest.fixture(scope="module")
def evaluation():
    return evaluate(parse_job(JOB))


def ring(shape):
    points = [(float(x), float(y)) for x, y in np.array(shape.exterior.coords)[:-1]]
    return Loop(tuple(points), (0.0,) * len(points))


def contours(evaluation, *, grown=0.0, moved=None, holes=(), outer=None, left_out=(), extra=()):
    """The drawing's, all edges `grown` outwards; `moved` by the place of the hole; `holes` put in place of others."""
    drawn = evaluation.parts["carb-gasket"].outline
    inner = []
    for n, one in enumerate(drawn.inner):
        if n in left_out:
            inner.append(None)
        elif isinstance(one, Circle):
            dx, dy = (moved or {}).get(one.center, (0.0, 0.0))
            inner.append(dict(holes).get(n, Circle((one.center[0] + dx, one.center[1] + dy), one.radius - grown)))
        else:
            inner.append(ring(Polygon(one.flattened()).buffer(-grown)))
    outside = outer or ring(Polygon(drawn.outer.flattened(0.0005)).buffer(grown))
    return CutContours(outside, tuple(inner), tuple(extra))


def test_cut_as_drawn_it_is_the_part_that_was_drawn(evaluation):
    drawn, found = evaluation.parts["carb-gasket"], as_cut(evaluation, "carb-gasket", contours(evaluation))
    assert found.verdict is drawn.verdict is Verdict.FITS
    assert found.narrowest.width == pytest.approx(drawn.narrowest.width, abs=0.005)
    assert found.passages[0].clear == pytest.approx(drawn.passages[0].clear, abs=0.005)
    assert found.passages[0].seal.width == pytest.approx(drawn.passages[0].seal.width, abs=0.005)
    assert not found.is_spoilt


def test_an_opening_that_came_out_small_hangs_into_the_port(evaluation):
    found = as_cut(evaluation, "carb-gasket", contours(evaluation, grown=1.2))
    hangs = next(one for one in found.findings if one.rule == "overhang")
    assert (hangs.weight, hangs.found) == ("stop", pytest.approx(0.2, abs=0.01))
    assert found.is_spoilt


def farthest(place, off):
    """How far the bore's middle comes from the port's, tried over a grid of turns and shifts; hole and port are round,
    and one millimetre apart all round."""
    studs = np.array([(-23.5, -25.5), (23.5, -25.5), (23.5, 25.5)])
    holes = studs + np.array([off if tuple(one) == place else (0.0, 0.0) for one in studs.tolist()])
    steps = np.linspace(-0.6, 0.6, 121)
    shifts = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 1, 2)
    most = 0.0
    for turn in np.linspace(-0.02, 0.02, 401):
        c, s = np.cos(turn), np.sin(turn)
        at = holes @ np.array([[c, s], [-s, c]]) + shifts
        goes = np.all(np.hypot(*(at - studs).transpose(2, 0, 1)) <= 0.25, axis=1)
        most = max(most, float(np.max(np.hypot(*shifts[goes, 0].T), initial=0.0)))
    return most


def test_a_hole_that_moved_takes_the_play_of_the_others(evaluation):
    at = (23.5, 25.5)
    play = as_cut(evaluation, "carb-gasket", contours(evaluation, moved={at: (0.1, 0.1)}))
    assert play.verdict is Verdict.FITS
    assert 1.0 - play.passages[0].clear == pytest.approx(farthest(at, (0.1, 0.1)), abs=0.006)
    stuck = as_cut(evaluation, "carb-gasket", contours(evaluation, moved={at: (1.0, 1.0)}))
    said = next(one for one in stuck.findings if one.rule == "hole")
    assert "does not go over its studs" in said.text
    # Three holes that lie right would be carried half the way to meet the fourth's stud.
    assert 0.1 < said.found < (2**0.5 - 0.5)
    assert stuck.is_spoilt


def test_the_advice_on_the_holes_lets_it_go_over_its_studs():
    two = evaluate(parse_job(JOB.replace("[23.5, -25.5], [23.5, 25.5]]", "[23.5, -25.5]]")))
    moved = {(23.5, -25.5): (1.0, 0.0)}
    said = next(one for one in as_cut(two, "carb-gasket", contours(two, moved=moved)).findings if one.rule == "hole")
    assert said.found == pytest.approx(0.25, abs=0.002)
    assert said.do == "open out each hole by 0.50 mm (0.020 in), or cut it anew"
    drawn = two.parts["carb-gasket"].outline.inner
    opened = {
        n: Circle((one.center[0] + moved.get(one.center, (0.0, 0.0))[0], one.center[1]), one.radius + 0.251)
        for n, one in enumerate(drawn)
        if isinstance(one, Circle) and one.radius == pytest.approx(2.75)
    }
    assert len(opened) == 2
    wider = as_cut(two, "carb-gasket", contours(two, holes=tuple(opened.items())))
    assert not any("does not go over its studs" in one.text for one in wider.findings)


def test_a_notch_cuts_the_seal_to_the_outside(evaluation):
    drawn = Polygon(evaluation.parts["carb-gasket"].outline.outer.flattened(0.0005))
    found = as_cut(evaluation, "carb-gasket", contours(evaluation, outer=ring(drawn.difference(box(25.0, 4, 31, 6)))))
    before = evaluation.parts["carb-gasket"].passages[0].seal.width
    assert found.passages[0].seal.width < before - 3.0
    assert found.narrowest.width == pytest.approx((25**2 + 4**2) ** 0.5 - 23, abs=0.01)
    through = ring(drawn.difference(box(21.0, 4, 31, 6)))
    open_ = as_cut(evaluation, "carb-gasket", contours(evaluation, outer=through))
    assert open_.verdict is Verdict.DOES_NOT_FIT


def test_what_was_not_cut_stops_and_what_nobody_drew_is_looked_at(evaluation):
    found = as_cut(evaluation, "carb-gasket", contours(evaluation, left_out=(0,)))
    assert any("not cut" in one.text for one in found.findings if one.weight == "stop")
    near = Circle((0.0, 27.0), 3.5)
    thin = as_cut(evaluation, "carb-gasket", contours(evaluation, extra=(near,)))
    land = next(one for one in thin.findings if one.rule == "web")
    assert land.found == pytest.approx(0.5, abs=0.02)


def test_a_slot_keeps_its_stud(evaluation):
    slotted = evaluate(parse_job(SLOTTED))
    found = as_cut(slotted, "carb-gasket", contours(slotted, grown=0.05))
    slot = next(one for one in found.part.studs if one.slot)
    assert slot.hole == pytest.approx(4.1, abs=0.01)
    assert slot.off == pytest.approx((0.0, 0.0), abs=0.005)


def test_on_one_stud_the_part_lies_with_its_hole_on_it():
    one = evaluate(parse_job(JOB.replace("[-23.5, -25.5], [23.5, -25.5], [23.5, 25.5]", "[-23.5, -25.5]")))
    found = as_cut(one, "carb-gasket", contours(one, moved={(-23.5, -25.5): (0.3, 0.0)}))
    assert found.part.studs[0].off == (0.0, 0.0)
    assert found.part.holes[0].center == pytest.approx((-23.5, -25.5))
    assert found.part.outer.bounds[0] == pytest.approx(-30.3, abs=0.01)


def test_the_part_as_drawn_is_not_changed(evaluation):
    before = evaluation.parts["carb-gasket"].part
    as_cut(evaluation, "carb-gasket", contours(evaluation, grown=0.3))
    assert evaluation.parts["carb-gasket"].part is before
    assert before.outer.bounds == pytest.approx((-30, -32, 30, 32), abs=0.01)
