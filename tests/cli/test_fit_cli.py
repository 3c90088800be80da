"""`gasketcut fit` as a user runs it: rules, keys, exit codes, pictures, refusals."""

import json

import pypdfium2
import pytest
from svgelements import SVG, Path, Text

from gasketcut import parse_job
from tests.making import fit

RULES = {
    "overhang", "worst overhang", "step", "passage", "land", "web", "mirror", "hole", "clamp", "set-back", "stock",
    "thickness", "unusual", "merge", "wall", "seal",
}  # fmt: skip
KEYS = {"rule", "weight", "part", "at", "found", "wanted", "unit", "text", "do"}

GOOD = """title = "Quay winch"
units = "mm"
[[stock]]
name = "paper"
thickness = 0.5
size = [200, 150]
[[part]]
name = "cover"
kind = "flat"
stock = "paper"
set_back = 0.5
outline = { rectangle = [90.0, 80.0], corner = 6.0 }
studs = { at = [[-35, -30], [35, -30], [35, 30], [-35, 30]], size = "M5" }
[[part.port]]
name = "vent"
at = [2.0, 3.0]
shape = { oval = [30.0, 20.0] }
"""


def changed(*changes):
    text = GOOD
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


CUT = "shape = { oval = [30.0, 20.0] }"
BROKEN = {
    "overhang": changed((CUT, CUT + "\ncut = { oval = [29.0, 19.0] }")),
    "worst overhang": changed(("set_back = 0.5", "set_back = 0.2")),
    "step": changed((CUT, f'{CUT}\nface = "a"\n[[part.port]]\nname = "vent"\nat = [2.0, 3.4]\n{CUT}\nface = "b"')),
    "passage": changed(("at = [2.0, 3.0]", "at = [40.0, 3.0]")),
    "land": changed(("[[-35, -30]", "[[-40.8, -30]")),
    "web": changed(("[[-35, -30]", "[[-17.5, -1]")),
    "mirror": changed(("at = [2.0, 3.0]", "at = [0.4, 0.0]")),
    "hole": changed(("[[-35, -30]", "[[-60, -30]")),
    "clamp": changed(('size = "M5"', 'size = "M5", torque_nm = 5.0')),
    "set-back": changed(("set_back = 0.5", "set_back = 2.5")),
    "stock": changed(("size = [200, 150]", "size = [200, 75]")),
}  # fmt: skip


@pytest.fixture
def data(command):
    """What --json prints for a job text."""

    def run(text, code=0):
        done = command("fit", "job.toml", "--json", text=text)
        assert (done.returncode, done.stderr) == (code, "")
        return json.loads(done.stdout)

    return run


def test_the_shipped_example_fits(command):
    done = command("fit", "demo")
    assert (done.returncode, done.stderr) == (0, "")
    assert "FITS: nothing hangs into a port, wherever the studs let it move." in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    found = json.loads(command("fit", "demo", "--json").stdout)
    assert {"base-gasket", "intake-gasket", "exhaust-gasket", "outlet-plate"} == {
        one["part"] for one in found["findings"]
    }
    assert all(one["weight"] == "note" for one in found["findings"])


def test_every_finding_has_the_documented_keys(data):
    found = data(GOOD)
    assert found["title"] == "Quay winch"
    assert {one["rule"] for one in found["findings"]} == {
        "set-back",
        "worst overhang",
        "land",
        "seal",
        "mirror",
        "clamp",
    }
    for one in found["findings"]:
        assert set(one) == KEYS
        assert one["rule"] in RULES
        assert one["weight"] in ("stop", "warn", "note")
        assert one["part"] == "cover"
        assert one["text"]
        assert one["do"]


