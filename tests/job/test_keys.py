"""The description of every key: whole, accepted by the reader, held by the schema; and the reader asks for no other."""

import copy
import json
import random
import subprocess
import sys
import tomllib

import jsonschema
import pytest
from click.testing import CliRunner

from gasketcut import parse_job
from gasketcut.cli import main
from gasketcut.described import OUTPUTS, form_of, keys_of
from gasketcut.errors import GasketError
from gasketcut.job.reading.reader import _read
from gasketcut.job.reference import described, section, sections
from gasketcut.job.schema import job_schema
from gasketcut.parts.kinds import KINDS
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.rules import RULES
from gasketcut.parts.words import SHAPES
from gasketcut.profile.fasteners import FITS
from gasketcut.profile.profiles import read_profiles
from gasketcut.toml.faults import Faults
from gasketcut.toml.table import Table
from tests.evaluation.test_every_job_agrees import texts

ALL = [(one.name, each) for one in sections() for each in one.keys]
IDS = [f"{name}.{each.name}" for name, each in ALL]
PROFILES = read_profiles()
SCHEMA = job_schema()
VALID = jsonschema.Draft202012Validator(SCHEMA)

MEASUREMENTS = ("length", "measured", "angle", "at", "place", "lengths")


def example(each):
    return tomllib.loads(f"{each.name} = {each.key.example}")[each.name]


def table(keys, *names):
    """The keys that are required, and those of these names, with their examples."""
    return {each.name: example(each) for each in keys if each.is_required or each.name in names}


PART = {"name": "ring", "kind": "flat", "outline": {"round": 60.0}}

BESIDE = {  # what else has to stand there for the example to make sense
    "cutting.*": {"process": "co2"},
    "cutting.process": {},
    "squish.protrusion": {"head_gasket": 0.9},
    "part.outlet.*": {"round": 14.0},
    "part.outlet.percent": {},
    "outlet.stage.*": {"round": 15.0},
    "outlet.stage.area_mm2": {},
    "measure.edges": {"distance": [{"from": "left edge", "to": "B", "reading": 20.0}]},
    "measure.left": {"distance": [{"from": "A", "to": "C", "reading": 20.0}]},
}

ROUND_ABOUT = {  # the same, elsewhere in the job
    "part.stock": {"stock": [{"name": "can sheet", "thickness": 0.1}]},
    "part.percent": {"engine": {"bore": 44.0, "ports": {"exhaust": {"width": 26.0, "height": 11.0}}}},
}


def job_with(name, each):
    """A small job in which that key of that section stands."""
    keys, full = section(name).keys, f"{name}.{each.name}"
    inner = {**table(keys, each.name), **BESIDE.get(full, BESIDE.get(f"{name}.*", {}))}
    if name == "job":
        return {"units": "mm", **inner}
    if name.startswith(("shape", "outline")):
        room, _, word = name.partition(".")
        inner |= {word: example(section(name).key(word))} if word else {"round": 20.0}
        return {"units": "mm", "part": [{**PART, "opening" if room == "shape" else "outline": inner}]}
    if name.startswith("part.kind."):
        own = {"kind": name.removeprefix("part.kind."), "of": "ring"}
        own |= {"kind": "outlet", "outlet": {"round": 5.0}} if own["kind"] == "outlet" else {}
        own |= {"file": "bracket.dxf"} if own["kind"] == "received" else {}
        return {"units": "mm", "part": [{**PART, **own, each.name: example(each)}]}
    if name == "part":
        made = {**PART, **({"kind": "spacer"} if each.name == "of" else {}), each.name: example(each)}
        return {
            "units": "mm",
            "part": [made, *([{**PART, "name": "base-gasket"}] if each.name == "of" else [])],
            **ROUND_ABOUT.get(full, {}),
        }
    first, *rest = name.split(".")
    outer = PART if first == "part" else {one.name: example(one) for one in section(first).keys if one.is_required}
    outer = {**outer, "kind": "outlet"} if name == "part.outlet" else outer
    outer = {**outer, "kind": "base", "opening": {"round": 44.6}} if each.name == "joins" else outer
    holds = described((first, *rest))
    inner = {"exhaust": inner} if holds.form.takes == "named tables" else inner
    inner = [inner] if holds.form.takes == "tables" else inner
    whole = {**outer, rest[0]: inner} if rest else inner
    more = ROUND_ABOUT["part.percent"] if full == "part.outlet.percent" else {}
    return {"units": "mm", first: [whole] if first == "part" else whole, **more}


def faults_of(data):
    faults = Faults("")
    _read(copy.deepcopy(data), faults, None, PROFILES)
    return faults.sorted()


