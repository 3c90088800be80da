"""Where each key stands and where its value begins and ends, held against what the TOML reader makes of that piece."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gasketcut.profile.own import shipped
from gasketcut.toml.places import key_places

DEMO = shipped("demo").read_text(encoding="utf-8")
LAYOUT = """# first
title = "a = b"   # '
"quoted key" = 'it'
[engine]
\tbore = 44.0
stroke=34
ports.exhaust = { opens = "103 deg", at = [ 0, -11.5 ],area=3}
list = [
  [1, 2],   # ]
  "x", 3 ,
]
long = \"\"\"
one " two
\"\"\"

[[part]]
name = "a"
[[part.port]]
at = [1,
 2]
[[part]]
name = "b"
[a.b.c]
d = 1979-05-27 # a date
"""


def values(data, path=()):
    yield path, data
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in inner:
        yield from values(value, (*path, key))


@pytest.mark.parametrize(
    "text", [DEMO, LAYOUT, LAYOUT.replace("\n", "\r\n"), "a = 1"], ids=["demo", "layout", "crlf", "a"]
)
def test_every_value_is_where_its_place_says(text):
    places = key_places(text)
    found = {path: value for path, value in values(tomllib.loads(text)) if path}

    assert set(places) == set(found)
    for path, value in found.items():
        place = places[path]
        written = text[place.start : place.end]
        if not text[text.rfind("\n", 0, place.start) + 1 :].startswith("["):  # not the header of a table
            holds = written if not isinstance(value, dict) or written.startswith("{") else None
            assert holds is None or tomllib.loads(f"x = {written}")["x"] == value, path
        before = text[: place.start]
        assert (place.line, place.column) == (before.count("\n") + 1, len(before) - before.rfind("\n"))


def test_a_key_has_a_place_of_its_own():
    places = key_places(LAYOUT)

    assert (places["engine", "bore"].key_column, places["engine", "bore"].column) == (2, 9)
    assert (places["engine", "stroke"].key_column, places["engine", "stroke"].column) == (1, 8)
    assert places["engine", "ports", "exhaust", "at", 1].line == 7
    assert places["part", 1].line == 21


@given(st.lists(st.floats(-1e6, 1e6), min_size=1), st.integers(0, 5), st.booleans())
def test_an_element_is_where_it_was_put(numbers, blanks, broken):
    between = ",\n" if broken else "," + " " * blanks
    text = f"{'#' * blanks}\nkey = [{between.join(map(repr, numbers))}]\n"
    places = key_places(text)

    assert [text[places["key", at].start : places["key", at].end] for at in range(len(numbers))] == list(
        map(repr, numbers)
    )
