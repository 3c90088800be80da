"""The squish answer through the command line: numbers, units, refusals, pictures."""

import json
import re
import subprocess
import sys
from math import acos, atan2, cos, degrees, pi, radians, sin, sqrt

import pypdfium2
import pytest
from svgelements import SVG, Path, Text

# An engine of our own invention.
JOB = """title = "Pond pump, 49 cc"
units = "mm"
[engine]
bore = 42.0
stroke = 35.0
rod = 63.0
rpm = 8800
chamber_cc = 6.0
squish_band = 6.0
[engine.ports]
exhaust  = { opens = "101 deg", width = 24.0, height = 12.0 }
transfer = { opens = "119 deg", width = 13.0, height = 7.0 }
intake   = { opens = "72 deg" }
[squish]
target = 0.60
least = 0.50
most = 0.75
gasket_present = 0.50
readings = [{at="left", value=0.92}, {at="right", value=0.96}, {at="front", value=0.9}, {at="rear", value=0.99}]
[[stock]]
name = "thin paper"
fitted = [0.15, 0.17, 0.18]
"""
r, rod = 17.5, 63.0


def travel(turn: float) -> float:
    return r * (1 - cos(radians(turn))) + rod - sqrt(rod**2 - (r * sin(radians(turn))) ** 2)


def angle(down: float) -> float:
    pin = r + rod - down
    return degrees(acos((pin**2 + r**2 - rod**2) / (2 * pin * r)))


def changed(*changes: tuple[str, str]) -> str:
    text = JOB
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


@pytest.fixture
def data(command):
    """What --json prints for a job text."""

    def run(text: str, *words: str, code: int = 0) -> dict:
        done = command("squish", "job.toml", "--json", *words, text=text)
        assert (done.returncode, done.stderr) == (code, "")
        return json.loads(done.stdout)

    return run


def test_every_documented_key_is_there(data):
    found = data(JOB)
    lengths = {"fitted_mm", "squish_mm"}
    sums = {
        "chamber_cc", "ratio_full_stroke", "ratio_trapped", "squish_area_share", "squish_velocity_m_s",
        "squish_velocity_peak_deg", "squish_velocity_mean_m_s", "blowdown_deg",
    }  # fmt: skip

    assert found.keys() >= {"squish", "needed_fitted_mm", "verdict", "answer_text", "choices", "before", "after"}
    assert found["squish"].keys() >= {"mean_mm", "least_mm", "most_mm", "bare_mm", "along_pin_mm", "across_pin_mm"}
    for choice in found["choices"]:
        assert choice.keys() >= {"layers", "fitted_mm", "squish_mm", "under_floor"}
        assert len(choice["fitted_mm"]) == len(choice["squish_mm"]) == 3
        assert all(layer.keys() >= {"stock", "count"} for layer in choice["layers"])
    for side in ("before", "after"):
        assert set(found[side]["ports"]) == {"exhaust", "transfer", "intake"}
        assert all(port.keys() >= {"opens_deg", "duration_deg", "travel_mm"} for port in found[side]["ports"].values())
        assert all(isinstance(found[side][key], float) for key in lengths | sums)


def test_the_answer_in_numbers(data):
    # Arithmetic: mean of left and right 0.94, 0.44 bare, 0.16 wanted.
    found = data(JOB)
    squish = found["squish"]

    assert (squish["mean_mm"], squish["least_mm"], squish["most_mm"]) == (0.94, 0.9, 0.99)
    assert (squish["bare_mm"], squish["along_pin_mm"], squish["across_pin_mm"]) == (0.44, 0.04, 0.09)
    assert found["needed_fitted_mm"] == 0.16
    assert found["choices"][0]["layers"] == [{"stock": "thin paper", "count": 1}]
    # Two readings as sure as a solder reading is, 0.02 / root 2, and a sheet of 0.15 to 0.18: 0.576 to 0.637 at 95 %.
    assert found["choices"][0]["squish_mm"] == pytest.approx([0.576, 0.61, 0.637], abs=5e-4)
    assert found["answer"]["squish_mm"] == found["choices"][0]["squish_mm"]
    assert found["verdict"] == "one sheet"
    assert (
        found["answer_text"]
        == "1 x thin paper gives a squish of 0.61 mm (0.024 in), 0.58 to 0.64 mm (0.023 to 0.025 in)"
    )
    assert (found["before"]["squish_mm"], found["after"]["squish_mm"]) == (0.94, 0.61)


