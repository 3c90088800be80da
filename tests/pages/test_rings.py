"""The rings of the ports: no name lies on an arc, no word on another, whatever the number of ports and of stages."""

from itertools import combinations

import pytest
from shapely import LineString, box

from gasketcut import evaluate, parse_job
from gasketcut.output.picture import Stroke, Words
from gasketcut.pages.charts.rings import timing_diagram
from gasketcut.pages.columns import wide
from tests.engine.test_one_after import ENGINE, WORK

TALL = 0.73 / 72 * 25.4  # mm of a capital for each point of the type


def drawn(ports: int, work: str):
    more = "".join(f'port{one} = {{ kind = "transfer", opens = "{118 + one} deg" }}\n' for one in range(ports - 3))
    answer = evaluate(parse_job(ENGINE.replace("intake =", f"{more}intake =") + work)).squish
    assert answer is not None
    return timing_diagram(answer)


def boxes(picture):
    """The room that each text takes, from its base line up."""
    for one in (mark for mark in picture.marks if isinstance(mark, Words)):
        width = wide(one.text, one.size, bold=one.bold)
        left = one.at[0] - {"start": 0.0, "middle": width / 2, "end": width}[one.anchor]
        yield one.text, box(left, one.at[1], left + width, one.at[1] + TALL * one.size)


@pytest.mark.parametrize("work", ["", WORK], ids=["gasket", "work too"])
@pytest.mark.parametrize("ports", [3, 4, 5, 6, 7])
def test_nothing_lies_on_anything_else(ports, work):
    picture = drawn(ports, work)
    words = list(boxes(picture))
    lines = [LineString(one.points).buffer(one.width / 2) for one in picture.marks if isinstance(one, Stroke)]

    assert [said for said, room in words if any(room.intersects(line) for line in lines)] == []
    assert [(one[0], other[0]) for one, other in combinations(words, 2) if one[1].intersects(other[1])] == []
    assert all(box(0, 0, picture.width, picture.height).contains(room) for _, room in words)
