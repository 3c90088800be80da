"""Possible and yet seldom met: a word with the usual range and whose it is, unless the job is sure."""

import pytest

from gasketcut import JobError, evaluate, parse_job
from gasketcut.engine.unusual import unusual_values
from gasketcut.job.reading.reader import read_job
from gasketcut.job.usual import known_names
from tests.engine.test_contradictions import ENGINE

HULL = "outline = { hull = 5.0 }\n"
WORDS = [  # the issue's own slips, and their like: old, new, key, what the text says
    ("bore = 44.0", "bore = 440.0", "engine.bore", "engine.bore = 440.00 mm"),
    ("stroke = 34.0", "stroke = 3.4", "engine.stroke", "is the decimal point in its place, or"),
    ("rod = 58.0", 'rod = "58 in"', "engine.rod", "43.33 of the stroke"),
    ("rod = 58.0", "rod = 34.0", "engine.rod", "1.00 of the stroke"),
    ("rod = 58.0", "rod = 58.0\nrpm = 950", "engine.rpm", "engine.rpm = 950"),
    ("rod = 58.0", "rod = 58.0\ndeck = 5.0", "engine.deck", "engine.deck = 5.00 mm"),
    ("chamber_cc = 6.2", "chamber_cc = 62", "engine.chamber_cc", "a full-stroke ratio of 1.8"),
    ("chamber_cc = 6.2", "chamber_cc = 1.6", "engine.chamber_cc", "a full-stroke ratio of 33"),
    ('"103 deg"', '"14.2 deg"', "engine.ports.exhaust.opens", "opens = 14.2 deg; usual is 80 to 120 deg"),
    ('"121 deg"', '"140 deg"', "engine.ports.transfer.opens", "opens = 140 deg; usual is 105 to 135 deg"),
    ("width = 26.0", "width = 2.6", "engine.ports.exhaust.width", "0.06 of the bore"),
    ("target = 0.5", 'target = 0.5\nsolder = "0.9 in"', "squish.solder", "squish.solder = 22.86 mm"),
    ("target = 0.5", "target = 5.0", "squish.target", "is the decimal point in its place?"),
    ('"left", value = 0.95', '"left", value = 9.5', "squish.readings.value", "'left': value = 9.50 mm"),
    ("gasket_present = 0.5", "gasket_present = 0.5", None, ""),
    ("[squish]", '[[stock]]\nname = "a"\nthickness = 12.7\n[squish]', "stock.thickness", "'a': thickness = 12.70 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "says"), WORDS)
def test_a_slip_gives_a_word(old, new, key, says):
    text = ENGINE.replace(old, new, 1)
    found = list(unusual_values(parse_job(text)))

    if key is None:
        assert found == []
        return
    (mine,) = [one for one in found if f'sure = ["{key}"]' in one.do]
    assert says in mine.text
    assert (mine.rule, mine.weight) == ("unusual", "warn")
    assert "; usual is " in mine.text
    assert "(common practice)" in mine.text
    sure = list(unusual_values(parse_job(f'sure = ["{key}"]\n{text}')))
    assert len(sure) == len(found) - 1
    assert not any(f'"{key}"' in one.do for one in sure)


def test_a_number_in_the_other_unit_is_guessed_at():
    inches = ENGINE.replace('units = "mm"', 'units = "in"')
    (bore,) = [one.text for one in unusual_values(parse_job(inches)) if one.text.startswith("engine.bore")]
    assert bore.endswith("; is the number in mm, and not in inches?")
    (bore,) = [
        one.text
        for one in unusual_values(parse_job(ENGINE.replace("bore = 44.0", "bore = 1.73").replace("26.0", "1.0")
                                            .replace("14.0", "0.5")))
        if one.text.startswith("engine.bore")
    ]  # fmt: skip
    assert bore.endswith("; is the number in inches, and not in mm?")


def test_the_demo_has_nothing_unusual():
    assert list(unusual_values(read_job("demo"))) == []


def test_a_roof_far_larger_than_the_port():
    part = '[[part]]\nname = "e"\nkind = "exhaust"\nopening = {{ arc-roof = [20, 24, 18], roof = {roof} }}\n'
    texts = [one.text for one in unusual_values(parse_job('units = "mm"\n' + part.format(roof=180) + HULL))]
    assert texts == [
        "part 'e' has a roof of radius 180.00 mm (7.087 in) over 20.00 mm (0.787 in); usual is 0.5 to 3 of its width "
        "(common practice); is the decimal point in its place?"
    ]
    assert list(unusual_values(parse_job('units = "mm"\n' + part.format(roof=18) + HULL))) == []


def test_sure_names_a_key():
    with pytest.raises(JobError) as caught:
        parse_job('sure = ["engine.rod", "engine.boer"]\n' + ENGINE)
    (fault,) = caught.value.faults
    assert fault.message == "'engine.boer' has no usual range; did you mean 'engine.bore'?"
    assert (fault.line, fault.column) == (1, 23)


def test_it_is_among_the_findings_with_and_without_a_squish():
    wrong = ENGINE.replace("bore = 44.0", "bore = 110.0")
    for text in (wrong, wrong[: wrong.index("[squish]")]):
        rules = [one.rule for one in evaluate(parse_job(text)).findings]
        assert rules.count("unusual") == len(list(unusual_values(parse_job(text)))) > 0


def test_a_height_is_held_against_how_long_it_opens_the_port():
    text = ENGINE.replace('opens = "103 deg"', 'travel = "14.2 mm"')
    (mine,) = [one for one in unusual_values(parse_job(text)) if "exhaust" in one.text]
    assert mine.text.startswith("engine.ports.exhaust.travel = 14.20 mm (0.559 in) opens it for 2")
    assert mine.unit == "deg"


def test_an_angle_that_may_be_a_travel_says_how_a_travel_is_written():
    (mine,) = list(unusual_values(parse_job(ENGINE.replace('"103 deg"', '"14.2 deg"'))))
    assert 'travel = "14.2 mm"' in mine.do


def test_every_usual_range_of_every_key_asks_when_it_is_left():
    """A number twice as far out as the range is wide is asked about, whatever its key."""
    text = ENGINE + '[ring]\ngap = 30\n[ignition]\ntaper = [200, 190]\n[cutting]\nprocess = "co2"\nkerf = 1.5\n'
    names = {one.do.partition('sure = ["')[2].partition('"')[0] for one in unusual_values(parse_job(text))}
    assert {"ring.gap", "ignition.taper", "cutting.kerf"} <= names
    assert names <= set(known_names(parse_job(text)))
