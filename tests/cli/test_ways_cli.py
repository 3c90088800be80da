"""The ways through the command line: text, JSON, picture, build sheet, and what is refused."""

import json
import re

import pytest

JOB = """title = "Pond pump"
units = "mm"
[engine]
bore = 47.0
stroke = 32.6
rod = 59.2
chamber_cc = 6.0
squish_band = 6.0
[engine.ports]
exhaust = { duration = "156 deg", width = 24.0, height = 10.0 }
transfer = { duration = "116 deg" }
intake = { duration = "148 deg" }
[squish]
measured = "0.70 mm +- 0.02"
gasket_present = 0.50
target = 0.50
least = 0.40
[wanted]
exhaust = "160 deg"
transfer = 112
may = ["gasket", "base cut", "band cut", "exhaust"]
"""


def with_wanted(rows):
    return JOB[: JOB.index("[wanted]")] + "[wanted]\n" + rows


def test_the_text_goes_on_a_screen_and_says_the_deeds_with_what_to_measure(command):
    said = command("ways", "job.toml", text=JOB)
    plain = " ".join(said.stdout.split())

    assert (said.returncode, said.stderr) == (0, "")
    assert max(map(len, said.stdout.splitlines())) <= 80
    assert "ANSWER: band cut + gasket + exhaust: all that is wanted." in plain
    assert "1) Cut the squish band 0.20 mm (0.008 in) deeper, the bowl untouched; then the squish is 0.90 mm" in plain
    assert "File 0.93 mm (0.037 in) off the roof of port 'exhaust'" in plain
    assert plain.count("Metal does not come back") == 1


def test_inches_stand_first_where_the_job_is_in_inches(command):
    text = re.sub(r"(?m)^(bore|stroke|rod|squish_band|gasket_present|target|least) = ([\d.]+)$", r'\1 = "\2 mm"', JOB)
    text = text.replace('units = "mm"', 'units = "in"').replace("24.0", '"24 mm"').replace("10.0", '"10 mm"')
    said = " ".join(command("ways", "job.toml", text=text).stdout.split())

    assert "Cut the squish band 0.008 in (0.20 mm) deeper" in said
    assert "squish, in" in said


def test_json_has_every_figure_in_full(command):
    data = json.loads(command("ways", "job.toml", "--json", text=JOB).stdout)
    first = data["ways"][0]
    by_deed = {one["deed"]: one for one in first["deeds"]}

    assert [one["deed"] for one in first["deeds"]] == ["band cut", "gasket", "raise"]
    assert by_deed["band cut"]["mm"] == pytest.approx(0.2036294241, abs=1e-10)
    assert by_deed["raise"]["port"] == "exhaust"
    assert by_deed["raise"]["measure"] == {"what": "opens", "deg": pytest.approx(100.0, abs=1e-9)}
    assert set(first["reached"]) == {
        "squish_mm", "exhaust_deg", "transfer_deg", "intake_deg", "blowdown_deg", "trapped", "full", "cranking_psi",
        "chamber_cc",
    }  # fmt: skip
    assert (first["missed"], data["contradictions"], data["level"]) == ({}, [], 0.95)
    assert first["plus_minus"]["squish_mm"] == pytest.approx(1.959963985 * 0.02, rel=1e-4)


def test_text_and_json_say_the_same(command):
    text = command("ways", "job.toml", text=JOB).stdout
    data = json.loads(command("ways", "job.toml", "--json").stdout)
    shown = re.findall(r"^  trapped ratio +\S+ +(\S+)", text, re.MULTILINE)

    assert shown[:2] == [f"{way['reached']['trapped']:.2f}" for way in data["ways"][:2]]


def test_the_picture_shows_now_and_each_way(command):
    said = command("ways", "job.toml", "--out", "out", text=JOB)
    svg = (command.folder / "out" / "ways.svg").read_text(encoding="utf-8")

    assert said.returncode == 0
    assert (command.folder / "out" / "ways.pdf").read_bytes().startswith(b"%PDF")
    assert ">now<" in svg
    assert "1. band cut + gasket + exhaust" in svg
    assert svg.count("stroke-dasharray") >= 6


