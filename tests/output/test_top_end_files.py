"""The rest of the top end as files: screen, frame and deflector to cut, costs in and out, trials drawn, all in JSON."""

import csv
import io
import json
import math
import re

import pytest
from click.testing import CliRunner

from gasketcut import parse_job, read_job
from gasketcut.cli import main
from gasketcut.engine.topend.trials import trials_of
from gasketcut.errors import JobError
from gasketcut.job.topend import Trial
from gasketcut.output.picture import as_svg
from gasketcut.pages.charts.trials import trials_picture
from gasketcut.shape.loop import Segment
from tests.making import make, record, record_numbers

PLATE = """
title = "Outlet"
units = "mm"

[[part]]
name = "plate"
kind = "outlet"
outline = { rectangle = [60, 40], corner = 5 }
outlet = { oval = [24, 15] }
holes = { at = [[-24, -14], [24, -14], [24, 14], [-24, 14]], diameter = 4.5 }
"""


def part_of(more, base=PLATE):
    from tests.making import built

    return built(parse_job(base + more))[-1]


def test_a_screen_covers_the_outlet_and_its_lap():
    screen = part_of('[[part]]\nname = "screen"\nkind = "screen"\nof = "plate"\nlap = 5\n')

    # An ellipse grown by a constant: area + perimeter x lap + pi lap^2 (Steiner's formula for convex shapes).
    a, b = 12.0, 7.5
    h = ((a - b) / (a + b)) ** 2
    perimeter = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))  # Ramanujan's second approximation
    assert screen.solid.area == pytest.approx(math.pi * a * b + perimeter * 5 + math.pi * 25, rel=1e-4)
    assert not screen.solid.interiors
    assert screen.holes == ()


def test_a_screen_under_a_bolt_is_refused():
    with pytest.raises(JobError, match="under the bolt"):
        part_of('[[part]]\nname = "screen"\nkind = "screen"\nof = "plate"\nlap = 20\n')


def test_a_frame_is_the_plate_again():
    frame = part_of('[[part]]\nname = "frame"\nkind = "frame"\nof = "plate"\n')
    plate = part_of("")

    assert frame.solid.equals(plate.solid)
    assert frame.kind == "frame"


def test_a_deflector_is_a_blank_with_a_bend_line_and_its_own_holes():
    more = '[[part]]\nname = "hood"\nkind = "deflector"\nof = "plate"\nreach = 25\nfoot = 12\nlap = 4\n'
    more += "holes = { at = [[-10, -7], [10, -7]], diameter = 4.5 }\n"
    hood = part_of(more)

    assert hood.outer.bounds == pytest.approx((-16.0, -12.0, 16.0, 25.0), abs=1e-3)
    assert hood.solid.area == pytest.approx(32 * 37 - (4 - math.pi) * 4 - 2 * math.pi / 4 * 4.5**2, abs=0.02)
    assert hood.marks == ((Segment((-15.0, 0.0), (15.0, 0.0), 0.0),),)


@pytest.mark.parametrize("kind", ["screen", "frame", "deflector"])
def test_without_an_outlet_they_say_what_is_missing(kind):
    job = parse_job(f'units = "mm"\n[[part]]\nname = "a"\nkind = "{kind}"\n')
    assert job.parts == ()
    assert "of = " in " ".join(fault.message for fault in job.lacking("part"))
    flat = 'units = "mm"\n[[part]]\nname = "plate"\nkind = "flat"\noutline = { round = 40 }\n'
    if kind != "frame":
        with pytest.raises(JobError, match="no opening"):
            part_of(f'[[part]]\nname = "a"\nkind = "{kind}"\nof = "plate"\n', flat)


def test_all_of_them_are_written(tmp_path):
    more = "".join(
        f'[[part]]\nname = "{kind}"\nkind = "{kind}"\nof = "plate"\n' for kind in ("screen", "frame", "deflector")
    )
    report = make(parse_job(PLATE + more), tmp_path)

    assert [made.part.name for made in report.made] == ["plate", "screen", "frame", "deflector"]
    assert {path.name for path in tmp_path.glob("*.dxf")} == {"plate.dxf", "screen.dxf", "frame.dxf", "deflector.dxf"}


