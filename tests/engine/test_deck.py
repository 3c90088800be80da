"""One deck from bridge, protrusion, solder and head gasket: posted cases, and what does not agree."""

from math import hypot, sqrt

import pytest

from gasketcut import JobError, evaluate, parse_job
from gasketcut.engine.deck import deck_of
from gasketcut.engine.solder.readings import squish_of
from gasketcut.engine.squish.consistency import contradictions

ENGINE = """units = "mm"
[engine]
bore = 44.0
stroke = 34.0
rod = 58.0
{engine}
[engine.ports]
exhaust = {{ depth = 23.0 }}
[squish]
target = 0.5
{squish}
"""
GAP = "head_gasket = 0.9\nhead_recess = 0.2"
SOLDER = 'readings = [{ at = "left", value = 0.80 }, { at = "right", value = 0.80 }]'


def job(squish, engine=""):
    return parse_job(ENGINE.format(squish=squish, engine=engine))


def duration(squish, engine=""):
    return evaluate(job(squish, engine)).squish.before.ports["exhaust"].duration


@pytest.mark.parametrize(("squish", "engine", "clearance"), [
    (f"protrusion = 0.3\n{GAP}", "", 0.8),
    (f"deck = -0.3\n{GAP}", "", 0.8),
    (GAP, "deck = -0.3", 0.8),
    (f"{SOLDER}\n{GAP}", "", 0.8),  # 0.80 - 0.9 - 0.2
    (f"{SOLDER}\nprotrusion = 0.3", "", 0.8),
    (f"measured = 0.8\n{GAP}", "", 0.8),
    (f"protrusion = 0.3\ndeck = -0.3\n{GAP}", "deck = -0.3", 0.8),
    ("protrusion = 0.3\nhead_gasket = 1.3\nhead_recess = -0.2", "", 0.8),  # the band stands proud of the head
    ("protrusion = 0.3\nhead_gasket = 1.3\ngasket_recess = 0.2", "", 0.8),
    (SOLDER, "deck = -0.3", 0.8),
])  # fmt: skip
def test_however_the_deck_was_measured_ports_and_squish_are_the_same(squish, engine, clearance):
    # Geometry: the roof lies 23.0 below the deck, the crown 0.3 above it at TDC, so the piston travels 23.3 mm.
    found = evaluate(job(squish, engine)).squish

    assert found.before.ports["exhaust"].travel == pytest.approx(23.3, abs=1e-9)
    assert found.squish.mean.value == pytest.approx(clearance, abs=1e-9)


def test_a_crown_that_stands_above_the_deck_is_not_flush_with_it():
    # Two decks were one measurement without a word: 3 degrees apart on this engine.
    flush = duration("measured = 0.8")

    assert duration(f"protrusion = 0.3\n{GAP}") == duration("measured = 0.8", "deck = -0.3") != flush


@pytest.mark.parametrize(("bare", "recess", "whole"), [(2.2, 0.65, 2.90), (2.35, 0.75, 2.95)])
def test_a_posted_gap_of_a_twin(bare, recess, whole):
    # greasygreg.blogspot.com 2016/03: squish without head gasket 2.2 and 2.35, gasket 1.35, recess in the cylinder 0.65
    # and 0.75; "almost 3 mm".
    text = f"deck = {bare}\nhead_gasket = 1.35\ngasket_recess = {recess}"

    assert squish_of(job(text).squish).mean.value == pytest.approx(whole, abs=1e-9)


@pytest.mark.parametrize(("wanted", "depth"), [(180, 35.0733), (190, 32.3400), (195, 30.9564)])
def test_a_squish_as_thick_as_the_head_gasket_is_a_crown_flush_at_tdc(wanted, depth):
    # scootering.com, cylinder mapping: stroke 62, rod 120, packed until squish = head gasket = 0.92. Depths: geometry.
    text = ENGINE.format(squish="measured = 0.92\nhead_gasket = 0.92\nhead_recess = 0", engine="")
    text = text.replace("34.0", "62.0").replace("58.0", "120.0").replace("23.0", str(depth))
    found = evaluate(parse_job(text))

    assert deck_of(parse_job(text)).value == pytest.approx(0.0, abs=1e-12)
    assert found.squish.before.ports["exhaust"].duration == pytest.approx(wanted, abs=0.001)


def test_a_posted_step_that_does_not_fit_its_readings():
    # x-h2o.com 163768: a step of 0.035 in cut into the head, one chamber 0.055, the other 0.085 in: 0.030 apart.
    text = 'deck = "0.055 in"\nhead_gasket = 0\nhead_recess = "0.035 in"\nmeasured = "0.085 in"'
    (found,) = contradictions(job(text))

    assert found.names == ("squish.deck", "squish.measured")
    assert "2.29 mm (0.090 in)" in found.values[0]
    assert "2.16 mm (0.085 in)" in found.values[1]
    assert contradictions(job(text.replace("0.085 in", "0.090 in"))) == ()


