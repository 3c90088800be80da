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
    "described",
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
ROOMS = {  # room: what it may import besides itself and the ground; every arrow runs up this list
    "toml": (),
    "profile": ("toml",),
    "shape": (),
    "parts": ("toml", "shape"),
    "job": ("toml", "profile", "parts"),
    "measure": ("job", "parts"),
    "engine": ("profile", "job", "parts", "measure.chi_square"),
    "cutting": ("profile", "job", "parts", "shape"),
    "received": ("profile", "shape"),
    "comparing": ("shape",),
    "capture": ("toml", "profile", "parts", "job", "measure", "shape", "comparing"),
    "checks": ("profile", "job", "parts", "shape", "engine"),
    "evaluation": (
        "profile",
        "job",
        "parts",
        "shape",
        "measure",
        "engine",
        "cutting",
        "received.shape_file",
        "received.parts",
        "received.settings",
        "checks",
    ),
    "guide": ("toml", "profile", "job", "engine", "evaluation"),
    "output": (
        *(
            "profile",
            "job",
            "parts",
            "shape",
            "measure",
            "engine",
            "cutting",
            "received",
            "comparing",
            "capture",
            "evaluation",
            "guide",
        ),
    ),
    "pages": (
        "profile",
        "job",
        "parts",
        "shape",
        "engine",
        "cutting",
        "received",
        "comparing",
        "capture",
        "evaluation",
        "output",
    ),
    "rendering": ("profile", "cutting", "shape", "evaluation", "output", "pages"),
}
SHOWS_ITSELF = {
    ("evaluation.part_result", "output.svg.write_svg"),
    ("engine.squish.result", "output.picture.as_svg"),
    ("engine.squish.result", "pages.charts.squish.squish_chart"),
    ("engine.ports.timing", "output.picture.as_svg"),
    ("engine.ports.timing", "pages.charts.rings.ring_of"),
}
"""A value asks its writer when a notebook shows it; nothing else runs down the list."""

WRITERS = ("output", "pages", "rendering")
SUMS = ("engine", "checks", "measure")
"""A writer reads their values: it may name their classes and constants, never call their functions."""

MOST = 14
"""Files side by side in a folder: about a dozen."""

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
    assert {one for one in ours(name) if not is_in(one, GROUND)} == set()


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_what_comes_before_it_in_the_flow(room):
    allowed = (*GROUND, room, *ROOMS[room])
    wrong = {
        name: sorted(one for one in ours(name) if not is_in(one, allowed) and (name, one) not in SHOWS_ITSELF)
        for name in modules_of(room)
    }

    assert len(wrong) > 1
    assert {name: found for name, found in wrong.items() if found} == {}


@pytest.mark.parametrize(("name", "users"), [("cli", {"__main__"}), ("flow", {"__init__", "cli"})])
def test_nothing_imports_the_command_line_and_only_that_the_flow(name, users):
    found = {one for one in MODULES if any(is_in(other, (name,)) for other in ours(one))}
    outside = found if name == "flow" else {one for one in found if not is_in(one, ("cli",))}

    assert {"cli" if is_in(one, ("cli",)) else one for one in outside} == users


def test_every_arrow_runs_up_the_list():
    order = list(ROOMS)
    assert [
        (room, other)
        for room, others in ROOMS.items()
        for other in others
        if order.index(other.split(".")[0]) > order.index(room)
    ] == []


def test_writers_import_values_and_no_sums():
    named = {(name, one) for room in WRITERS for name in modules_of(room) for one in ours(name) if is_in(one, SUMS)}
    assert {(name, one) for name, one in named if not one.rsplit(".", 1)[1][0].isupper()} == set()
    assert len(named) > 10


def kinds_compared(tree):
    """Comparisons of what something calls its kind."""
    return [
        ast.unparse(node)
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare)
        and any(isinstance(side, ast.Attribute) and side.attr == "kind" for side in (node.left, *node.comparators))
    ]


def test_a_compared_kind_is_seen():
    assert kinds_compared(ast.parse("if part.kind == 'base' or 'x' in one.kind: pass")) == [
        "part.kind == 'base'",
        "'x' in one.kind",
    ]


def test_nobody_compares_the_name_of_a_kind_of_part():
    # A port of the engine has a kind too, which its own class alone looks at; and so have faults, offers and sheets.
    others = (
        "received",
        "capture",
        "profile",
        "output.text.inspect",
        "output.text.received",
        "pages.reply",
        "job.engine",
        "job.ports",
    )
    found = {name: kinds_compared(tree) for name, tree in MODULES.items() if not is_in(name, others)}

    assert {name: rows for name, rows in found.items() if rows} == {}


def test_kinds_and_shapes_are_named_in_their_own_files_alone():
    kinds = {
        f"parts.kinds.{name}" for name in ("base", "intake", "exhaust", "reed", "outlet", "spacer", "blank", "joint")
    }
    users = {(name, one) for name in MODULES for one in ours(name) if any(is_in(one, (kind,)) for kind in kinds)}

    assert {name for name, _ in users if name.removesuffix(".__init__") not in ("parts", "parts.kinds")} == set()


@pytest.mark.parametrize("folder", sorted({file.parent for file in PACKAGE.rglob("*.py")}), ids=lambda one: one.name)
def test_no_folder_holds_more_than_one_sees_at_a_glance(folder):
    assert len([file for file in folder.glob("*.py") if not file.name.startswith("__")]) <= MOST


def test_the_tests_lie_as_the_rooms_do():
    folders = {file.parent.name for file in (PACKAGE.parent / "tests").glob("*/test_*.py")}

    assert folders - {"benchmarks"} <= {*ROOMS, "cli"}


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
        "import gasketcut as gc; assert gc.evaluate(gc.read_job('demo')).squish.best",
        "import gasketcut as gc; assert gc.evaluate(gc.read_job('demo')).events",
    ],
)
def test_a_lean_start_loads_no_drawing_library(does):
    assert loaded_after(does) == []


def test_drawing_does_load_them():
    assert loaded_after("import gasketcut as gc; gc.render(gc.evaluate(gc.read_job('demo')))") == list(HEAVY)


@pytest.mark.parametrize("room", ["output", "pages.build_sheet", "pages.charts"])
def test_writers_read_values_and_import_no_sums(room):
    sums = {
        name: sorted(one for one in ours(name) if is_in(one, ("engine",)) and one.rsplit(".", 1)[1][0].islower())
        for name in modules_of(room)
    }

    assert {name: found for name, found in sums.items() if found} == {}