@pytest.mark.parametrize(("asked", "fitted"), [("0.18 mm", 0.18), ("0.8 mm", 0.8), ("0.02 in", 0.508)])
def test_after_is_worked_out_for_just_the_gasket_that_is_asked_for(data, asked, fitted):
    found = data(JOB, "--gasket", asked)
    after, raised = found["after"], fitted - 0.5
    chamber = 6.0 + pi / 4 * 42**2 * raised / 1000
    top, second, floor = travel(101) - raised, travel(119) - raised, travel(72) - raised

    assert (after["fitted_mm"], after["squish_mm"]) == pytest.approx((fitted, 0.44 + fitted), abs=1e-4)
    assert after["chamber_cc"] == pytest.approx(chamber, abs=1e-4)
    assert after["ratio_full_stroke"] == pytest.approx(1 + pi / 4 * 42**2 * 35 / 1000 / chamber, abs=1e-3)
    assert after["ratio_trapped"] == pytest.approx(1 + pi / 4 * 42**2 * top / 1000 / chamber, abs=1e-3)
    assert after["ports"]["exhaust"]["opens_deg"] == pytest.approx(angle(top), abs=1e-3)
    assert after["ports"]["exhaust"]["travel_mm"] == pytest.approx(top, abs=1e-3)
    assert after["ports"]["transfer"]["duration_deg"] == pytest.approx(360 - 2 * angle(second), abs=1e-3)
    assert after["ports"]["intake"]["duration_deg"] == pytest.approx(2 * angle(floor), abs=1e-3)
    assert after["blowdown_deg"] == pytest.approx(angle(second) - angle(top), abs=1e-3)
    assert found["before"]["ports"]["exhaust"]["opens_deg"] == 101.0


def test_inches_give_the_same_answer(data):
    def inch(match: re.Match) -> str:
        return f"{match[1]}{float(match[2]) / 25.4:.12f}"

    lengths = r"((?:bore|stroke|rod|band|width|height|target|least|most|present|value) ?= ?)(\d+\.?\d*)"
    text = re.sub(lengths, inch, JOB.replace('"mm"', '"in"'))
    text = text.replace("[0.15, 0.17, 0.18]", '["0.15 mm", "0.17 mm", "0.18 mm"]')

    assert "bore = 1.65354" in text
    inches, metric = data(text), data(JOB)
    for found in (inches, metric):  # in words the unit of the job stands first
        found["squish"].pop("answer_text", None)
        found.pop("answer_text")
        for one in found["findings"]:
            one.pop("text"), one.pop("do")
        found["assumed"] = [(one["what"], one["key"]) for one in found["assumed"]]
    assert inches == metric


def test_a_port_by_its_angle_does_not_depend_on_the_deck(data):
    # Geometry: `deck` matters to depths from the deck alone.
    found = data(changed(("rod = 63.0", "rod = 63.0\ndeck = 0.3")))

    assert found["before"]["ports"] == data(JOB)["before"]["ports"]


def test_four_ways_to_say_one_opening_agree(data):
    down = travel(101)
    ways = f'opens = "101 deg", duration = "158.3 deg", travel = {down:.2f}, depth = {down + 0.5:.2f}'
    found = data(changed(('opens = "101 deg"', ways), ("rod = 63.0", 'rod = 63.0\ndeck = 0.5\nblowdown = "18 deg"')))

    assert found["before"]["ports"]["exhaust"]["opens_deg"] == pytest.approx(101, abs=0.1)


# -- refusals ------------------------------------------------------------------------------------------------------