WHOLE = """
title = "Top end"
units = "mm"
cost_table = "parts.csv"

[cutting]
process = "co2"
rate_hour = 60
currency = "EUR"

[engine]
bore = 44.0
stroke = 34.0
rod = 58.0
gauge_psi = 150
[engine.ports]
exhaust = { opens = "103 deg", width = 26.0, height = 11.0, corner = 3.0 }

[ring]
gap = 0.18
[ignition]
taper = [12.0, 10.5]
key_width = 2.5
removed = 0.5
present = "26 deg"
[outlet]
screen = { opening = 0.5, wire = 0.35 }
[[outlet.stage]]
name = "outlet"
round = 15

[[stock]]
name = "paper"
thickness = 0.5
material = "vegetable-fibre"

[[part]]
name = "gasket"
kind = "flat"
stock = "paper"
outline = { round = 60 }
opening = { round = 45 }

[[cost]]
name = "gasket, cut here"
part = "gasket"
state = "own"
currency = "EUR"
instead_of = "gasket"
[[cost]]
name = "gasket, bought"
price = 9.5
currency = "EUR"
instead_of = "gasket"
"""
TRIALS = [("before", 12.1, 120), ("before", 11.6, 118), ("before", 12.6, 121),
          ("after", 9.8, 121), ("after", 9.1, 117), ("after", 9.9, 120)]  # fmt: skip
WHOLE += "".join(f'[[trial]]\ncondition = "{c}"\nseconds = {s}\ndiameter = {d}\n' for c, s, d in TRIALS)

TOP = {"ring", "port_width", "outlet", "ignition", "cranking_pressure", "cost", "trials"}


@pytest.fixture
def whole(tmp_path):
    (tmp_path / "job.toml").write_text(WHOLE, encoding="utf-8")
    (tmp_path / "parts.csv").write_text("name,group,count,price,currency\nbearing,parts,2,3.2,EUR\n", encoding="utf-8")
    return tmp_path / "job.toml"


def test_what_a_part_costs_to_cut_comes_from_its_quote(whole, tmp_path):
    report = make(read_job(str(whole)), tmp_path / "out")
    cut = report.quote.rows[0].cost
    data = record_numbers(read_job(str(whole)), "2026-01-01")
    lines = {line["name"]: line for line in data["cost"]["lines"]}

    assert lines["gasket, cut here"]["amount"] == pytest.approx(cut)
    assert lines["gasket, cut here"]["counts"]
    assert not lines["gasket, bought"]["counts"]
    assert data["cost"]["total"] == pytest.approx(cut + 6.4)


def test_costs_out_can_be_read_in_again(whole, tmp_path):
    names = record(read_job(str(whole)), tmp_path / "out", date="2026-01-01")
    rows = list(csv.DictReader(io.StringIO((tmp_path / "out" / "costs.csv").read_text(encoding="utf-8"))))

    assert set(names) == {"build-sheet.pdf", "build-sheet.txt", "costs.csv", "trials.svg", "trials.pdf"}
    assert [row["name"] for row in rows] == ["gasket, cut here", "gasket, bought", "bearing"]
    (tmp_path / "again.toml").write_text('units = "mm"\ncost_table = "out/costs.csv"\n', encoding="utf-8")
    again = read_job(str(tmp_path / "again.toml")).topend.costs
    assert [(cost.name, cost.count, cost.price) for cost in again][1:] == [
        ("gasket, bought", 1, 9.5),
        ("bearing", 2, 3.2),
    ]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (None, "cannot be read"),
        ("colour\nred\n", "first row names"),
        ("name,price\nx,dear\n", "row 2"),
        ("name\n\xff", None),
    ],
)
def test_a_bad_table_is_named_with_its_line(tmp_path, text, what):
    if text is not None:
        (tmp_path / "parts.csv").write_bytes(text.encode("latin-1"))
    (tmp_path / "job.toml").write_text('units = "mm"\ncost_table = "parts.csv"\n', encoding="utf-8")
    with pytest.raises(JobError, match=what) as caught:
        read_job(str(tmp_path / "job.toml"))
    assert caught.value.faults[0].line == 2


def test_every_number_of_the_build_sheet_is_in_its_json(whole):
    said = CliRunner().invoke(main, ["record", str(whole), "--json", "--date", "2026-01-01"], catch_exceptions=False)
    data = json.loads(said.stdout)

    assert said.exit_code == 0
    assert set(data) >= TOP | {"title", "date", "engine", "parts", "sections"}
    ring = data["ring"]
    assert (ring["reading"], ring["verdict"]) == ({"value_mm": 0.18, "sigma_mm": None}, "fits")
    assert data["ignition"]["turn_deg"] == pytest.approx(math.degrees(0.5 / (11.25 / 2)), abs=1e-3)
    assert data["port_width"]["limit_mm"] == pytest.approx(0.7 * 44)
    ratio = data["trials"]["compared"][0]["ratio"]
    # What the sheet says in words, rounded, is among the numbers.
    for section in data["sections"]:
        if section["heading"] == "Timed trials":
            said_ratio = float(re.search(r"ratio (\d\.\d+)", " ".join(section["lines"]))[1])
            assert said_ratio == pytest.approx(ratio, abs=5e-4)


