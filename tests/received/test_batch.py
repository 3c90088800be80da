"""Folders and several files: each by itself, what is broken said, the rest gone on with; a table, JSON lines, CSV."""

import ast
import csv
import io
import json
import multiprocessing
import os
import signal
import subprocess
import sys
import time
from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner

from gasketcut.cli import main
from gasketcut.errors import GasketError
from gasketcut.output.text.received.plain import GROUPS, LOOKS, QUESTIONS, REPAIRS
from gasketcut.output.text.received.questions import questions, unit_question
from gasketcut.received import batch
from gasketcut.received.batch import Looked, drawings_in, look_through
from gasketcut.received.faults.flaw import ASKED, DROPPED, MENDED
from gasketcut.received.groups.group import GROUPS as KINDS_OF_GROUPS
from gasketcut.received.inspection import inspect
from gasketcut.received.summary import summary_of

RECEIVED = Path(__file__).parent
FAULTS, REAL = RECEIVED / "faults", RECEIVED / "real"
READY, MEND, OPEN, NO_UNIT, EMPTY = (
    (FAULTS / f"{name}.dxf").read_bytes()
    for name in ("bulge_gt1_and_cw", "closed_flag_and_dup_last", "degenerate_polylines", "units_none_r12", "empty")
)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Files of every verdict, one that is no DXF, some that are not meant."""
    monkeypatch.chdir(tmp_path)
    given = tmp_path / "in"
    (given / "deep" / ".kept").mkdir(parents=True)
    for name, data in {
        "b.dxf": READY, "C.DXF": MEND, "a.Dxf": OPEN, "d.dxf": NO_UNIT, "broken.dxf": EMPTY, ".hidden.dxf": READY,
        "e.svg": READY, "deep/f.dxf": READY, "deep/.kept/g.dxf": READY,
    }.items():  # fmt: skip
        (given / name).write_bytes(data)
    (given / "folder.dxf").mkdir()
    return given


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def kinds_of_looks():
    """Every text that stands first in a `Look(...)` of the room, or is called `kind` before one."""
    found = set()
    for file in Path(batch.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Look":
                found |= {one.value for one in ast.walk(node.args[0]) if isinstance(one, ast.Constant)}
            if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "kind" and "looks" in file.parts:
                found |= {one.value for one in ast.walk(node.value) if isinstance(one, ast.Constant)}
    return {kind for kind in found if isinstance(kind, str)}


def test_every_kind_of_fault_place_and_group_has_plain_words():
    assert set(REPAIRS) == set(MENDED)
    assert set(QUESTIONS) == {*ASKED, *DROPPED, "not-dxf"}
    assert set(GROUPS) == set(KINDS_OF_GROUPS)
    assert set(LOOKS) >= kinds_of_looks() != set()
    for question in (*QUESTIONS.values(), *LOOKS.values(), *GROUPS.values()):
        assert question.ask.endswith("?")
        assert question.how.endswith(".")
        assert question.what[0].islower()


def test_a_folder_is_its_dxf_files_that_are_not_hidden(folder):
    assert [file.name for file in drawings_in([folder])] == ["a.Dxf", "b.dxf", "broken.dxf", "C.DXF", "d.dxf"]
    assert [file.name for file in drawings_in([folder], deep=True)][-1] == "f.dxf"
    twice = [Path("in/b.dxf"), folder, folder / "b.dxf"]
    assert len(drawings_in(twice)) == 5
    (folder / "empty").mkdir()
    with pytest.raises(GasketError, match="holds no DXF file; --recursive"):
        drawings_in([folder / "empty"])


@pytest.mark.skipif(sys.platform == "win32", reason="links and pipes of that kind are not there")
def test_what_cannot_be_read_is_said_and_a_pipe_is_left_alone(folder, monkeypatch):
    (folder / "gone.dxf").symlink_to(folder / "nowhere")
    os.mkfifo(folder / "pipe.dxf")
    scan = os.scandir

    def refused(path):
        if str(path).endswith("deep"):
            raise PermissionError(13, "Permission denied", str(path))
        return scan(path)

    monkeypatch.setattr(os, "scandir", refused)
    done = run("inspect", "in", "--recursive")

    assert done.exit_code == 1
    assert "pipe" not in done.stdout
    rows = {row.split()[0]: row for row in done.stdout.splitlines() if row.startswith("in/")}
    assert "NOT READ" in rows["in/gone.dxf"]
    assert "cannot be read" in rows["in/deep"]


def test_a_table_says_of_each_what_it_is_and_what_to_ask(folder):
    done = run("inspect", "in")

    assert done.exit_code == 1
    rows = {row.split()[0]: row for row in done.stdout.splitlines() if row.startswith("in/")}
    assert {name: row.split()[1] for name, row in rows.items()} == {
        "in/a.Dxf": "ASK", "in/b.dxf": "READY", "in/broken.dxf": "NOT", "in/C.DXF": "MEND", "in/d.dxf": "ASK",
    }  # fmt: skip
    assert "mm, declared" in rows["in/b.dxf"]
    assert "mm, not declared" in rows["in/d.dxf"]
    assert "open x 2" in rows["in/a.Dxf"]
    assert "is empty" in rows["in/broken.dxf"]
    assert "40.0 x 20.0 mm (1.57 x 0.79 in)" in done.stdout
    assert "1016.0 x 508.0 mm" in done.stdout
    assert done.stdout.splitlines()[-1] == "5 files: 1 READY, 1 MEND, 2 ASK, 1 NOT READ"
    assert done.stderr == ""  # the line of progress is for a terminal


def test_json_is_a_line_a_file_with_the_fields_that_were_agreed(folder):
    done = run("inspect", "in", "--json")
    rows = [json.loads(line) for line in done.stdout.splitlines()]

    assert done.exit_code == 1
    assert [row["verdict"] for row in rows] == ["ask", "ready", "ask", "mend", "ask"]
    for row in rows:
        assert set(row) >= {"file", "verdict", "units", "size_mm", "parts", "holes", "faults", "ask"}
    a, b, broken, _, d = rows
    assert a["faults"]["open"] == 2
    assert (b["parts"], b["ask"], b["faults"]) == (2, [], {})
    assert (broken["size_mm"], broken["faults"]) == (None, {"not-dxf": 1})
    assert d["units"] == {"declared": None, "measurement": None, "likely": "mm"}
    assert "inches" in d["ask"][0]


def test_a_single_file_stays_one_object(folder):
    data = json.loads(run("inspect", "in/b.dxf", "--json").stdout)

    assert isinstance(data["faults"], list)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["in/b.dxf", "in/b.dxf"], 0),
        (["in/b.dxf", "in/deep/f.dxf"], 0),
        (["in/b.dxf", "in/broken.dxf"], 1),
        (["in/b.dxf", "none.dxf"], 1),
        (["in/broken.dxf", "none.dxf"], 2),
        (["none.dxf"], 2),
        (["in/deep/.kept/.."], 1 - 1),
        (["in/folder.dxf"], 2),
        (["in/b.dxf", "in/folder.dxf"], 2),
    ],
)
def test_exit_codes(folder, words, code):
    assert run("inspect", *words).exit_code == code


def test_csv_is_for_a_spreadsheet_and_is_not_written_over(folder):
    (folder / "=cmd.dxf").write_bytes(READY)
    os.chdir(folder)
    run("inspect", "=cmd.dxf", "d.dxf", "broken.dxf", "--csv", "found.csv")
    rows = list(csv.DictReader(io.StringIO(Path("found.csv").read_text(encoding="utf-8"), newline="")))

    assert [row["file"] for row in rows] == ["'=cmd.dxf", "d.dxf", "broken.dxf"]
    assert (rows[0]["verdict"], float(rows[0]["width_mm"]), rows[0]["parts"]) == ("ready", 62.5, "2")
    assert rows[1]["ask"].startswith("Which unit")
    assert (rows[2]["verdict"], rows[2]["found"]) == ("not read", "is empty")
    assert run("inspect", "d.dxf", "--csv", "found.csv").exit_code == 2
    assert run("inspect", "d.dxf", "--csv", "found.csv", "--replace").exit_code == 1


def test_the_unit_is_asked_with_both_sizes():
    found = summary_of(inspect(FAULTS / "units_inch_label_mm_numbers.dxf"))

    assert unit_question(found) == (
        "Which unit are the numbers in? In mm the drawing measures 40.0 x 20.0 mm (1.57 x 0.79 in), in inches "
        "1016.0 x 508.0 mm (40.00 x 20.00 in)."
    )
    assert questions(Looked(Path("x"), None, "not-read", "cannot be read")) == ()


def _look_or_die(file):
    if "die" in file.name:
        os._exit(9)
    if "fault" in file.name:
        raise ZeroDivisionError("a fault of ours")
    return inspect(file)


def _forever(file):
    Path("began").touch()
    time.sleep(600)


@pytest.fixture
def shared(monkeypatch):
    """However little there is to do, and however few processors there are."""
    monkeypatch.setattr(batch, "_WORTH_S", 0.0)
    monkeypatch.setattr(batch, "_processors", lambda: 2)


def test_processes_find_what_one_finds_in_the_same_order(folder, shared):
    files = drawings_in([FAULTS, REAL])
    done: list[int] = []
    look = partial(inspect, units="mm")
    together = list(look_through(files, look, done.append))

    assert together == [batch._looked(look, file) for file in files]
    assert done == list(range(1, len(files) + 1))


def test_a_process_that_dies_costs_its_own_file_alone(folder, shared):
    for name in ("die.dxf", "fault.dxf"):
        (folder / name).write_bytes(READY)
    rows = {row.file.name: row for row in look_through(drawings_in([folder]), _look_or_die)}

    assert [name for name, row in rows.items() if row.kind == "not-read"] == ["die.dxf", "fault.dxf"]
    assert "memory" in rows["die.dxf"].why
    assert "fault of ours" in rows["fault.dxf"].why
    assert rows["b.dxf"].verdict == "ready"


def test_who_wants_no_more_waits_for_nobody(folder, shared):
    before = multiprocessing.active_children()
    rows = look_through([folder / "b.dxf", folder / "d.dxf"], _wait_or_look)
    start = time.monotonic()
    assert next(rows).verdict == "ready"
    rows.close()

    assert time.monotonic() - start < 60
    assert multiprocessing.active_children() == before


def _wait_or_look(file):
    if file.name == "d.dxf":
        time.sleep(600)
    return inspect(file)


def test_ctrl_c_ends_it_without_a_trace(folder):
    """In a process group of its own, as from a terminal: the processes that share the work get the signal too."""
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from gasketcut.received import batch\n"
        "batch._WORTH_S, batch._processors = 0.0, lambda: 2\n"
        "import gasketcut.received.inspection as of\n"
        "from tests.received.test_batch import _forever\n"
        "from gasketcut.cli import main\n"
        "import gasketcut.cli.inspect as command\n"
        "command.partial = lambda *_, **__: _forever\n"
        "main(['inspect', 'in'], prog_name='gasketcut')\n"
    )
    script = folder.parent / "run.py"
    script.write_text(
        "if __name__ == '__main__':\n" + "".join(f"    {line}\n" for line in code.splitlines()), encoding="utf-8"
    )
    roots = os.pathsep.join((str(RECEIVED.parent.parent), os.environ.get("PYTHONPATH", "")))
    with subprocess.Popen(
        [sys.executable, str(script)], cwd=folder.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        start_new_session=True, env={**os.environ, "PYTHONPATH": roots},
    ) as process:  # fmt: skip
        for _ in range(600):
            if (folder.parent / "began").exists():
                break
            time.sleep(0.1)
        os.killpg(process.pid, signal.SIGINT)
        out, err = process.communicate(timeout=60)

    assert (process.returncode, out, err.strip()) == (1, "", "Aborted!")