EXHAUST = 'exhaust  = { opens = "101 deg"'
REFUSED = [
    ([("rod = 63.0", "rod = 17.0")], 6, "engine.rod", "shorter than the crank throw"),
    ([("101 deg", "181 deg")], 11, "engine.ports.exhaust.opens", "past bottom dead centre"),
    ([('opens = "101 deg"', "travel = 35.2")], 11, "engine.ports.exhaust", "outside the stroke of 35.00 mm"),
    ([('opens = "101 deg"', "depth = 35.2")], 11, "engine.ports.exhaust", "outside the stroke of 35.00 mm"),
    ([("119 deg", "99 deg")], 12, "engine.ports.transfer", "before the exhaust"),
    ([("intake   = {", 'boost = { opens = "98 deg" }\nintake = {')], 13, "engine.ports.boost", "before the exhaust"),
    ([("gasket_present = 0.50", "gasket_present = 0.95")], 18, "squish.gasket_present", "no thinner than the squish"),
    ([("least = 0.50", "least = 0.65")], 15, "squish.target", "under your own floor"),
    ([(EXHAUST, f'{EXHAUST}, duration = "155 deg"')], 11, "engine.ports.exhaust", "duration = 155 deg says"),
    ([(EXHAUST, f"{EXHAUST}, travel = 25.0")], 11, "engine.ports.exhaust", "travel = 25 mm says"),
    ([(EXHAUST, f"{EXHAUST}, depth = 25.0")], 11, "engine.ports.exhaust", "depth = 25 mm says"),
    ([("rod = 63.0", 'rod = 63.0\nblowdown = "21 deg"')], 7, "engine.blowdown", "give 18.0 deg"),
]


@pytest.mark.parametrize(("changes", "line", "key", "words"), REFUSED)
def test_what_cannot_be_is_refused_with_what_and_where_and_the_spot(command, changes, line, key, words):
    done = command("squish", "job.toml", text=changed(*changes))

    said, shown, caret = done.stderr.splitlines()
    assert (done.returncode, done.stdout, caret.strip()) == (2, "", "^")
    assert shown[4:] == changed(*changes).splitlines()[line - 1]
    assert re.match(rf"job\.toml:{line}:{caret.index('^') - 3}: {key}[a-z.]*: ", said), said
    assert words in done.stderr


@pytest.mark.parametrize(
    ("port", "opens", "travels", "asked"),
    [
        # 0.5 mm higher, and the exhaust would have to open above TDC: less would be trapped than the chamber holds.
        ("exhaust", "101 deg", 0.3, "1.0 mm"),
        # 0.5 mm lower, and the transfer lies below BDC: it never opens.
        ("transfer", "119 deg", 34.8, "0 mm"),
    ],
)
def test_a_gasket_that_takes_a_port_out_of_the_stroke_is_refused_by_the_port_s_name(
    command, port, opens, travels, asked
):
    text = changed((f'opens = "{opens}"', f"travel = {travels}"))
    done = command("squish", "job.toml", "--gasket", asked, text=text)

    assert (done.returncode, done.stdout) == (2, "")
    assert f"port '{port}' would open" in done.stderr


def test_a_gasket_under_the_floor_is_answered_as_a_danger(command):
    done = command("squish", "job.toml", "--gasket", "0.02 mm", text=JOB)

    assert done.returncode == 1
    assert re.search(r"^STOP.*under\s+your floor of 0.500 mm", done.stdout, re.M | re.S)


@pytest.mark.parametrize("asked", ["0.18", "0.18 mil", "thin"])
def test_a_gasket_without_a_proper_unit_is_refused(command, asked):
    done = command("squish", "job.toml", "--gasket", asked, text=JOB)

    assert done.returncode == 2
    assert "--gasket" in done.stderr


# -- nothing assumed in silence ------------------------------------------------------------------------------------


def test_a_rod_left_out_is_asked_for_and_its_effect_shown(command, data):
    # The exhaust is given by a height here, so its duration hangs on the rod: by the formula at the top, some degrees.
    text = changed(("rod = 63.0\n", ""), ('opens = "101 deg"', "travel = 23.0"))
    said = " ".join(command("squish", "job.toml", text=text).stdout.split())
    spans = {
        name: float(high) - float(low) for name, low, high in re.findall(r"(\w+) open for (\S+) to (\S+) deg", said)
    }

    assert "rod = ... in [engine]" in said
    assert list(spans) == ["exhaust", "transfer", "intake"]
    assert 1 < spans["exhaust"] < 10
    assert (data(text)["before"]["ports"], data(text)["after"]["blowdown_deg"]) == ({}, None)


