"""The arrows between the rooms, held by reading the imports; and what a lean start may load."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "gasketcut"
MODULES = {
    ".".join(file.relative_to(PACKAGE).with_suffix("").parts): ast.parse(file.read_text(encoding="utf-8"))
    for file in sorted(PACKAGE.rglob("*.py"))
}
GROUND = (
    "arrays",
    "bank_card",
    "checked",
    "errors",
    "finding",
    "length",
    "outside",
    "plane",
    "pressure",
    "tolerances",
    "verdict",
    "version",
)
ROOMS = {  # room: what it may import besides itself and the ground
    "toml": (),
    "profile": ("toml",),
    "shape": (),
    "parts": ("job.model", "profile", "shape"),
    "job": ("parts.shapes", "profile", "toml"),
    "measure": ("job", "parts.shapes"),
    "engine": ("job", "parts.shapes", "profile"),
    "cutting": ("job", "parts", "profile", "shape"),
    "checks": ("job", "parts", "profile", "shape", "engine", "cutting"),
    "capture": ("job", "parts", "profile", "measure", "shape"),
    "guide": ("job",),
    "received": ("parts.part", "parts.shapes", "shape"),
    "pages": (
        "job",
        "parts",
        "profile",
        "measure",
        "engine",
        "shape",
        "checks",
        "cutting",
        "received",
        "capture",
        "output",
    ),
    "output": (
        "job",
        "parts",
        "profile",
        "measure",
        "engine",
        "shape",
        "checks",
        "cutting",
        "received",
        "capture",
        "guide",
        "pages",
    ),
}
HEAVY = ("ezdxf", "shapely", "reportlab")
LONGEST = 350  # lines


def imports_of(tree):
    """Everything imported anywhere in the module, inside functions and for type checking too."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "write the whole name: relative imports hide the arrow"
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    return found


def ours(name):
    """The module's imports from this package, without the package's name."""
    return {one.removeprefix("gasketcut.") for one in imports_of(MODULES[name]) if one.split(".")[0] == "gasketcut"}


def is_in(name, places):
    return any(name == place or name.startswith(f"{place}.") for place in places)


def modules_of(room):
    return [name for name in MODULES if name.startswith(f"{room}.")]


def test_an_import_inside_a_function_is_seen():
    tree = ast.parse("def f():\n    from gasketcut.output.dxf import write_dxf\n    import gasketcut.cli\n")
    assert imports_of(tree) == {"gasketcut.output.dxf.write_dxf", "gasketcut.cli"}


def test_every_folder_is_a_room_of_the_picture():
    assert {name.split(".")[0] for name in MODULES if "." in name} == {*ROOMS, "cli"}


@pytest.mark.parametrize("name", GROUND)
def test_the_ground_stands_on_nothing(name):
    assert {one for one in ours(name) if not is_in(one, ("errors",))} == set()


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_what_comes_before_it_in_the_flow(room):
    allowed = (*GROUND, room, *ROOMS[room])
    wrong = {name: sorted(one for one in ours(name) if not is_in(one, allowed)) for name in modules_of(room)}

    assert len(wrong) > 1
    assert {name: found for name, found in wrong.items() if found} == {}


@pytest.mark.parametrize(("name", "users"), [("cli", {"__main__"}), ("flow", {"__init__", "cli"})])
def test_nothing_imports_the_command_line_and_only_that_the_flow(name, users):
    found = {one for one in MODULES if any(is_in(other, (name,)) for other in ours(one))}
    outside = found if name == "flow" else {one for one in found if not is_in(one, ("cli",))}

    assert {"cli" if is_in(one, ("cli",)) else one for one in outside} == users


def test_only_outlines_calls_the_librarys_offsets():
    offsets = ("buffer", "offset_curve", "parallel_offset")
    named = {
        (name, node.attr if isinstance(node, ast.Attribute) else node.id)
        for name, tree in MODULES.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute | ast.Name)
    }

    assert {name for name, word in named if word in offsets} == {"shape.outlines"}


def test_inches_exist_only_where_lengths_are_read():
    inches = (25.4, 0.0254, 2.54, "25.4", "0.0254")
    users = {
        name
        for name, tree in MODULES.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and node.value in inches
    }

    assert users == {"length"}


@pytest.mark.parametrize("name", MODULES)
def test_no_module_is_longer_than_a_newcomer_reads_at_a_sitting(name):
    file = PACKAGE / f"{name.replace('.', '/')}.py"
    assert len(file.read_text(encoding="utf-8").splitlines()) <= LONGEST


def test_no_module_is_named_for_what_fits_nowhere():
    assert {name for name in MODULES if name.split(".")[-1] in ("utils", "util", "helpers", "common", "misc")} == set()


def loaded_after(does):
    look = f"import sys; print([name for name in {HEAVY} if name in sys.modules])"
    run = subprocess.run([sys.executable, "-c", f"{does}\n{look}"], capture_output=True, text=True, check=True)
    return ast.literal_eval(run.stdout.splitlines()[-1])


@pytest.mark.parametrize(
    "does",
    [
        "from gasketcut.cli import main; main(['--help'], standalone_mode=False)",
        "from gasketcut.cli import main; main(['make', '--help'], standalone_mode=False)",
        "import gasketcut; gasketcut.read_job('demo')",
        "from gasketcut import read_job; from gasketcut.engine.squish.result import squish_result_of; "
        "squish_result_of(read_job('demo'))",
    ],
)
def test_a_lean_start_loads_no_drawing_library(does):
    assert loaded_after(does) == []


def test_drawing_does_load_them():
    assert loaded_after("import gasketcut.flow") == list(HEAVY)


@pytest.mark.parametrize("room", ["output", "pages.build_sheet", "pages.charts"])
def test_writers_read_values_and_import_no_sums(room):
    sums = {
        name: sorted(one for one in ours(name) if is_in(one, ("engine",)) and one.rsplit(".", 1)[1][0].islower())
        for name in modules_of(room)
    }

    assert {name: found for name, found in sums.items() if found} == {}
