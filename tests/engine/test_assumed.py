"""What an answer rests on although the job does not say it: listed where it was used, gone once the key is written."""

import re

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.output.data.squish import squish_data
from gasketcut.output.text.squish import squish_text
from tests.making import record, record_numbers

JOB = """units = "mm"
[engine]
bore = 54.0
stroke = 54.5
rod = 110.0
rpm = 11000
chamber_cc = 12.0
[engine.ports]
exhaust = { depth = 28.0, width = 30.0 }
[[stock]]
name = "sheet"
thickness = 0.40
[squish]
target = 0.9
gasket_present = 0.4
readings = [{ at = "left", value = 0.90 }, { at = "right", value = "0.92 mm +- 0.01" }]
"""
SAID = {  # each key as it may be written, and what stood in its place
    "squish.readings.value": ("value = 0.90 ", 'value = "0.90 mm +- 0.01" ', "+- 0.02 mm (0.0008 in)"),
    "squish.gasket_present": ("gasket_present = 0.4", 'gasket_present = "0.4 mm +- 0.01"', "exact"),
    "squish.least": ("target = 0.9", "target = 0.9\nleast = 0.8", "0.80 mm (0.031 in)"),
    "squish.most": ("target = 0.9", "target = 0.9\nmost = 1.0", "1.00 mm (0.039 in)"),
    "squish.risk": ("target = 0.9", "target = 0.9\nrisk = 0.025", "2.5%"),
    "squish.sealant": ("target = 0.9", "target = 0.9\nsealant = [0]", "none"),
    "stock.fitted": ("thickness = 0.40", "thickness = 0.40\nfitted = [0.38, 0.40, 0.41]", "nominal +- 10%"),
    "engine.deck": ("rpm = 11000", "rpm = 11000\ndeck = 0", "flush with the deck"),
    "engine.pin_offset": ("rpm = 11000", "rpm = 11000\npin_offset = 0", "on the bore's axis"),
    "engine.altitude_m": ("rpm = 11000", "rpm = 11000\naltitude_m = 0", "0 m"),
    "engine.running.reciprocating_g": ("rpm = 11000", "rpm = 11000\nrunning = { reciprocating_g = 180 }",
                                       "222 g, by the bore"),
    "engine.running.rod_section_mm2": ("rpm = 11000", "rpm = 11000\nrunning = { rod_section_mm2 = 80 }",
                                       "90.4 mm2, by the bore"),
    "engine.running.crown_height_mm": ("rpm = 11000", "rpm = 11000\nrunning = { crown_height_mm = 30 }",
                                       "30.68 mm (1.208 in), by the bore"),
    "engine.running.cylinder_height_mm": ("rpm = 11000", "rpm = 11000\nrunning = { cylinder_height_mm = 100 }",
                                          "109.0 mm (4.29 in), twice the stroke"),
}  # fmt: skip


def listed(text):
    return {one.key: one.value for one in evaluate(parse_job(text)).squish.assumed}


@pytest.mark.parametrize("key", SAID)
def test_an_assumption_is_listed_until_its_key_is_written(key):
    old, new, value = SAID[key]

    assert old in JOB
    assert listed(JOB)[key] == value
    assert key not in listed(JOB.replace(old, new, 1))


@pytest.mark.parametrize(("key", "written", "value"), [
    ("clamp.bolts", "bolts = 4", "4"), ("clamp.class", 'class = "8.8"', "8.8"), ("clamp.k", "k = 0.2", "0.2"),
])  # fmt: skip
def test_what_the_bolts_are_taken_for_too(key, written, value):
    clamp = '[clamp]\nsize = "M5"\ntorque_nm = 6.0\narea_mm2 = 1200\n'

    assert listed(JOB + clamp)[key] == value
    assert key not in listed(f"{JOB}{clamp}{written}\n")
    assert key not in listed(JOB)


def test_all_that_is_assumed_names_a_key_that_the_list_above_knows_but_for_what_has_none():
    assert {key for key in listed(JOB) if key and not key.startswith("engine.running.")} == {
        key for key in SAID if not key.startswith("engine.running.")
    }
    assert listed(JOB)[None] == "1.2 to 1.3"


def test_what_was_not_used_is_not_listed():
    # No speed: nothing takes from the gap. No chamber: no pressure. An angle needs no deck.
    found = listed(JOB.replace("rpm = 11000\nchamber_cc = 12.0\n", "").replace("depth = 28.0", 'opens = "90 deg"'))

    assert not any((key or "").startswith("engine.running") for key in found)
    assert {"engine.altitude_m", "engine.deck", None}.isdisjoint(found)


@pytest.mark.parametrize(("squish", "keys"), [
    ("deck = 0.5", {"squish.deck", "squish.head_gasket", "squish.head_recess"}),
    ('deck = "0.5 mm +- 0.01"\nhead_gasket = 0.4', {"squish.head_recess", "squish.head_gasket",
                                                    "squish.gasket_recess"}),
    ('measured = 0.9', {"squish.measured"}),
    ('deck = "0.5 mm +- 0.01"\nhead_gasket = "0.4 mm +- 0.01"\nhead_recess = 0\ngasket_recess = 0', set()),
])  # fmt: skip
def test_a_sum_says_what_it_leaves_out(squish, keys):
    text = re.sub(r"readings = .*", squish, JOB)
    known = {"squish.gasket_present", "squish.least", "squish.most", "squish.risk", "squish.sealant"}
    known.add("squish.readings")  # left and right apart are what a mean cannot tell

    assert {key for key in listed(text) if (key or "").startswith("squish.")} - known == keys


def test_text_numbers_and_build_sheet_have_the_same_list(tmp_path):
    job = parse_job(JOB)
    answer = evaluate(job).squish
    said = " ".join(squish_text(answer, "t", ()).split())
    record(job, tmp_path)
    sheet = " ".join((tmp_path / "build-sheet.txt").read_text(encoding="utf-8").split())
    data = squish_data(answer)["assumed"]

    assert [set(one) for one in data] == [{"what", "value", "key"}] * len(answer.assumed)
    assert record_numbers(job)["squish"]["assumed"] == data
    for one in data:
        for text in (said, sheet):
            assert one["value"] in text, one
            assert (one["key"] or "(no key)").rpartition(".")[2] in text, one


def test_lengths_stand_in_the_order_of_the_job():
    text = re.sub(r"(?<=[=\[ ])(\d+\.\d+)(?=[ \n,}])", r'"\1 mm"', JOB.replace("chamber_cc = 12.0\n", ""))
    found = listed(text.replace('units = "mm"', 'units = "in"'))

    assert (found["squish.least"], found["squish.readings.value"]) == ("0.031 in (0.80 mm)", "+- 0.0008 in (0.02 mm)")


def test_what_others_advise_is_printed_for_the_asking(command):
    plain, asked = command("squish", "job.toml", text=JOB), command("squish", "job.toml", "--advice", text=JOB)

    assert (plain.returncode, asked.returncode) == (0, 0), plain.stderr
    assert "What others advise" not in plain.stdout
    assert "What others advise" in asked.stdout
    assert "tuning shop's page" in asked.stdout
    assert plain.stdout.rstrip().endswith("the maker's figures come first.")
    assert max(map(len, asked.stdout.partition("Assumed, as")[2].splitlines())) <= 80
