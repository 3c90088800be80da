"""Quotes against closed forms: lengths by layer, starts, areas, sheet, time and cost; as text, JSON and CSV."""

import csv
import io
import json
from dataclasses import replace
from math import hypot, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gasketcut import parse_job
from gasketcut.cutting.cutter import cutter_for
from gasketcut.cutting.path.kerf import kerf_of, kerfed
from gasketcut.cutting.path.stroke import through
from gasketcut.cutting.quote import SPACING, quote_of, row_of
from gasketcut.errors import JobError
from gasketcut.job.cutting import CuttingSpec
from gasketcut.output.data.quote import quote_csv, quote_data
from gasketcut.output.text.quote import quote_text
from gasketcut.parts.part import outline_of
from gasketcut.profile.profiles import Profiles
from gasketcut.tolerances import ARC_FIT
from tests.making import built

ROUNDING = 1e-9  # mm, mm2
PRINTED = 5e-5  # mm: four decimals in JSON and CSV

SHEET = 'name = "oatmeal card", thickness = 0.5, size = [300, 200], material = "paper"'
# 80 x 60 with R 8: 2 x (64 + 44) + 16 pi round it; four holes of 5.5 (M5, ISO 273 medium) and a bore of 30.
PLATE = """outline = { rectangle = [80.0, 60.0], corner = 8.0 }, opening = { round = 30.0 },
    studs = { at = [[-30, -20], [30, -20], [30, 20], [-30, 20]], size = "M5" }"""
DISC = "outline = { round = 40 }"


def parts(*keys, sheet=SHEET):
    specs = ", ".join(
        f'{{ name = "tray-{number}", kind = "flat", stock = "oatmeal card", {" ".join(one.split())} }}'
        for number, one in enumerate(keys, 1)
    )
    return built(parse_job(f'units = "mm"\nstock = [{{ {sheet} }}]\npart = [{specs}]'))


def row(one, *, sheet=None, **asked):
    spec = CuttingSpec(**{"process": "co2", **asked})
    cutter = cutter_for(spec.process, one.stock, Profiles().cutters)
    nominal, kerf = outline_of(one), kerf_of(spec, cutter)
    path = outline_of(kerfed(one, kerf, nominal)) if kerf else nominal
    return row_of(one, nominal, path, cutter, spec, sheet)


def quote(*keys, sheet=SHEET, **asked):
    spec = CuttingSpec(**{"process": "co2", **asked})
    return quote_of([row(one, **asked) for one in parts(*keys, sheet=sheet)], spec, "CO2 laser")


def test_a_plate_by_hand():
    (one,) = parts(PLATE)
    found = row(one)

    assert found.inside == pytest.approx(pi * (4 * 5.5 + 30), abs=ROUNDING)
    assert found.outside == pytest.approx(2 * (64 + 44) + 16 * pi, abs=4 * ARC_FIT)
    assert (found.mark, found.pierces) == (0, 6)
    assert found.area == pytest.approx(80 * 60 - (4 - pi) * 64 - pi / 4 * (4 * 5.5**2 + 30**2), abs=0.05)
    assert found.size == pytest.approx((80, 60), abs=ROUNDING)
    assert found.sheet == pytest.approx((80 + SPACING) * (60 + SPACING), abs=1e-6)
    assert found.smallest_hole == 5.5
    assert found.smallest_web == pytest.approx(10 - 2.75, abs=0.005)  # from a hole to the nearer edge
    assert found.cut == found.inside + found.outside


def test_with_a_kerf_lengths_are_the_paths_and_size_and_area_the_parts():
    # A convex line grown by r is 2 pi r longer, a circle in it 2 pi r shorter.
    (one,) = parts(PLATE)
    nominal, grown = row(one), row(one, kerf=0.2)

    assert grown.outside - nominal.outside == pytest.approx(2 * pi * 0.1, abs=4 * ARC_FIT)
    assert nominal.inside - grown.inside == pytest.approx(5 * 2 * pi * 0.1, abs=ROUNDING)
    assert (grown.area, grown.size, grown.smallest_hole) == (nominal.area, nominal.size, nominal.smallest_hole)
    assert (nominal.kerf, grown.kerf) == (None, 0.2)