@pytest.mark.parametrize("rule", BROKEN)
def test_each_rule_speaks_up(rule):
    before = {(one.rule, one.weight, one.found) for one in fit(parse_job(GOOD))[1]}
    fresh = [one for one in fit(parse_job(BROKEN[rule]))[1] if (one.rule, one.weight, one.found) not in before]
    assert {one.rule for one in fresh} <= RULES
    heard = [one for one in fresh if one.rule == rule]
    assert heard
    assert rule == "clamp" or any(one.weight != "note" for one in heard)


@pytest.mark.parametrize("rule", ["overhang", "passage", "hole", "stock"])
def test_what_does_not_fit_ends_with_one_and_says_so(command, rule):
    done = command("fit", "job.toml", text=BROKEN[rule])
    assert done.returncode == 1
    assert "DOES NOT FIT: cover." in done.stdout
    assert done.stdout.count("STOP") >= 1
    assert "Do: " in done.stdout


def test_what_can_shift_into_a_port_fits_only_as_drawn_and_ends_with_one(command):
    done = command("fit", "job.toml", text=BROKEN["worst overhang"])
    assert (done.returncode, done.stderr) == (1, "")
    assert "FITS AS DRAWN: can shift into a port: cover." in done.stdout


def test_a_warning_that_speaks_of_no_port_ends_with_nought(command):
    done = command("fit", "job.toml", text=BROKEN["mirror"])
    assert (done.returncode, done.stderr) == (0, "")
    assert "warn  cover: turned by 180 deg" in done.stdout
    assert "FITS: nothing hangs into a port, wherever the studs let it move." in done.stdout


def test_stops_come_first(data):
    weights = [one["weight"] for one in data(BROKEN["overhang"], code=1)["findings"]]
    assert weights == sorted(weights, key=["stop", "warn", "note"].index)


# --- pictures ---


def test_the_pictures_are_drawings_at_true_size(command, tmp_path):
    done = command("fit", "job.toml", "--out", "pictures", text=BROKEN["worst overhang"])
    assert (done.returncode, done.stderr) == (1, "")  # it fits only as drawn
    folder = tmp_path / "pictures"
    assert sorted(file.name for file in folder.iterdir()) == ["cover-fit.pdf", "cover-fit.svg"]
    drawing = SVG.parse(folder / "cover-fit.svg", ppi=25.4)
    shapes = [one for one in drawing.elements() if isinstance(one, Path)]
    widths = [one.bbox()[2] - one.bbox()[0] for one in shapes if one.bbox()]
    assert any(abs(width - 90.0) < 0.02 for width in widths)  # the part itself
    words = " ".join(one.text for one in drawing.elements() if isinstance(one, Text))
    assert "into port 'vent'" in words
    document = pypdfium2.PdfDocument(folder / "cover-fit.pdf")
    page = document[0]
    printed = page.get_textpage().get_text_range()
    assert len(document) == 2  # the part, and what was found enlarged
    assert "into port 'vent'" in printed
    assert page.get_width() / 72 * 25.4 == pytest.approx(float(drawing.width) + 20.0, abs=0.1)
    document.close()


def test_what_was_found_stands_on_the_last_pages_of_the_template(command, tmp_path):
    for name, text, pages in (("good", GOOD, 2), ("tight", BROKEN["worst overhang"], 4)):
        done = command("make", "job.toml", "--out", str(tmp_path / name), text=text)
        assert done.returncode == 0
        pdf = pypdfium2.PdfDocument(tmp_path / name / "cover.pdf")
        assert len(pdf) == pages
        words = "".join(pdf[page].get_textpage().get_text_range() for page in range(2, pages))
        assert words.count("not to cut from") == pages - 2  # after the template and the plan
        assert ("shifted as far as the studs allow" in words) is (pages == 4)
        assert (" : 1; grey: the sheet" in words) is (pages == 4)
        pdf.close()


def test_the_same_job_gives_the_same_bytes(command, tmp_path):
    for out in ("first", "second"):
        assert command("fit", "job.toml", "--out", out, text=BROKEN["overhang"]).returncode == 1
    for file in sorted((tmp_path / "first").iterdir()):
        assert file.read_bytes() == (tmp_path / "second" / file.name).read_bytes(), file.name
    assert len(list((tmp_path / "second").iterdir())) == 2


