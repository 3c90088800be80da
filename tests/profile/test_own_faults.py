"""A slip in a profile of one's own is said with its line, its key and what to write instead."""

import pytest

from gasketcut.errors import ProfileError
from gasketcut.profile.own import OwnFile
from gasketcut.profile.profiles import Profiles, read_profiles

FAULTS = {
    "sheets": [
        ("[material.felt]\nsays = 'felt'\ncompresibility = [1, 2]", "3: material.felt.compresibility: unknown key"),
        ("[material.felt]\ncompressibility = [30, 10]\nstress = 5", "2: material.felt.compressibility: write the l"),
        ("[material.felt]\ncompressibility = [10, 30]", "1: material.felt: 'stress' is missing"),
        ("[material.felt]\ncompressibility = 10\nstress = 5", "2: material.felt.compressibility: 10 is not known"),
        ("[material.felt]\ncompressibility = [10, 130]\nstress = 5", "from 0 to 99 in brackets"),
        ("[material.felt]\nrecovery = 100", "2: material.felt.recovery: 100 is out of range"),
        ("[material.felt]\nstiffness = 'sotf'", "2: material.felt.stiffness: 'sotf' is not known; did you mean 'soft'"),
        ("[material]\nfelt = 'soft'", "2: material.felt: write a table"),
        ("[materials.felt]\nsays = 'felt'", "1: materials: unknown key; did you mean 'material'"),
        ("[land]\nwarn = -1", "2: land.warn: -1 is out of range; write more than 0"),
        ("[land]\nwarn = 0.5", "1: land: stop = 1 is over warn = 0.5"),
        ("[span]\nsoft = true", "2: span.soft: True is not a plain number"),
        ("land = 5", "1: land: write a table"),
        ("[land]\nwarn = 2,5", "2: a decimal point, not a comma: warn = 2.5"),
        ("[" * 50, "that is no profile"),
    ],
    "fasteners": [
        ("[size.M9]\ndiameter = 9\nfine = 9.5\nmedium = 10", "1: size.M9: 'coarse' is missing"),
        ("[size]\nM9 = { diameter = 9, fine = 9.5, medium = 9.2, coarse = 10 }", "2: size.M9: the holes do not rise"),
        ("[size]\nM9 = { diameter = 0, fine = 9.5, medium = 9.2, coarse = 10 }", "size.M9.diameter: 0 is out of range"),
        ("[size.M9]\nfit = 9\ndiameter = 9\nfine = 9.5\nmedium = 9.8\ncoarse = 10", "2: size.M9.fit: unknown key"),
    ],
    "papers": [
        ("[paper.roll]\nwidth = 610", "1: paper.roll: 'height' is missing"),
        ("[paper.roll]\nwidth = 610\nheight = 400", "1: paper.roll: lies on its side"),
        ("[paper.roll]\nwidth = 61\nheight = 400", "2: paper.roll.width: 61 mm is out of range; write 90 to 5000 mm"),
        ("[paper.roll]\nwidth = 'wide'\nheight = 400", "2: paper.roll.width: 'wide'"),
    ],
    "punches": [
        ("[punch]\nmetric = 5", r"2: punch.metric: write a list of diameters, e.g. metric = \[3.0, 5.5\]"),
        ("[punch]\nmetric = [5, -1]", "2: punch.metric.2: -1 is"),
        ("[punch]\ninch = ['1/4']", "2: punch.inch.1: '1/4'"),
        ("[punch]\nclear = 'much'", "2: punch.clear: 'much' is not a plain number"),
        ("[punches]\nclear = 0.1", "1: punches: unknown key; did you mean 'punch'"),
    ],
    "joints": [
        ("[passages]\nreed = 'boost'", "2: passages.reed: write a list of names"),
        ("[passage]\nreed = ['boost']", "1: passage: unknown key; did you mean 'passages'"),
    ],
    "ring": [
        ("rules = []", "1: rules: holds no rule"),
        ("rules = [{ says = 'x', least = 0.3 }]", "1: rules.1: 'most' is missing"),
        ("[[rules]]\nsays = 'x'\nleast = 0.3\nmost = 0.2", "4: rules.1.most: 0.2 is below least = 0.3"),
        ("[[rules]]\nsays = 'x'\nleast = 0.3\nmost = 0.4\nof_bore = true", "3: rules.1.least: 0.3 is out of range"),
        ("[[rules]]\nsays = 'x'\nleast = 0.3\nmost = 0.4\nof_bor = true", "5: rules.1.of_bor: unknown key"),
        ("worn = nan", "1: worn: nan is out of range"),
    ],
    "outlet": [
        ("marks = 5", "1: marks: write"),
        ("marks = [{ percent = 80 }]", "1: marks.1: 'says' is missing"),
        ("[screen]\nopening = 0", "2: screen.opening: 0 is out of range"),
    ],
    "squish": [
        ("advice = [{ engines = 'x', low = 0.9, high = 0.5 }]", "1: advice.1.high: 0.5 is below low = 0.9"),
        ("advice = [{ low = 0.4, high = 0.5 }]", "1: advice.1: 'engines' is missing"),
        ("[running]\nplay = 0.05", "2: running.play: unknown key; did you mean 'play_mm'"),
        ("[running]\nrod_modulus_gpa = 0", "2: running.rod_modulus_gpa: 0 is out of range"),
    ],
}  # fmt: skip


@pytest.mark.parametrize(("name", "text", "words"), [(name, *one) for name, rows in FAULTS.items() for one in rows])
def test_a_slip_is_said_with_its_line_and_what_to_write(name, text, words):
    line, said = words.split(": ", 1) if words[0].isdigit() else ("[0-9]+", f".*{words}")
    with pytest.raises(ProfileError, match=f"^{name}.toml:{line}:[0-9]+: {said}") as caught:
        getattr(Profiles((OwnFile(name, f"{name}.toml", text),)), name)
    assert str(caught.value).split("\n")[2].strip(" ") == "^"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\xff\xfe\x00", "sheets.toml: is not UTF-8 text"),
        (b"#" * 1_000_001, "holds 1.0 MB; a profile is a page or two"),
    ],
)
def test_a_file_that_is_no_text(tmp_path, data, words):
    (tmp_path / "sheets.toml").write_bytes(data)
    with pytest.raises(ProfileError, match=words):
        read_profiles(tmp_path)


def test_a_job_that_has_no_use_for_a_faulty_profile_says_so_all_the_same(tmp_path):
    (tmp_path / "ring.toml").write_text("worn = -1\n", encoding="utf-8")
    with pytest.raises(ProfileError, match=r"ring.toml:1:8: worn: -1 is out of range; write more than 0, up to 10"):
        read_profiles(tmp_path)