@pytest.mark.parametrize(("name", "each"), ALL, ids=IDS)
def test_a_key_is_described_whole(name, each):
    assert each.key.what
    assert each.key.example
    if each.form.takes in MEASUREMENTS or (each.form.takes == "number" and each.unit and each.unit != "%"):
        assert each.key.how, "how is it measured?"
    assert {*each.key.needed, *each.key.helps} <= set(OUTPUTS)
    assert all(one.source and one.low <= one.high for one in each.key.usual)


@pytest.mark.parametrize(("name", "each"), ALL, ids=IDS)
def test_its_example_is_read_and_valid(name, each):
    if each.name == "cost_table":
        pytest.skip("names a file")
    data = job_with(name, each)
    own = [fault for fault in faults_of(data) if fault.key.split(".")[-1] == each.name]

    assert not own, own
    assert not list(VALID.iter_errors(data)), data


@pytest.mark.parametrize(("name", "each"), ALL, ids=IDS)
def test_its_usual_range_lies_within_its_limits(name, each):
    limits = each.form.limits
    for one in each.key.usual:
        assert limits is None or all(limits.fault(value) is None or value == 0 for value in (one.low, one.high))


def asked_for(data, monkeypatch):
    """What the reader asks each table for, by the way to it."""
    found = {}

    def close(self):
        found.setdefault(tuple(step for step in self.path if isinstance(step, str)), set()).update(self._asked)

    monkeypatch.setattr(Table, "close", close)
    _read(data, Faults(""), None, PROFILES)
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_the_keys_of_a_kind_are_those_its_reader_asks_for(kind, monkeypatch):
    data = {"part": [{"name": "x", "kind": kind}]}
    assert asked_for(data, monkeypatch)["part",] == {each.name for each in keys_of(KINDS[kind])}


@pytest.mark.parametrize("name", [one.name for one in sections() if one.name.split(".")[0] not in ("shape", "outline")
                                  and not one.name.startswith("part.kind")])  # fmt: skip
def test_the_keys_of_a_section_are_those_its_reader_asks_for(name, monkeypatch):
    keys = section(name).keys
    asked = {}
    for each in keys:  # one after the other: what stands there can decide what is asked
        for way, names in asked_for(job_with(name, each), monkeypatch).items():
            asked.setdefault(way, set()).update(names)
    way = {"job": (), "engine.ports": ("engine", "ports", "exhaust")}.get(name, tuple(name.split(".")))
    wanted = {each.name for each in keys}
    if name == "part":
        wanted |= {each.name for each in KINDS["flat"].own_keys()}
    shapes = {one.name for shape in SHAPES.values() for one in keys_of(shape)}
    beside = shapes if name in ("part.outlet", "outlet.stage") else set()

    assert asked[way] - beside == wanted


@pytest.mark.parametrize("word", [*SHAPES, *RULES])
def test_the_keys_of_a_shape_word_are_those_its_reader_asks_for(word, monkeypatch):
    kind = SHAPES.get(word) or RULES[word]
    data = {"units": "mm", "part": [{"name": "x", "kind": "flat", "outline": table(keys_of(kind), word)}]}
    beside = {"at", "turn"} if word in SHAPES else set()

    assert asked_for(data, monkeypatch)["part", "outline"] == {each.name for each in keys_of(kind)} | beside


def test_a_kinds_own_keys_are_its_own():
    shared = {each.name for each in keys_of(PartSpec)}
    assert {name: [each.name for each in kind.own_keys()] for name, kind in KINDS.items() if kind.own_keys()} == {
        "reed": ["cage"],
        "outlet": ["outlet", "form", "drill"],
        "screen": ["lap"],
        "deflector": ["lap", "reach", "foot"],
        "received": ["copies", "file", "units", "join", "fit", "drop"],
    }
    assert not shared & {"cage", "lap"}


def test_fits_are_those_of_the_fasteners():
    assert section("part.studs").key("fit").form.words == FITS


def test_what_no_annotation_tells_needs_a_form():
    with pytest.raises(TypeError, match="form"):
        form_of(dict[str, int])


# -- the schema ------------------------------------------------------------------------------------------------------


def read_jobs():
    """Those that lack nothing: an editor is to mark what half a job lacks."""
    found = {}
    for where, written in texts().items():
        text = written if "units" in written else f'units = "mm"\n{written}'
        try:
            job = parse_job(text)
        except (tomllib.TOMLDecodeError, GasketError):
            continue
        if not job.incomplete:
            found[where] = tomllib.loads(text)
    return found


JOBS = read_jobs()