def test_the_chosen_way_stands_on_the_build_sheet(command):
    text = JOB + 'way = "band cut + base cut + exhaust"\n'
    said = command("record", "job.toml", "--out", "sheet", text=text)
    sheet = (command.folder / "sheet" / "build-sheet.txt").read_text(encoding="utf-8")
    data = json.loads(command("record", "job.toml", "--json").stdout)

    assert (said.returncode, said.stderr) == (0, "")
    assert "Way: band cut + base cut + exhaust" in sheet
    assert "2) Cut 0.40 mm (0.016 in) off the cylinder's base" in " ".join(sheet.split())
    assert "after 3): exhaust opens" in sheet
    assert data["way"]["name"] == "band cut + base cut + exhaust"


def test_a_chosen_way_that_is_a_danger_says_so_on_the_build_sheet(command):
    # Seen: a way under the floor stood on the sheet with its deeds and figures alone.
    text = JOB.replace('["gasket", "base cut", "band cut", "exhaust"]', '["base cut", "exhaust"]')
    text += 'way = "base cut + exhaust, for transfer"\n'
    command("record", "job.toml", "--out", "sheet", text=text)
    sheet = (command.folder / "sheet" / "build-sheet.txt").read_text(encoding="utf-8")

    section = " ".join(sheet[sheet.index("Way: base cut + exhaust") : sheet.index("after 1)")].split())
    assert "STOP: a squish of" in section
    assert "under your floor" in section


def test_no_way_without_a_stop_ends_with_one(command):
    # The band is not wide enough for the floor whatever is done: nothing but the base may be cut.
    text = JOB.replace("least = 0.40", "least = 0.49").replace('measured = "0.70 mm +- 0.02"', "measured = 0.45")
    text = text.replace("gasket_present = 0.50", "gasket_present = 0.10")
    text = text[: text.index("[wanted]")] + '[wanted]\nmay = ["base cut"]\n'
    said = command("ways", "job.toml", text=text)

    assert said.returncode == 1
    assert "STOP" in said.stdout


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ('exhaust = ["162 deg", "158 deg"]\nmay = ["ports"]', "upside down; write least, then most"),
        ('trapped = [8, 7]\nmay = ["ports"]', "trapped = [7, 8]"),
        ('exhaust = "160 deg"\nmay = []', "nothing may be done; write what you can do"),
        ('may = ["gaskit"]', "did you mean 'gasket'?"),
        ('may = ["exhaus"]', "did you mean 'exhaust'?"),
        ('may = ["ports", "ports"]', "said already"),
        ('exhaust = "400 deg"\nmay = ["ports"]', "write it between 0 and 360 deg"),
        ('transfer = 361\nmay = ["ports"]', "write it between 0 and 360 deg"),
        ('blowdown = "-3 deg"\nmay = ["ports"]', "between 0 and 180 deg"),
        ('exhaust = "24 mm"\nmay = ["ports"]', "is a length"),
        ('trapped = 0.5\nmay = ["bowl"]', "write more than 1"),
        ('trapped = [7, 8, 9]\nmay = ["bowl"]', "least and most in brackets"),
        ('cranking_psi = "high"\nmay = ["bowl"]', "not a plain number"),
        ('may = ["gasket"]\nway = "a miracle"', "is no way here"),
        ('exhaust = "160 deg"', "'may' is missing"),
        ('exaust = "160 deg"\nmay = ["ports"]', "did you mean 'exhaust'?"),
    ],
)
def test_bad_wants_are_faults_with_a_line_and_what_to_write(command, rows, message):
    said = command("ways", "job.toml", text=with_wanted(rows))

    assert said.returncode == 2
    assert re.match(r"job\.toml:\d+", said.stderr)
    assert message in said.stderr
    assert "Traceback" not in said.stderr


@pytest.mark.parametrize(
    ("gone", "message"),
    [
        ("chamber_cc = 6.0\n", "engine.chamber_cc"),
        ("rod = 59.2\n", "engine.rod"),
        ("squish_band = 6.0\n", "engine.squish_band"),
        ('transfer = { duration = "116 deg" }\n', "engine.ports.transfer"),
    ],
)
def test_what_a_want_needs_is_asked_for(command, gone, message):
    text = JOB.replace(gone, "") + "trapped = 7.5\n"
    said = command("ways", "job.toml", text=text)

    assert said.returncode == 2
    assert message in said.stderr


def test_without_wants_the_command_says_what_to_add(command):
    said = command("ways", "job.toml", text=JOB[: JOB.index("[wanted]")])

    assert said.returncode == 2
    assert "has no [wanted]; add it" in said.stderr


def test_a_target_under_the_floor_is_a_fault(command):
    said = command("ways", "job.toml", text=JOB.replace("target = 0.50", "target = 0.30"))

    assert said.returncode == 2
    assert "under your own floor" in said.stderr