@given(diameter=st.floats(5, 150), speed=st.floats(1, 10_000), pierce=st.floats(0, 10), rate=st.floats(0, 500))
def test_time_and_cost_of_a_disc(diameter, speed, pierce, rate):
    (one,) = parts(f"outline = {{ round = {diameter} }}")
    found = row(one, speed=speed, pierce=pierce, rate_hour=rate)

    assert found.seconds == pytest.approx(60 * pi * diameter / speed + pierce, rel=1e-9)
    assert found.cost == pytest.approx(rate * (60 * pi * diameter / speed + pierce) / 3600, rel=1e-9)


def test_a_sheets_share_is_paid_and_a_layout_says_how_much_it_is():
    (one,) = parts(DISC)

    assert row(one, rate_sheet=6.0).cost == pytest.approx(6.0 * (40 + SPACING) ** 2 / (300 * 200), rel=1e-9)
    assert row(one, rate_sheet=6.0, sheet=30_000).cost == pytest.approx(3.0, rel=1e-12)
    assert row(one, rate_sheet=6.0, sheet=30_000).sheet == 30_000


def test_marks_count_where_the_cutter_can_mark():
    (one,) = parts(DISC)
    marked = replace(one, marks=(through([(0.0, 0.0), (3.0, 4.0)]), through([(1.0, 1.0), (2.0, 3.0)])))
    laser, knife = row(marked), row(marked, process="knife")

    assert (laser.mark, knife.mark) == (pytest.approx(5 + hypot(1, 2), abs=ROUNDING), 0)
    assert laser.seconds - row(one).seconds == pytest.approx(
        laser.mark / cutter_for("co2", one.stock, Profiles().cutters).speed * 60
    )
    assert knife.seconds == row(one, process="knife").seconds


@pytest.mark.parametrize(
    ("asked", "sheet", "words"),
    [
        ({"process": "hand", "rate_hour": 40.0}, SHEET, "add speed to [cutting]"),
        ({"rate_sheet": 4.0}, SHEET.replace("size = [300, 200], ", ""), "add size = [width, height]"),
    ],
)
def test_what_cannot_be_worked_out_is_said(asked, sheet, words):
    (one,) = parts(DISC, sheet=sheet)
    found = row(one, **asked)

    assert found.cost is None
    assert words in found.gap


def test_a_rate_without_bounds_is_refused():
    with pytest.raises(JobError, match="rate_hour"):
        CuttingSpec(process="co2", rate_hour=1e308)


def test_without_rates_there_is_no_cost_and_a_hand_has_no_time():
    (one,) = parts(DISC)
    assert (row(one).cost, row(one).gap) == (None, None)
    assert (row(one, process="hand").seconds, row(one, process="hand", speed=500.0).seconds) == (
        None,
        pytest.approx(40 * pi / 500 * 60, rel=1e-9),
    )


def test_the_total_counts_every_piece():
    found = quote(PLATE + ", count = 3", DISC + ", count = 2", rate_hour=60.0, currency="CHF")
    plate, disc = found.rows

    assert (found.total.count, found.total.pierces) == (5, 3 * 6 + 2)
    for key in ("inside", "outside", "area", "sheet", "seconds", "cost"):
        wanted = 3 * getattr(plate, key) + 2 * getattr(disc, key)
        assert getattr(found.total, key) == pytest.approx(wanted, rel=1e-12), key
    assert (found.total.smallest_hole, found.total.smallest_web) == (5.5, plate.smallest_web)
    assert (found.total.stock, found.total.size) == ("oatmeal card", None)


# -- as files -----------------------------------------------------------------------------------------------------