@pytest.mark.parametrize(("stated", "warned"), [(8.08, True), (9.08, False), (6.36, False), (12.0, True)])
def test_a_ratio_without_the_chamber_on_top_is_warned_about(command, stated, warned):
    # Geometry: 48.49 cc swept over 6.0 are 8.08, and 9.08 with the chamber; 6.36 is trapped, from the exhaust at 101.
    text = changed(("rod = 63.0", f"rod = 63.0\nratio = {stated}"))
    said = " ".join(command("squish", "job.toml", text=text).stdout.split())

    assert (f"stated ratio of {stated:g}" in said) == warned
    assert ("write ratio = 9.08" in said) == (stated == 8.08)


def test_numbers_load_no_drawing_library(tmp_path):
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    code = (
        "import sys; from gasketcut.cli import main; main(['squish', 'job.toml', '--json'], standalone_mode=False);"
        "print(sorted({'shapely', 'ezdxf', 'reportlab'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True)

    assert json.loads(done.stdout)["before"]["fitted_mm"] == 0.5
    assert done.stderr.strip() == "[]"


# -- pictures ------------------------------------------------------------------------------------------------------


def arcs(picture: SVG) -> list[tuple[float, float]]:
    """First and last angle, clockwise from TDC, of each thick line of a timing diagram; after is drawn thick."""
    found = []
    for path in picture.elements(lambda one: isinstance(one, Path) and one.stroke_width > 1.0):
        ends = (path.first_point, path.current_point)
        found.append(tuple(degrees(atan2(end.x - 55.0, 118.0 - 55.0 - end.y)) % 360 for end in ends))
    return found


SIX = (
    ["boost", "rear", "side"],
    changed(
        (
            "intake ",
            'boost = { opens = "124 deg" }\nrear = { opens = "120 deg" }\nside = { opens = "122 deg" }\nintake ',
        )
    ),
)


@pytest.mark.parametrize(("more", "text"), [([], JOB), SIX], ids=["three ports", "six ports"])
def test_the_timing_diagram_shows_every_port_at_its_angle_and_on_the_sheet(data, tmp_path, more, text):
    ports = data(text, "--out", "pictures")["after"]["ports"]
    picture = SVG.parse(str(tmp_path / "pictures" / "port-timing.svg"), ppi=25.4)
    opens = {name: port["opens_deg"] for name, port in ports.items()}
    places = [(one.x, one.y) for one in picture.elements(lambda one: isinstance(one, Text))]

    assert list(opens) == ["exhaust", "transfer", *more, "intake"]
    assert arcs(picture) == [
        pytest.approx((360 - turn, turn) if name == "intake" else (turn, 360 - turn), abs=0.05)
        for name, turn in opens.items()
    ]
    assert all(0 < x < 170 and 0 < y < 118 for x, y in places)


def test_pictures_are_readable_and_the_same_twice(command, tmp_path):
    runs = [command("squish", "job.toml", "--out", folder, text=JOB) for folder in ("one", "two", "one")]
    names = sorted(path.name for path in (tmp_path / "one").iterdir())
    document = pypdfium2.PdfDocument(tmp_path / "one" / "squish.pdf")
    words = document[0].get_textpage().get_text_range()

    assert [run.returncode for run in runs] == [0, 0, 0]
    assert runs[0].stdout == runs[1].stdout
    assert names == ["port-timing.svg", "squish-choices.svg", "squish.pdf"]
    assert all((tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes() for name in names)
    assert all(len(list(SVG.parse(str(tmp_path / "one" / name)).elements())) > 20 for name in names[:2])
    assert len(document) == 1
    assert document[0].get_size() == pytest.approx((210 / 25.4 * 72, 297 / 25.4 * 72), abs=0.1)
    assert all(word in words for word in ("Pond pump, 49 cc", "1 x thin paper", "exhaust", "transfer", "intake"))
