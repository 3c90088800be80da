"""Fifty drawings as customers send them: what an operator would say of each."""

from __future__ import annotations

import json
import logging

import pytest
from click.testing import CliRunner

from gasketcut.cli import main
from tests.received.customers import customers

logging.getLogger("ezdxf").setLevel(logging.ERROR)  # R12 declares no unit, which is what that drawing is for
CUSTOMERS = {one.name: one for one in customers()}


@pytest.mark.parametrize("name", CUSTOMERS)
def test_the_report_is_one_that_an_operator_agrees_with(name, tmp_path, monkeypatch):
    one = CUSTOMERS[name]
    monkeypatch.chdir(tmp_path)
    (tmp_path / name).write_bytes(one.data)
    text = CliRunner().invoke(main, ["inspect", name])
    found = CliRunner().invoke(main, ["inspect", name, "--json"])
    data = json.loads(found.stdout)

    assert data["verdict"] in one.verdicts
    said = text.output + found.stdout
    for words in one.says:
        assert any(word in said for word in words), (words, text.output)
    assert found.exit_code == (2 if name.startswith("48") else int(data["verdict"] != "ready"))
    assert text.exit_code == found.exit_code
    if one.parts is not None:
        assert (data["what"]["parts"], sum(data["what"]["holes"])) == (one.parts, one.holes)