def test_json_says_the_same_with_its_units():
    found = quote(PLATE, DISC + ", count = 2", rate_hour=60.0, currency="CHF", kerf="profile")
    data = json.loads(json.dumps(quote_data(found), allow_nan=False))
    plate, disc = data["parts"]

    assert (data["process"], data["currency"]) == ("co2", "CHF")
    assert plate["cut_inside_mm"] == pytest.approx(pi * (4 * 5.42 + 29.92), abs=PRINTED)  # a kerf of 0.08
    assert disc["cut_outside_mm"] == pytest.approx(pi * 40.08, abs=PRINTED)
    assert (disc["size_mm"], disc["smallest_hole_mm"], disc["drawn"]) == ([40, 40], None, "kerf applied 0.08 mm")
    assert data["total"]["pierces"] == 8
    assert data["total"]["cost"] == pytest.approx(plate["cost"] + 2 * disc["cost"], abs=0.015)  # two decimals each
    assert all(key.endswith(("_mm", "_mm2", "_s")) for key, value in plate.items() if isinstance(value, float | list)
               and key not in ("cost",))  # fmt: skip


def test_csv_has_a_row_for_each_part_and_the_sum():
    found = quote(PLATE, DISC + ", count = 2", rate_hour=60.0, currency="CHF")
    text = quote_csv(found)
    plate, disc, total = csv.DictReader(io.StringIO(text, newline=""))

    assert text.count("\r\n") == 4
    assert [one["of"] for one in (plate, disc, total)] == ["each", "each", "all"]
    assert (plate["name"], plate["currency"], plate["width_mm"], disc["count"]) == ("tray-1", "CHF", "80.0", "2")
    assert float(disc["cut_outside_mm"]) == pytest.approx(40 * pi, abs=PRINTED)
    assert (disc["smallest_hole_mm"], total["width_mm"], total["pierces"]) == ("", "", "8")
    wanted = float(plate["net_area_mm2"]) + 2 * float(disc["net_area_mm2"])
    assert float(total["net_area_mm2"]) == pytest.approx(wanted, abs=3 * PRINTED)


@pytest.mark.parametrize("name", ["=1+1", "+41", "-x", "@cell", 'a "b", c'])
def test_no_name_becomes_a_formula_or_another_column(name):
    found = quote(DISC)
    named = replace(found, rows=(replace(found.rows[0], stock=name),))
    (each, _) = csv.DictReader(io.StringIO(quote_csv(named), newline=""))
    assert each["stock"] == (f"'{name}" if name[0] in "=+-@" else name)


def test_text_for_a_person():
    text = quote_text(quote(PLATE, DISC + ", count = 2", rate_hour=60.0, currency="CHF"))
    lines = text.split("\n")

    assert lines[0] == "Quote: CO2 laser, nominal size, no kerf applied"
    assert all(len(line) <= 80 for line in lines)
    assert "tray-2: cut 2 from oatmeal card, 0.50 mm (0.020 in)" in text
    assert "size 80.0 x 60.0 mm" in text
    assert "cut 125.7 mm (4.95 in), inside 0.0 and outside 125.7 mm, 1 start each" in text  # 40 pi
    assert "all 3 pieces" in text
    assert " CHF" in text
    assert "never unattended" in text


def test_text_says_each_kerf_where_they_differ_and_why_there_is_no_cost():
    (card,) = parts(DISC)
    (steel,) = parts(DISC, sheet=SHEET.replace('"paper"', '"steel"').replace("size = [300, 200], ", ""))
    asked = {"kerf": "profile", "rate_sheet": 2.0}
    text = quote_text(quote_of([row(card, **asked), row(steel, **asked)], CuttingSpec(process="co2"), "CO2 laser"))

    assert text.startswith("Quote: CO2 laser\n")
    assert "kerf applied 0.08 mm" in text
    assert "kerf applied 0.15 mm" in text
    assert text.count("no cost:") == 2  # of the part and of the total