def test_it_is_a_schema_of_its_draft():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert len(JOBS) > 20


@pytest.mark.parametrize("where", JOBS)
def test_a_job_that_is_read_is_valid(where):
    assert [error.json_path for error in VALID.iter_errors(JOBS[where])] == []


def tables_of(value, way=()):
    if isinstance(value, dict):
        yield way, value
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, one in inner:
        yield from tables_of(one, (*way, step))


WRONG = (True, "x y", 7, -3.5, ["x"], {"x": 1}, "", tomllib.loads("d = 1979-05-27")["d"])


def spoilt(data, chance):
    """The job with one key misspelt, one value of another type, or one word that nobody knows."""
    made = copy.deepcopy(data)
    way, one = chance.choice([(way, one) for way, one in tables_of(made) if one])
    key = chance.choice(list(one))
    how = chance.choice(("key", "type", "type", "word"))
    if how == "key":
        one[f"{key}x"] = one.pop(key)
    elif how == "word" and isinstance(one[key], str):
        one[key] = "zebra"
    else:
        is_number = type(one[key]) in (int, float)  # another number may be out of its range; its type it is
        one[key] = chance.choice([wrong for wrong in WRONG if not is_number or type(wrong) not in (int, float)])
    return made, (*way, key)


@pytest.mark.parametrize("wanted", [60, pytest.param(300, marks=pytest.mark.slow)])
def test_what_the_reader_refuses_for_type_word_or_key_the_schema_refuses(wanted):
    chance, refused, let_through = random.Random(16), 0, []
    names = {"size", "material", "stock", "of", "name", "port", "part", "frame", "left", "edges", "from"}
    whole = [data for data in JOBS.values() if "part" in data]
    while refused < wanted:
        data, way = spoilt({"units": "mm", **chance.choice(whole)}, chance)
        faults = faults_of(data)
        about = [fault for fault in faults if str(way[-1]).rstrip("x") in fault.key or "unknown key" in fault.message]
        if not about or any(f"{step}".rstrip("x") in names for step in way[-1:]):
            continue  # it is read all the same, or refused for what only the whole job shows
        refused += 1
        if not list(VALID.iter_errors(data)):
            let_through.append((way, [fault.text("job") for fault in about]))
    assert let_through == []


@pytest.mark.parametrize(
    ("text", "valid"),
    [
        ('bore = "1 1/8 in"', True),
        ('bore = "3/16\\""', True),
        ('bore = "20 thou"', True),
        ("bore = 44.0", True),
        ('bore = "44 mil"', False),
        ('bore = "-44 mm"', False),
        ('bore = "44,0 mm"', False),
        ("bore = 0", False),
        ("bore = true", False),
        ("boar = 44.0", False),
        ('bore = 44.0\nring_pin = "270 deg"', True),
        ('bore = 44.0\nring_pin = "14.2 mm"', False),
        ("bore = 44.0\nrpm = 95000", False),
    ],
)
def test_lengths_angles_and_numbers_in_the_schema(text, valid):
    assert VALID.is_valid(tomllib.loads(f"[engine]\n{text}")) is valid


# -- the command -----------------------------------------------------------------------------------------------------


def run(*words):
    return CliRunner().invoke(main, ["keys", *words], catch_exceptions=False)


def test_the_command_shows_every_section_and_every_key():
    said = run().stdout
    assert all(f"\n{one.name} " in f"\n{said}" for one in sections())
    for one in sections():
        shown = run(one.name).stdout
        assert all(each.name in shown and each.key.example.split()[0] in shown for each in one.keys)
        assert max(map(len, shown.splitlines())) <= 80


def test_the_command_gives_schema_and_json():
    assert json.loads(run("--schema").stdout) == json.loads(json.dumps(SCHEMA))
    assert [one["name"] for one in json.loads(run("--json").stdout)["sections"]] == [one.name for one in sections()]
    (one,) = json.loads(run("part.studs", "--json").stdout)["sections"]
    assert {"name": "size", "example": '"M5"'}.items() <= one["keys"][3].items()


def test_an_unknown_section_is_answered_with_the_one_that_was_meant():
    said = run("engin")
    assert (said.exit_code, "did you mean 'engine'?" in said.output) == (2, True)


def test_help_imports_no_description():
    names = ("gasketcut.described", "gasketcut.job.reference")
    look = f"import sys; print([name for name in {names} if name in sys.modules])"
    does = f"from gasketcut.cli import main; main(['keys', '--help'], standalone_mode=False)\n{look}"
    done = subprocess.run([sys.executable, "-c", does], capture_output=True, text=True, check=True)

    assert done.stdout.splitlines()[-1] == "[]"
