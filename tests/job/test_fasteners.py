"""Clearance holes and threads of `profiles/fasteners.toml` against the standards' figures and a published package."""

import csv
import io
import tomllib
from fractions import Fraction
from importlib import metadata
from math import pi

import pytest

from gasketcut import parse_job
from gasketcut.errors import JobError
from gasketcut.profile.fasteners import FITS
from gasketcut.profile.own import shipped
from gasketcut.profile.profiles import Profiles

ISO_273 = {  # mm, fine (H12), medium (H13), coarse (H14)
    # ISO 273: the table of engineeringhardware.com and a second one labelled ISO 273:2017; from M12 up Machinery's
    # Handbook 31, p. 1743, whose nearest drills (M12: 33/64, 17/32, 37/64 in) agree. Older charts differ from M12 up.
    "M3": (3.2, 3.4, 3.6),
    "M3.5": (3.7, 3.9, 4.2),
    "M4": (4.3, 4.5, 4.8),
    "M5": (5.3, 5.5, 5.8),
    "M6": (6.4, 6.6, 7.0),
    "M7": (7.4, 7.6, 8.0),
    "M8": (8.4, 9.0, 10.0),
    "M10": (10.5, 11.0, 12.0),
    "M12": (13.0, 13.5, 14.5),
    "M14": (15.0, 15.5, 16.5),
    "M16": (17.0, 17.5, 18.5),
}
B18_2_8 = {  # inches, close, normal, loose
    # ASME B18.2.8: Machinery's Handbook 31, p. 1741 (loose column and drills), the rest from bd-warehouse 0.4.0.
    "#4": (0.120, 0.1285, 0.144),
    "#6": (0.154, 0.170, 0.185),
    "#8": (0.180, 0.196, 0.213),
    "#10": (0.206, 0.221, 0.238),
    "1/4": (0.266, 0.281, 0.297),
    "5/16": (0.328, 0.344, 0.359),
    "3/8": (0.391, 0.406, 0.422),
    "7/16": (0.453, 0.469, 0.484),
    "1/2": (0.531, 0.562, 0.609),
}
# ISO 898-1, stress area [mm2], as printed by usefastener.com; M12 by the same rule from there.
STRESS_AREA = {"M3": 5.03, "M4": 8.78, "M5": 14.2, "M6": 20.1, "M7": 28.9, "M8": 36.6, "M10": 58.0, "M12": 84.3}
# Number sizes: 0.060 in + 0.013 in a number (ASME B1.1).
NUMBERED = {f"#{number}": 0.060 + 0.013 * number for number in (4, 6, 8, 10)}
THOU = 0.0254  # mm; inch tables and drill lists are printed to a thousandth
EXACT = 1e-9  # mm; rounding of the arithmetic only
OURS = Profiles().fasteners
SIZES = tomllib.loads(shipped("fasteners").read_text(encoding="utf-8"))["size"]
METRIC = [size for size in SIZES if size.startswith("M")]
INCH = [size for size in SIZES if not size.startswith("M")]
BOTH = ("M3", "M3.5", "M4", "M5", "M6", "M7", "M8", "M10")  # the package follows an older convention from M12 up


@pytest.fixture(scope="module")
def package():
    """Clearance holes and drills as bd-warehouse (Apache-2.0) carries them; it needs a CAD kernel to be imported, its
    tables do not."""
    try:
        listed = metadata.files("bd-warehouse") or []
    except metadata.PackageNotFoundError:
        pytest.skip("bd-warehouse is not installed: pip install --no-deps bd-warehouse")
    texts = {file.name: file.read_text() for file in listed if file.suffix == ".csv"}
    holes = csv.DictReader(io.StringIO(texts["clearance_hole_sizes.csv"]))
    drills = csv.DictReader(io.StringIO(texts["drill_sizes.csv"]))
    named = {row["Size"].strip(): float(row["Diameter"]) for row in drills}
    return {row.pop("Size"): row for row in holes}, named


