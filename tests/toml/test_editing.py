"""One value changed, added or taken out: the text means that, and every other byte is as it was."""

from __future__ import annotations

import copy
import datetime
import random
import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut.profile.own import shipped
from gasketcut.toml.editing import EditError, rewritten, with_value, without
from gasketcut.toml.rendered import key_text, value_text

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
DEMO = shipped("demo").read_text(encoding="utf-8")
JOBS = (DEMO, *re.findall(r"^```toml\n(.*?)^```", README, re.M | re.S))
MARK = "changed by this test"
VALUES = (*(0, 1, -2, 12.5, 1e-7, True, "M5", 'a "quoted" \\ text', "0.020 in"), datetime.date(1979, 5, 27), [1, 2], [])
QUICK = settings(max_examples=150, deadline=None)


def loaded(text):
    return tomllib.loads(text.removeprefix("\ufeff"))


def is_within(part, whole):
    """Do all letters of the part stand in the whole, in their order?"""
    letters = iter(whole)
    return all(letter in letters for letter in part)


def places(data, path=()):
    """Every way down to a key or an element."""
    for step, value in data.items() if isinstance(data, dict) else enumerate(data):
        yield (*path, step), value
        if isinstance(value, dict | list):
            yield from places(value, (*path, step))


def tables(data):
    return [((), data), *((path, value) for path, value in places(data) if isinstance(value, dict))]


def written_at_will(data, chance):
    """The same data in another hand: headers, dots or braces as chance has it."""
    rows, later = [], []
    _rows(data, [], "", chance, rows, later)
    return "\n".join((*rows, *later)) + "\n"


def _rows(table, names, before, chance, rows, later):
    for key, value in table.items():
        name = before + key_text(key)
        is_list = isinstance(value, list) and value and all(isinstance(one, dict) for one in value)
        how = chance.random()
        if isinstance(value, dict) and value and how < 0.3:
            _rows(value, names, f"{name}.", chance, rows, [] if before else later) if not _has_tables(value) else (
                rows.append(f"{name} = {value_text(value)}")
            )
        elif isinstance(value, dict) and how < 0.8 and not before:
            inner, after = [], []
            _rows(value, [*names, key], "", chance, inner, after)
            later += ["", f"[{'.'.join(map(key_text, [*names, key]))}]", *inner, *after]
        elif is_list and how < 0.8 and not before:
            for one in value:
                inner, after = [], []
                _rows(one, [*names, key], "", chance, inner, after)
                later += ["", f"[[{'.'.join(map(key_text, [*names, key]))}]]", *inner, *after]
        else:
            rows.append(f"{name} = {value_text(value)}")


def _has_tables(value):
    return any(isinstance(one, dict) or (isinstance(one, list) and one and isinstance(one[0], dict)) for one in value)


@st.composite
def texts(draw):
    """A job in some layout: as it stands, or in another hand; with remarks, blank lines, other line ends."""
    text = draw(st.sampled_from(JOBS))
    chance = random.Random(draw(st.integers(0, 10**6)))
    if draw(st.booleans()):
        text = written_at_will(loaded(text), chance)
    rows = []
    for row in text.split("\n"):
        if chance.random() < 0.15:
            rows.append(chance.choice(("", "# a remark = [", "   ", "\t# \"'''")))
        if row and chance.random() < 0.15:
            row = chance.choice((row + "   # said by hand", "  " + row, row + "  "))  # noqa: PLW2901
        rows.append(row)
    text = chance.choice(("\n", "\r\n")).join(rows)
    text = chance.choice((text, text.rstrip(), "\ufeff" + text))
    loaded(text)
    return text


@QUICK
@given(texts(), st.data())
def test_changing_a_value_leaves_every_other_byte(text, data):
    leaves = [path for path, value in places(loaded(text)) if not isinstance(value, dict | list)]
    path = data.draw(st.sampled_from(leaves))
    made = with_value(text, path, MARK)

    head, tail = made.split(f'"{MARK}"')
    old = text[len(head) : len(text) - len(tail)]
    before = loaded(text)
    assert text == head + old + tail
    value = before
    for step in path:
        value = value[step]
    assert tomllib.loads(f"x = {old}") == {"x": value}
    assert with_value(made, path, value) == head + value_text(value) + tail
    wanted = before
    for step in path[:-1]:
        wanted = wanted[step]
    wanted[path[-1]] = MARK
    assert loaded(made) == before


@QUICK
@given(texts(), st.data())
def test_the_same_value_changes_nothing(text, data):
    path, value = data.draw(st.sampled_from(list(places(loaded(text)))))
    assert with_value(text, path, value) == text


@QUICK
@given(texts(), st.sampled_from((*VALUES, {"width": 26}, {"a": {"b": 1}, "c": {}}, {}, [{"x": 1}])), st.data())
def test_adding_a_key_takes_nothing_away(text, value, data):
    path, table = data.draw(st.sampled_from(tables(loaded(text))))
    made = with_value(text, (*path, "not there yet"), value)

    wanted = copy.deepcopy(loaded(text))
    here = wanted
    for step in path:
        here = here[step]
    here["not there yet"] = value
    assert loaded(made) == wanted
    assert is_within(text, made)
    assert made.count("\r\n") == made.count("\n") or "\r" not in made
    assert made.endswith("\n") == text.endswith("\n") or text.count("\n") == 0
    assert made.startswith("\ufeff") == text.startswith("\ufeff")
    assert table is not None


