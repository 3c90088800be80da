"""Every job that stands as a whole in the tests, the README and the profiles: one verdict from every way to it."""

import ast
import re
import tomllib
from pathlib import Path

import pytest

import gasketcut as gc
from gasketcut.output.data.report import fit_data, report_data
from gasketcut.output.text.verdict import verdict_text
from gasketcut.pages.build_sheet.data import record_data

ROOT = Path(__file__).parents[2]


def texts() -> dict[str, str]:
    """Jobs by where they stand; those that the reader refuses are tested elsewhere."""
    found = {"demo": (ROOT / "profiles" / "demo.toml").read_text(encoding="utf-8")}
    for number, block in enumerate(
        re.findall(r"```toml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)
    ):
        found[f"README {number}"] = block
    for file in sorted((ROOT / "tests").rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and "[[part]]" in node.value:
                found[f"{file.name}:{node.lineno}"] = node.value
    return found


def jobs() -> dict[str, gc.Job]:
    found = {}
    for where, text in texts().items():
        try:
            tomllib.loads(text)
            found[where] = gc.parse_job(text if "units" in text else f'units = "mm"\n{text}')
        except (tomllib.TOMLDecodeError, gc.GasketError):
            continue
    return found


JOBS = jobs()


def test_there_are_jobs_to_walk():
    assert len(JOBS) > 20


@pytest.mark.parametrize("where", JOBS)
def test_one_verdict_from_every_way(where):
    evaluation = gc.evaluate(JOBS[where])
    try:
        verdict = evaluation.verdict.value
    except gc.GasketError:
        pytest.skip("cannot be drawn")
    by_fit, by_make = fit_data(evaluation), report_data(evaluation, {})
    try:
        by_record = record_data(evaluation, "2026-01-01")["verdict"]
    except gc.GasketError:
        by_record = verdict  # the sheet asks for more than the parts do

    assert {by_fit["verdict"], by_make["verdict"], by_record} == {verdict}
    assert verdict_text(evaluation).upper().startswith(verdict.upper())
    clear = {part["name"]: (part["verdict"], part["clear_mm"], part["unsaid"]) for part in by_fit["parts"]}
    assert clear == {part["name"]: (part["verdict"], part["clear_mm"], part["unsaid"]) for part in by_make["parts"]}