DIFFERENT = [
    (f"protrusion = 0.3\ndeck = 0.1\n{GAP}", "", ("squish.deck", "squish.protrusion")),
    (f"protrusion = 0.3\n{GAP}", "deck = 0.3", ("squish.protrusion", "engine.deck")),
    (f"deck = 0.1\n{SOLDER}\n{GAP}", "", ("squish.deck", "squish.readings")),
    (f"{SOLDER}\n{GAP}", "deck = 0.0", ("engine.deck", "squish.readings")),
]


@pytest.mark.parametrize(("squish", "engine", "names"), DIFFERENT)
def test_two_decks_that_differ_are_both_shown_and_nothing_is_decided(squish, engine, names):
    found = evaluate(job(squish, engine))

    assert [one.names for one in found.contradictions] == [names]
    assert len(found.contradictions[0].values) == 2
    for result in ("squish", "wheel", "stencil"):
        with pytest.raises(JobError):
            found.require(result)


@pytest.mark.parametrize(("off", "agrees"), [(0.055, True), (0.057, False)])
def test_two_decks_agree_within_the_uncertainty_of_their_difference(off, agrees):
    # 1.96 sqrt(0.02^2 + 0.02^2) = 0.0554: 95 % of two readings of 0.02 each.
    found = contradictions(job(f"deck = 0.1\n{GAP}", f"deck = {0.1 + off}"))

    assert (found == ()) is agrees


@pytest.mark.parametrize("text", [
    f"deck = 0.1\nhead_gasket = 0.9\n{SOLDER}",  # the band may stand back: nobody looked
    f"deck = 0.1\n{SOLDER}",
    SOLDER,
    f"head_gasket = 0.9\n{SOLDER}",
])  # fmt: skip
def test_what_is_not_all_known_contradicts_nothing(text):
    assert contradictions(job(text)) == ()


def test_a_deck_is_the_surer_the_oftener_it_was_measured():
    # Weighted mean, arithmetic: 0.10 +- 0.01 and 0.12 +- 0.02 -> (4 x 0.10 + 0.12) / 5 = 0.104, +- 0.02 / sqrt(5).
    found = deck_of(job(f'deck = "0.10 mm +- 0.01"\n{GAP}', 'deck = "0.12 mm +- 0.02"'))

    assert (found.value, found.sigma) == pytest.approx((0.104, 0.02 / sqrt(5)), abs=1e-12)


def test_each_part_of_a_sum_is_as_uncertain_as_a_reading():
    # Propagation of independent errors; 0.02 where nobody said how sure a reading is, and no gasket is exactly none.
    mean = squish_of(job('deck = 0.3\nhead_gasket = "0.5 mm +- 0.04"\nhead_recess = 0').squish).mean

    assert (mean.value, mean.sigma) == pytest.approx((0.8, hypot(0.02, 0.04)), abs=1e-12)


def test_an_engine_s_deck_alone_is_no_squish():
    found = job("", "deck = 0.3")

    assert [fault.wants for fault in found.lacking("squish")] == ["squish.readings"]


@pytest.mark.parametrize(("squish", "engine", "key"), [
    ("protrusion = 0.9\nhead_gasket = 0.8", "", "squish.protrusion"),
    ("head_gasket = 0.8", "deck = -0.9", "engine.deck"),
])  # fmt: skip
def test_a_sum_that_leaves_no_gap_is_refused(squish, engine, key):
    with pytest.raises(JobError, match=r"leaves -0\.100 mm") as caught:
        job(squish, engine)

    assert [fault.key for fault in caught.value.faults] == [key]


def test_a_depth_with_its_unit_is_a_depth():
    # It was taken for an angle and refused.
    assert parse_job(job(GAP).text.replace("depth = 23.0", 'depth = "2.3 cm"')).engine.ports[0].depth == 23.0


@pytest.mark.parametrize(("sealant", "film"), [
    ("[0]", (0.0, 0.0, 0.0)), ("[0, 0.01, 0.02]", (0.0, 0.01, 0.02)), ("[0.02]", (0.0, 0.02, 0.02)),
])  # fmt: skip
def test_no_sealant_at_all_can_be_written(sealant, film):
    assert job(f"measured = 0.8\nsealant = {sealant}").squish.sealant == film


def test_less_than_no_sealant_is_refused():
    with pytest.raises(JobError, match="rising from 0 or more"):
        job("measured = 0.8\nsealant = [-0.01, 0, 0.02]")


def test_an_inch_job_is_refused_in_inches():
    text = job("protrusion = 0.3\nhead_gasket = 0.8", "deck = 0.3").text.replace('units = "mm"', 'units = "in"')
    text = text.replace("= 0.3", '= "0.3 mm"').replace("= 0.8", '= "0.8 mm"').replace("= 0.5", '= "0.5 mm"')

    with pytest.raises(JobError, match=r"0\.012 in \(0\.30 mm\) above the deck.*0\.012 in \(0\.30 mm\) below"):
        _ = evaluate(parse_job(text)).squish
    with pytest.raises(JobError, match=r"leaves -0\.0039 in \(-0\.100 mm\)"):
        parse_job(text.replace('deck = "0.3 mm"', "").replace('protrusion = "0.3 mm"', 'protrusion = "0.9 mm"'))