def inches(text, drills):
    """A drill by its name in the list, or a fraction."""
    return drills[text] if text in drills else float(sum(Fraction(part) for part in text.split()))


def hole_of(size, fit):
    """The hole that a job gets which asks for this size; `fit` None asks for none."""
    asked = f', fit = "{fit}"' if fit else ""
    text = f"""title = "t"\nunits = "mm"\n[[part]]\nname = "p"\nkind = "flat"\noutline = {{ round = 90 }}
studs = {{ at = [[0, 0]], size = "{size}"{asked} }}\n"""
    return parse_job(text).parts[0].studs[0]


def test_no_size_of_the_profile_goes_unchecked():
    assert set(METRIC) <= set(ISO_273)
    assert set(INCH) <= set(B18_2_8)
    assert set(BOTH) <= set(METRIC)
    assert {"#6", "#8", "#10", "1/4", "5/16", "3/8"} <= set(INCH)
    assert OURS.names == tuple(SIZES)


@pytest.mark.parametrize("size", METRIC)
def test_metric_holes_are_those_of_iso_273(size):
    assert tuple(OURS.size(size).hole(fit) for fit in FITS) == ISO_273[size]


@pytest.mark.parametrize("size", INCH)
def test_inch_holes_are_those_of_asme_b18_2_8(size):
    holes = [OURS.size(size).hole(fit) / 25.4 for fit in FITS]

    assert holes == pytest.approx(B18_2_8[size], abs=EXACT)


@pytest.mark.parametrize("size", BOTH)
def test_metric_holes_are_those_of_the_package(package, size):
    holes, _ = package
    row = holes[size]

    assert [OURS.size(size).hole(fit) for fit in FITS] == [float(row[word]) for word in ("Close", "Normal", "Loose")]


@pytest.mark.parametrize("size", INCH)
def test_inch_holes_are_those_of_the_package(package, size):
    holes, drills = package
    row = [inches(holes[size][word], drills) * 25.4 for word in ("Close", "Normal", "Loose")]

    assert [OURS.size(size).hole(fit) for fit in FITS] == pytest.approx(row, abs=THOU + EXACT)


@pytest.mark.parametrize("fit", [*FITS, None])
@pytest.mark.parametrize("size", SIZES)
def test_a_job_that_names_a_size_gets_its_hole_and_its_stud(size, fit):
    row = ISO_273.get(size) or [value * 25.4 for value in B18_2_8[size]]

    hole = hole_of(size, fit)

    assert hole.diameter == pytest.approx(row[FITS.index(fit or "medium")], abs=EXACT)
    assert hole.stud == OURS.size(size).diameter
    assert hole.size == size


@pytest.mark.parametrize("size", SIZES)
def test_the_stud_is_as_thick_as_its_name_says_and_goes_through_every_fit(size):
    named = float(size[1:]) if size in METRIC else 25.4 * (NUMBERED.get(size) or float(Fraction(size)))

    assert OURS.size(size).diameter == pytest.approx(named, abs=EXACT)
    assert OURS.size(size).diameter < OURS.size(size).hole("fine") < OURS.size(size).hole("medium")
    assert OURS.size(size).hole("medium") < OURS.size(size).hole("coarse")


@pytest.mark.parametrize("size", STRESS_AREA)
def test_coarse_pitch_gives_the_stress_area_of_iso_898_1(size):
    # ISO 898-1: pi/4 (d - 0.9382 P)^2, printed to three digits.
    row = SIZES[size]

    area = pi / 4 * (row["diameter"] - 0.9382 * row["pitch"]) ** 2

    assert float(f"{area:.3g}") == STRESS_AREA[size]


@pytest.mark.parametrize("size", ["M9", "M5.5", "m5", "#4-40"])
def test_a_size_that_the_table_lacks_is_a_fault_that_lists_those_it_has(size):
    with pytest.raises(JobError) as caught:
        hole_of(size, "medium")

    assert "size" in str(caught.value)
    assert "M3, M3.5, M4, M5" in str(caught.value)