def test_pictures_are_not_written_over_unless_asked(command, tmp_path):
    assert command("fit", "job.toml", "--out", "pictures", text=GOOD).returncode == 0
    before = (tmp_path / "pictures" / "cover-fit.svg").read_bytes()
    done = command("fit", "job.toml", "--out", "pictures", text=BROKEN["overhang"])
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert (tmp_path / "pictures" / "cover-fit.svg").read_bytes() == before
    done = command("fit", "job.toml", "--out", "pictures", "--replace", text=BROKEN["overhang"])
    assert done.returncode == 1
    assert (tmp_path / "pictures" / "cover-fit.svg").read_bytes() != before


def test_nothing_to_cut_is_written(command, tmp_path):
    command("fit", "job.toml", text=GOOD)
    assert [file.name for file in tmp_path.iterdir()] == ["job.toml"]


# --- what the user can put right ---

MEASURE = """[measure]
left = "C"
[[measure.distance]]
from = "A"
to = "B"
reading = 50.0
[[measure.distance]]
from = "A"
to = "C"
reading = 60.0
[[measure.distance]]
from = "B"
to = "C"
reading = 40.0
"""
AT = "at = [[-35, -30], [35, -30], [35, 30], [-35, 30]]"


def measured(names):
    return changed((AT, f"from = {names}")) + MEASURE


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (changed(('size = "M5"', "diameter = 4.8, stud_diameter = 5.0")), ["stud", "5 mm", "4.8 mm"]),
        (changed(('size = "M5"', 'size = "M5", diameter = 4.8')), ["stud", "5 mm", "4.8 mm"]),
        (measured('["A", "B", "D"]'), ["'D'"]),
        (changed((AT, 'from = ["A", "B"]')), ["measure"]),
        (changed(('kind = "flat"', 'kind = "flat"\ngrowth_percent = 9')), ["growth_percent"]),
        (changed(("set_back = 0.5", "set_bakc = 0.5")), ["set_bakc", "did you mean 'set_back'"]),
        ('title = "x"\nunits = "mm"\n[[part]]\nname = "stub"\nkind = "joint"\n', ["two faces"]),
    ],
)
def test_bad_input_is_named_and_ends_with_two(command, text, words):
    done = command("fit", "job.toml", text=text)
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert "job.toml" in done.stderr
    for word in words:
        assert word in done.stderr


def test_a_missing_file_ends_with_two(command):
    done = command("fit", "nowhere.toml")
    assert done.returncode == 2
    assert "nowhere.toml" in done.stderr


def test_measured_holes_take_their_place_and_their_doubt(data):
    # By the law of cosines C is at (45, 39.7), by the sheet's corner; B at (50, 0) is off the sheet too.
    found = data(measured('["A", "B", "C"]'), code=1)
    off = [one for one in found["findings"] if one["rule"] == "hole" and "sheet" in one["text"]]
    places = [one["at"] for one in off]
    x = (50.0**2 + 60.0**2 - 40.0**2) / 2 / 50.0
    wanted = [(50.0, 0.0), (x, (60.0**2 - x**2) ** 0.5)]
    assert sorted(places) == [pytest.approx(place, abs=0.01) for place in sorted(wanted)]
    parts, _ = fit(parse_job(measured('["A", "B", "C"]')))
    assert all(stud.play > 0.25 + 0.02 for stud in parts[0].studs)  # an M5 in its medium hole, and two standard errors


def test_a_window_outside_the_part_is_a_stop(data):
    found = data(changed(("at = [2.0, 3.0]", "at = [120.0, 3.0]")), code=1)
    stops = [one for one in found["findings"] if one["weight"] == "stop"]
    assert any(one["rule"] == "passage" and "'vent'" in one["text"] for one in stops)
