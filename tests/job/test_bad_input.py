"""Bad input: a clear line each, exit code 2, and nothing written."""

import errno
from pathlib import Path

import pytest

from gasketcut import JobError, Options, parse_job, read_job
from gasketcut.errors import LengthError, OutputError
from gasketcut.length import parse_angle, parse_length, parse_measured
from tests.making import make

RING = 'name = "ring"\nkind = "flat"\noutline = { round = 60.0 }\nopening = { round = 40.0 }\n'
GOOD = 'title = "t"\nunits = "mm"\n[[part]]\n' + RING


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.020 in", 0.508),
        ("20 thou", 0.508),
        ("1 1/8 in", 28.575),
        ('3/16"', 4.7625),
        ('.5"', 12.7),
        ("0.5 mm", 0.5),
        ("1.2 cm", 12.0),
        ("-3 mm", -3.0),
        ("0.02 IN", 0.508),
    ],
)
def test_lengths_are_exact(text, mm):
    assert parse_length(text) == mm


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("20 mil", "thou"),
        ("0,5 mm", '"0.5 mm"'),
        ("2 * 3 mm", "is not"),
        ("1 1.5 in", "is not"),
        ("3/0 in", "over zero"),
        ("4", '"4 mm"'),
        ("3 px", "unknown unit"),
        ("5 m", "unknown unit"),
        ("", "is not"),
        ("٣ mm", "is not"),
    ],
)
def test_other_texts_are_refused_with_what_to_write(text, says):
    with pytest.raises(LengthError, match="(?s)" + says.replace("*", r"\*")):
        parse_length(text)


def test_a_measured_length_says_how_sure_it_is():
    assert (parse_measured("0.95 mm +- 0.02").value, parse_measured("0.95 mm +- 0.02").sigma) == (0.95, 0.02)
    assert parse_measured("0.04 in ± 0.5 thou").sigma == pytest.approx(0.0127)
    assert parse_angle("22.5 deg") == 22.5


FAULTS = [
    (GOOD.replace('units = "mm"\n', ""), 5, '"60.0 mm"'),
    (GOOD.replace("60.0", '"0,5 mm"'), 6, '"0.5 mm"'),
    (GOOD.replace("60.0", "0,5"), 6, "a decimal point, not a comma: round = 0.5"),
    (GOOD.replace("60.0", '"20 mil"'), 6, "thou"),
    (GOOD + "hoels = 3\n", 8, "did you mean 'holes'"),
    (GOOD.replace('"flat"', '"flatt"'), 5, "did you mean 'flat'"),
    (GOOD.replace("60.0", "-60.0"), 6, "below zero"),
    (GOOD.replace("60.0", "0"), 6, "0 is no size"),
    (GOOD.replace("60.0", "nan"), 6, "not a length"),
    (GOOD.replace("60.0", "inf"), 6, "not a length"),
    (GOOD.replace("60.0", "2001.0"), 6, "over 2 m"),
    (GOOD.replace("60.0", "1" + 400 * "0"), 6, "over 2 m"),
    (GOOD + "[[part]]\n" + RING.replace("ring", "Ring"), 9, "also the name of part 1"),
    (GOOD.replace('"ring"', '"../ring"'), 4, "file name"),
    (GOOD.replace('"ring"', '"con"'), 4, "file name"),
    (GOOD + 'size = "M5.5"\n', 8, "unknown key"),
    (GOOD + 'holes = { circle = 50, count = 4, size = "M5.5" }\n', 8, "not in the table"),
    (GOOD + "[squish]\ntarget = 0.3\nleast = 0.4\nmeasured = 0.9\n", 9, "under your own floor"),
    (GOOD + "[engine]\nbore = 44\nstroke = 34\nrod = 16\n", 11, "shorter than the crank throw"),
    (GOOD + '[engine]\nbore = 44\n[engine.ports]\nexhaust = { opens = "190 deg" }\n', 11, "past bottom dead centre"),
]


@pytest.mark.parametrize(("text", "line", "says"), FAULTS)
def test_a_fault_has_its_line_and_what_to_write(text, line, says):
    with pytest.raises(JobError) as caught:
        parse_job(text)

    assert any(says in fault.message for fault in caught.value.faults), str(caught.value)[:300]
    assert line in {fault.line for fault in caught.value.faults} or line - 1 in {f.line for f in caught.value.faults}


def test_what_is_missing_has_its_line_and_what_to_write():
    (lack,) = parse_job(GOOD + '[[stock]]\nname = "paper"\n').incomplete

    assert (lack.line, lack.wants, lack.is_lack) == (8, "stock.1.thickness", True)
    assert "'thickness' is missing; write" in lack.message


