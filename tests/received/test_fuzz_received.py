"""Broken drawings: whatever the bytes, an answer in words, in bounded time."""

import json
import random
import time
from pathlib import Path

import pytest

from gasketcut.errors import GasketError
from gasketcut.output.data.inspect import inspect_data
from gasketcut.output.mended import mended_dxf
from gasketcut.output.text.inspect import inspect_text
from gasketcut.pages.reply.files import picture_svg
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend
from tests.received.drawn import circle, dxf, square
from tests.received.test_reading import INSERT, PLATE, at, tens

FILES = [path.read_bytes() for path in sorted(Path(__file__).parent.rglob("*.dxf"))]
SMALL = [data for data in FILES if len(data) < 40_000]
SMALL += [
    dxf(square(0, 0, 20), INSERT.format(name="B0", more="\n30\n1e-9"), blocks=tens(3, times=3)),
    dxf(INSERT.format(name="B0", more="\n70\n3\n71\n2\n44\n9\n45\n9"), blocks=tens(9)),
    dxf(at(1e-9, *PLATE), circle(50, 25, 8, more="\n30\n-2e-10")),
    dxf(at(3.0, *PLATE), at(0.0, (10, 10), (20, 10), (20, 20))),
]
NUMBERS = [b"nan", b"inf", b"1e308", b"-1e15", b"0", b"9" * 400, b"1,5", b"", b"-5", b"70", b"1e-320", b"999999"]
EVERYTHING = ("text", "dimensions", "hatch", "point", "hidden", "stray")


def mutated(chance: random.Random, files: list[bytes] = SMALL) -> bytes:
    data = bytearray(chance.choice(files))
    for _ in range(chance.choice([1, 1, 2, 5, 20])):
        if not data:
            break
        at = chance.randrange(len(data))
        what = chance.randrange(7)
        if what == 0:
            data[at] = chance.randrange(256)
        elif what == 1:
            del data[at : at + chance.randrange(1, 40)]
        elif what == 2:
            data[at:at] = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 9)))
        elif what == 3:
            lines = bytes(data).split(b"\n")
            lines[chance.randrange(len(lines))] = chance.choice(NUMBERS)
            data = bytearray(b"\n".join(lines))
        elif what == 4:
            lines = bytes(data).split(b"\n")
            start, copy = chance.randrange(len(lines)), chance.randrange(len(lines))
            lines[start:start] = lines[copy : copy + chance.randrange(1, 30)]
            data = bytearray(b"\n".join(lines))
        elif what == 5:
            data = data[:at]
        else:
            data[at:at] = data[at : at + 100]
    return bytes(data)


def look(data: bytes, unit: str | None) -> str:
    """Everything that the two commands do; the verdict, or the words with which they refuse."""
    try:
        found = inspect(data)
        json.dumps(inspect_data(found, "x"), allow_nan=False)
        assert found.verdict.upper() in inspect_text(found, "x")
        assert picture_svg(found, "x").startswith(b"<?xml")
        result = mend(data, unit, drop=EVERYTHING)
        if not result.refused and result.changes:
            assert inspect(mended_dxf(result, "x", 0.05)).verdict in ("ready", "look")
            return "mended"
    except GasketError as error:
        assert "Traceback" not in str(error)
        return "refused"
    return found.verdict


@pytest.mark.parametrize("seed", range(4))
def test_mutations(seed):
    chance = random.Random(seed)
    seen = {look(mutated(chance), chance.choice([None, "mm", "in"])) for _ in range(80)}

    assert {"ask", "mended", "refused"} <= seen


@pytest.mark.slow
def test_thousands_of_mutations():
    chance = random.Random(99)
    slowest = 0.0
    for _ in range(3_000):
        data, start = mutated(chance), time.perf_counter()
        look(data, chance.choice([None, "mm", "in"]))
        slowest = max(slowest, time.perf_counter() - start)

    assert slowest < 30.0  # a hang, not a speed: 5 s were asked for, and the machine may be busy
