"""`[cutting]` of a job: what can be asked for, and every fault with its line and what to write instead."""

import tomllib

import pytest

from gasketcut.job.cutting import CuttingSpec
from gasketcut.job.reading.cutting_section import read_cutting
from gasketcut.toml.faults import Faults
from gasketcut.toml.table import Table


def read(text, units="mm"):
    faults = Faults(text)
    spec = read_cutting(Table(tomllib.loads(text)["cutting"], ("cutting",), faults, units))
    return spec, [(fault.line, fault.key, fault.message) for fault in faults.sorted()]


def test_an_empty_section_asks_for_nothing():
    assert read("[cutting]") == (CuttingSpec(), [])


def test_everything_that_can_be_asked_for():
    spec, faults = read("""[cutting]
process = "fibre"
kerf = "0.006 in"
speed = "24 in/min"
pierce = "0.4 s"
rate_hour = 55
rate_sheet = 3.5
currency = "EUR"
""")
    assert faults == []
    assert spec == CuttingSpec(
        process="fibre", kerf=0.1524, speed=609.6, pierce=0.4, rate_hour=55.0, rate_sheet=3.5, currency="EUR",
    )  # fmt: skip


@pytest.mark.parametrize(("text", "speed"), [("600 mm/min", 600), ("10 mm/s", 600), ("1 in / min", 25.4)])
def test_a_speed_is_a_length_and_a_time(text, speed):
    assert read(f'[cutting]\nspeed = "{text}"') == (CuttingSpec(speed=speed), [])


@pytest.mark.parametrize("key", ["kerf", "lead_in", "tabs", "overcut"])
@pytest.mark.parametrize(("value", "wanted"), [("true", "profile"), ("false", None)])
def test_switches_take_the_profile_or_are_off(key, value, wanted):
    value = '"profile"' if (key, value) == ("kerf", "true") else value
    spec, faults = read(f'[cutting]\nprocess = "knife"\n{key} = {value}')
    assert (getattr(spec, key), faults) == (wanted, [])


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('order = "yes"', "write true or false"),
        ("tabs = 2.5", "not a whole number from 1 to 20"),
        ("lead_in = 0", "0 is no size"),
        ('overcut = "a bit"', "is not a length"),
        ('process = "laser"', "write one of co2, fibre, knife, waterjet, hand"),
        ('process = "fiber"', "did you mean 'fibre'?"),
        ('kerf = "profil"', "did you mean 'profile'?"),
        ("kerf = true", 'write kerf = "profile"'),
        ("kerf = 15", "15 mm is more than any cutter"),
        ('kerf = "0,15 mm"', "with a point, not a comma"),
        ("kerf = -0.1", "below zero"),
        ("speed = 600", 'write speed = "600 mm/min"'),
        ('speed = "600 mm"', 'write e.g. speed = "600 mm/min"'),
        ('speed = "600/min"', 'e.g. "600 mm"'),
        ('speed = "0 mm/min"', "out of range"),
        ("speed = true", "write a speed"),
        ("pierce = 0.5", 'write pierce = "0.5 s"'),
        ('pierce = "0.5 mm"', 'e.g. pierce = "0.5 s"'),
        ('pierce = "-1 s"', "write 0 to 60 s"),
        ('pierce = "nan s"', "write 0 to 60 s"),
        ("rate_hour = -1", "out of range; write 0 or more"),
        ("rate_hour = inf", "out of range"),
        ("currency = 5", "write a text in quotes"),
        ("kerff = 0.1", "unknown key; did you mean 'kerf'?"),
    ],
)
def test_a_fault_names_its_line_and_what_to_write(line, words):
    first = "" if line.startswith("process") else 'process = "co2"\n'
    ((at, key, message),) = read(f"[cutting]\n{first}{line}")[1]

    assert (at, key) == (2 + bool(first), f"cutting.{line.split(' ')[0]}")
    assert words in message


@pytest.mark.parametrize("line", ['kerf = "profile"', "lead_in = true", "rate_hour = 50", "tabs = 2"])
def test_what_hangs_on_the_process_needs_one(line):
    ((at, _, message),) = read(f"[cutting]\n{line}")[1]
    assert (at, "add process = one of co2" in message) == (2, True)


def test_lengths_without_a_process_stand_by_themselves():
    spec, faults = read("[cutting]\nkerf = 0.006", units="in")
    assert (spec, faults) == (CuttingSpec(kerf=0.1524), [])