UNIT = re.compile(
    r"(^|_)(mm|um|mm2|cc|deg|kpa|mpa|gpa|n|nm|g|k|s|m|m_s|um_m_k|s_mm2|s_per_m|s_per_mm2|mm_per_degree|rpm|percent)$"
)
PLAIN = {  # numbers without a dimension, and money, which is in the bill's own currency
    "in_band", "under_floor", "risk", "of_bore", "chord_of_bore", "open_share", "of_proof", "confidence", "level",
    "ratio", "ratio_full_stroke", "ratio_trapped", "ratio_worked_out", "low", "high", "freedom", "torque_coefficient",
    "count", "sheets", "bolts", "pierces", "price", "amount", "total",
}  # fmt: skip
FULL = """
[engine.running]
rod_expansion = 12
reciprocating_g = 90
[squish]
target = 0.8
readings = [{ at = "left", value = 0.95 }, { at = "right", value = "0.97 mm +- 0.01" }]
sealant = [0.01, 0.02, 0.03]
[[work]]
port = "exhaust"
remove = 0.5
widen = 1.0
[clamp]
size = "M5"
torque_nm = 5.0
area_mm2 = 1500
[[record.fastener]]
what = "head nuts"
torque_nm = 9.0
[measure]
[[measure.distance]]
from = "A"
to = "B"
reading = 40.0
"""


def numbers_in(data, key=""):
    """Every number with the key that it stands under, lists looked through."""
    if isinstance(data, dict):
        for name, value in data.items():
            yield from numbers_in(value, name)
    elif isinstance(data, list):
        for value in data:
            yield from numbers_in(value, key)
    elif isinstance(data, int | float) and not isinstance(data, bool):
        yield key


def test_every_number_of_the_json_says_its_unit(whole):
    whole.write_text(WHOLE + FULL, encoding="utf-8")
    data = record_numbers(read_job(str(whole)), "2026-01-01")
    findings = data.pop("findings")  # theirs are the keys of report.json: each in the unit of its rule
    keys = set(numbers_in(data))

    assert findings
    assert {"engine", "readings", "distances", "squish", "clamp", "stock", "record", *TOP} <= set(data)
    assert {key for key in keys if key not in PLAIN and not UNIT.search(key)} == set()
    assert {"bore_mm", "rod_expansion_um_m_k", "opens_deg", "torque_nm", "stress_mpa", "mean_s_per_mm2"} <= keys


def test_the_json_holds_nothing_of_the_files_lines_and_places(whole):
    data = record_numbers(read_job(str(whole)), "2026-01-01")

    def keys(value):
        if isinstance(value, dict):
            return {*value, *(name for one in value.values() for name in keys(one))}
        return {name for one in value for name in keys(one)} if isinstance(value, list) else set()

    assert {key for key in keys(data) if key.endswith("line") or key.startswith("_")} == set()


def test_json_writes_no_files_unless_asked(whole, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    before = {path.name for path in tmp_path.iterdir()}
    CliRunner().invoke(main, ["record", str(whole), "--json"], catch_exceptions=False)
    assert {path.name for path in tmp_path.iterdir()} == before


def test_trials_are_drawn_where_they_lie():
    trials = [Trial("before", 10.0), Trial("before", 12.0), Trial("after", 5.0), Trial("after", 7.0)]
    svg = as_svg(trials_picture(trials_of(trials), "Laps")).decode()
    xs = [float(x) for x in re.findall(r'<path d="M(\d+\.\d+) [\d. L-]+ Z"', svg)]

    assert len(xs) == 4  # a dot each
    assert (xs[1] - xs[0]) == pytest.approx(xs[3] - xs[2], abs=0.01)  # 2 s each
    assert (xs[0] - xs[2]) / (xs[1] - xs[0]) == pytest.approx(2.5, abs=0.01)  # 5 s against 2 s
    assert "seconds" in svg


def test_a_muffler_is_held_against_the_cylinder_by_the_two_face_check():
    from tests.making import fit

    job = parse_job("""
units = "mm"
[[part]]
name = "muffler"
kind = "joint"
flow = ["cylinder", "muffler"]
port = [
  { name = "exhaust", face = "cylinder", shape = { rectangle = [26, 14], corner = 3 } },
  { name = "exhaust", face = "muffler", shape = { rectangle = [24, 14], corner = 3 } },
]
studs = [
  { face = "cylinder", at = [[-22, 0], [22, 0]], size = "M6" },
  { face = "muffler", at = [[-22, 0], [22, 0]], size = "M6" },
]
""")
    _, findings = fit(job)

    assert any("muffler" in (finding.part or "") for finding in findings)
    assert any(finding.weight in ("warn", "stop") for finding in findings)  # a step of 1 mm against the flow
