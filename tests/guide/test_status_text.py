"""What `status` prints of a fault: the place, and the spot with its caret, whatever the width."""

from gasketcut.guide.missing import status_of
from gasketcut.output.text.status import status_data, status_text
from gasketcut.toml.document import data_of

TEXT = 'units = "mm"\n[engine]\nbore = 44.0\nrod = "58 furlongs"   # a remark that makes it wider than the screen is\n'


def test_a_fault_keeps_its_spot():
    found = status_of(data_of(TEXT), TEXT, "job.toml")
    rows = status_text(found, "job.toml").split("\n")
    (fault,) = found.faults

    at = next(number for number, row in enumerate(rows) if row.startswith("  job.toml:4:7: engine.rod: "))
    shown = next(number for number, row in enumerate(rows) if number > at and row.endswith("screen is"))
    assert rows[shown] == "      " + TEXT.split("\n")[3]
    assert rows[shown][rows[shown + 1].index("^")] == '"'
    assert status_data(found, "job.toml")["faults"] == [
        {"line": 4, "column": 7, "key": "engine.rod", "text": fault.message}
    ]


def test_an_unusual_value_is_shown_and_stops_nothing(command):
    text = 'units = "mm"\n[engine]\nbore = 440\nstroke = 34\nrod = 58\n'
    done = command("status", "job.toml", text=text)
    assert done.returncode == 0
    assert "To be looked at again:" in done.stdout
    assert "engine.bore = 440.00 mm (17.323 in)" in done.stdout
    sure = command("status", "job.toml", text='sure = ["engine.bore"]\n' + text)
    assert "To be looked at again:" not in sure.stdout