def test_every_fault_is_reported_at_once():
    text = GOOD.replace("60.0", '"20 mil"').replace("40.0", "-1").replace('"flat"', '"flatt"')
    with pytest.raises(JobError) as caught:
        parse_job(text)

    assert len(caught.value.faults) == 3


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"#" * 1_000_001, "page or two"),
        (b"a = " + b"[" * 5000, "brackets deep"),
        (b'title = "x"\n', "has no [[part]]"),
    ],
)
def test_a_file_that_is_no_job(command, tmp_path, data, says):
    (tmp_path / "bad.toml").write_bytes(data)
    done = command("make", "bad.toml", "--out", "out")

    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("target", ["missing.toml", "."])
def test_no_file_or_a_folder(command, target):
    done = command("make", target, "--out", "out")

    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)


@pytest.mark.parametrize(
    ("more", "code", "says"),
    [
        ("holes = { at = [[25, 0], [27, 0]], diameter = 5 }\n", 1, "run into each other"),
        ("holes = { at = [[80, 0]], diameter = 5 }\n", 1, "off the sheet"),
    ],
)
def test_holes_that_cannot_be_are_a_stop(command, tmp_path, more, code, says):
    done = command("make", "job.toml", "--out", "out", text=GOOD + more)

    assert done.returncode == code
    assert says in " ".join(done.stdout.split())
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "text",
    [
        GOOD.replace("40.0", "80.0"),
        GOOD.replace("{ round = 60.0 }", "{ points = [[0, 0], [10, 10], [10, 0], [0, 10]] }"),
        GOOD.replace("{ round = 60.0 }", '{ file = "nowhere.dxf" }'),
    ],
)
def test_parts_that_cannot_be_drawn(command, tmp_path, text):
    done = command("make", "job.toml", "--out", "out", text=text)

    assert done.returncode == 2
    assert "job.toml:3: part 'ring'" in done.stderr
    assert not (tmp_path / "out").exists()


def test_an_output_folder_that_cannot_be(command, tmp_path):
    (tmp_path / "file").write_text("x")
    done = command("make", "job.toml", "--out", "file/out", text=GOOD)

    assert done.returncode == 2
    assert "cannot make this folder" in done.stderr


def test_a_disk_that_fills_up_leaves_nothing_behind(tmp_path, monkeypatch):
    real, opened = Path.open, []

    def filling(self, *words, **more):
        nonlocal opened
        opened += [self] if "w" in "".join(map(str, words)) else []
        if len(opened) == 3:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(self, *words, **more)

    job = parse_job(GOOD)
    monkeypatch.setattr(Path, "open", filling)
    with pytest.raises(OutputError, match="No space left"):
        make(job, tmp_path / "out")

    assert not (tmp_path / "out").exists()


def test_other_files_are_not_replaced_unless_asked(command, tmp_path):
    assert command("make", "job.toml", "--out", "out", text=GOOD).returncode == 0
    assert command("make", "job.toml", "--out", "out").returncode == 0  # the same bytes
    before = (tmp_path / "out" / "ring.dxf").read_bytes()
    changed = command("make", "job.toml", "--out", "out", text=GOOD.replace("40.0", "41.0"))

    assert changed.returncode == 2
    assert "--replace" in changed.stderr
    assert (tmp_path / "out" / "ring.dxf").read_bytes() == before
    assert sorted(path.suffix for path in (tmp_path / "out").iterdir()) == [".dxf", ".json", ".pdf", ".svg"]
    assert command("make", "job.toml", "--out", "out", "--replace", "--quiet").stdout == ""
    assert (tmp_path / "out" / "ring.dxf").read_bytes() != before


def test_anyway_says_so_in_the_name(tmp_path):
    job = parse_job(GOOD + "holes = { at = [[29, 0]], diameter = 5 }\n")
    assert make(job, tmp_path / "no").made[0].files == ()
    report = make(job, tmp_path / "out", Options(anyway=True))

    assert all("DOES-NOT-FIT" in name for name in report.made[0].files)
    assert (tmp_path / "out" / "ring-DOES-NOT-FIT.dxf").exists()


def test_what_a_person_sees_is_plain_and_narrow(command):
    done = command("make", "demo", "--out", "out")

    assert done.returncode == 0
    assert "\x1b" not in done.stdout
    assert max(map(len, done.stdout.split("\n"))) <= 80


def test_the_demo_is_complete():
    assert {part.kind for part in read_job("demo").parts} == {"base", "intake", "exhaust", "outlet"}


@pytest.mark.parametrize("header", ["[[partpart.port]]", "[partpart.port]"])
def test_a_table_that_only_a_header_implies_has_its_line(header):
    with pytest.raises(JobError) as caught:
        parse_job(f'{GOOD}\n{header}\nname = "intake"\n')
    (fault,) = [fault for fault in caught.value.faults if fault.key == "partpart"]
    assert fault.line == GOOD.count("\n") + 2
