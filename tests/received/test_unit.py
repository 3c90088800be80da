"""Which unit, and what is advised where the file does not say or contradicts itself."""

from __future__ import annotations

import re

import pytest

from gasketcut.received.inspection import inspect
from tests.received.drawn import dxf, polyline


def header(insunits: int | None, measurement: int | None) -> str:
    rows = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n"
    rows += f"9\n$INSUNITS\n70\n{insunits}\n" if insunits is not None else ""
    rows += f"9\n$MEASUREMENT\n70\n{measurement}\n" if measurement is not None else ""
    return f"{rows}0\nENDSEC\n"


def plate(width, insunits, measurement):
    height = width * 0.625
    return dxf(polyline((0, 0), (width, 0), (width, height), (0, height)), header=header(insunits, measurement))


@pytest.mark.parametrize(
    ("width", "insunits", "measurement", "likely", "advice"),
    [
        (3.15, None, 0, "in", "--units in if it is 80.01 mm long, --units mm if 3.15 mm long"),
        (80, None, 0, "mm", "--units mm"),  # 2 m in inches
        (20, None, 0, "in", "--units in if it is 508 mm long, --units mm if 20 mm long"),
        (20, None, 1, "mm", "--units mm if it is 20 mm long, --units in if 508 mm long"),
        (20, None, None, "mm", "--units mm if it is 20 mm long, --units in if 508 mm long"),
        (80, None, None, "mm", "--units mm"),
        (3.15, 4, 0, "in", "--units in if it is 80.01 mm long, --units mm if 3.15 mm long"),
        (20, 4, 0, "mm", "--units mm if it is 20 mm long, --units in if 508 mm long"),
        (20, 1, 1, "in", "--units in if it is 508 mm long, --units mm if 20 mm long"),
        (80, 4, 0, "mm", "--units mm"),
        (80, 1, 0, "mm", "--units mm"),
    ],
)
def test_the_unit_that_is_advised_is_likely_and_has_its_size(width, insunits, measurement, likely, advice):
    data = plate(width, insunits, measurement)
    found = inspect(data)

    assert found.unit.likely == likely
    assert [flaw.fix for flaw in found.flaws] == [f"say it: {advice}"]
    for unit in re.findall(r"--units (\w+)", advice):
        assert inspect(data, unit).flaws == ()


def test_a_file_that_agrees_with_itself_is_not_asked_about():
    assert inspect(plate(80, 4, 1)).verdict == "ready"
    assert inspect(plate(3.15, 1, 0)).verdict == "ready"