@QUICK
@given(texts(), st.sampled_from(VALUES), st.data())
def test_an_element_more_takes_nothing_away(text, value, data):
    lists = [(path, one) for path, one in places(loaded(text)) if isinstance(one, list)]
    if not lists:
        return
    path, one = data.draw(st.sampled_from(lists))
    new = {"name": value, "shape": {"round": 3}} if one and isinstance(one[0], dict) else value
    made = with_value(text, (*path, len(one)), new)

    wanted = copy.deepcopy(loaded(text))
    here = wanted
    for step in path:
        here = here[step]
    here.append(new)
    assert loaded(made) == wanted
    assert is_within(text, made)


@QUICK
@given(texts(), st.data())
def test_taking_out_adds_nothing(text, data):
    path, _ = data.draw(st.sampled_from(list(places(loaded(text)))))
    made = without(text, path)

    wanted = loaded(text)
    here = wanted
    for step in path[:-1]:
        here = here[step]
    del here[path[-1]]
    assert loaded(made) == wanted
    if set(map(str, path)) and all(_holds_more(loaded(text), path[:end]) for end in range(1, len(path))):
        assert is_within(made, text)


def _holds_more(data, path):
    for step in path:
        data = data[step]
    return len(data) > 1


@QUICK
@given(texts(), st.sampled_from(JOBS))
def test_any_job_can_become_any_other(text, other):
    made = rewritten(text, loaded(other))
    assert loaded(made) == loaded(other)


HAND = """# my engine\r
\r
[engine]   # off the bench\r
bore   = 44.00\t# worn\r
ports.exhaust = { width = 26.0 }\r
\r
# the squish, read twice\r
[squish]\r
readings = [\r
  { at = "left", value = 0.91 },   # left\r
  { at = "right", value = 0.93 }   # right\r
]\r
[[part]]\r
name = "a"\r
[record]\r
date = 2024-05-01\r
[[part]]\r
name = "b"\r
"""


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [
        (("engine", "bore"), 43.97, "44.00\t#", "43.97\t#"),
        (("engine", "stroke"), 34, "26.0 }\r\n", "26.0 }\r\nstroke = 34\r\n"),
        (("engine", "ports", "exhaust", "height"), 11.0, "width = 26.0 }", "width = 26.0, height = 11.0 }"),
        (("engine", "ports", "intake"), {"width": 9}, "26.0 }\r\n", "26.0 }\r\nports.intake = { width = 9 }\r\n"),
        (("squish", "readings", 2), {"at": "rear"}, "0.93 }   # right\r\n",
         '0.93 },   # right\r\n  { at = "rear" }\r\n'),
        (("squish", "readings", 1, "value"), "0.037 in", "0.93", '"0.037 in"'),
        (("part", 0, "nick"), True, '"a"\r\n', '"a"\r\nnick = true\r\n'),
        (("part", 2), {"name": "c"}, 'name = "b"\r\n', 'name = "b"\r\n\r\n[[part]]\r\nname = "c"\r\n'),
        (("part", 1, "name"), "c", '"b"', '"c"'),
        (("title",), "Auger", "\r\n\r\n[engine]", '\r\n\r\ntitle = "Auger"\r\n\r\n[engine]'),
        (("record", "date"), "today", "2024-05-01", '"today"'),
    ],
)  # fmt: skip
def test_a_hand_written_text_is_gone_on_with_in_its_own_manner(path, value, old, new):
    assert HAND.count(old) == 1
    assert with_value(HAND, path, value) == HAND.replace(old, new)


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        (("engine", "bore"), "bore   = 44.00\t# worn\r\n", ""),
        (("squish", "readings", 0), '{ at = "left", value = 0.91 },   # left\r\n  ', ""),
        (("squish", "readings", 1), ',   # left\r\n  { at = "right", value = 0.93 } ', "   # left\r\n   "),
        (("squish", "readings", 1, "at"), 'at = "right", ', ""),
        (("part", 0), '[[part]]\r\nname = "a"\r\n', ""),
    ],
)
def test_what_goes_takes_only_its_own_row(path, old, new):
    assert HAND.count(old) == 1
    assert without(HAND, path) == HAND.replace(old, new)


@pytest.mark.parametrize("path", [("engine", "rod"), ("part", 5), ("engine", "bore", "x"), ("nothing", 0)])
def test_what_is_not_there_cannot_be_taken_out(path):
    with pytest.raises(EditError, match="is not there"):
        without(HAND, path)


def test_what_has_no_place_is_refused():
    for path in (("engine", "bore", "x"), ("part", 7), ("part", 2), ("engine", 0)):
        with pytest.raises(EditError):
            with_value(HAND, path, 1)
    with pytest.raises(EditError, match="no TOML"):
        with_value("a = = 1", ("a",), 1)
