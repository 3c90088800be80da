"""The longest run against asking for every end, and how many ends are asked for."""

from math import log2

from hypothesis import given
from hypothesis import strategies as st

from gasketcut.shape.longest_run import longest_run


@given(good=st.integers(0, 30), more=st.integers(0, 400), last=st.integers(0, 500))
def test_it_is_the_last_end_that_fits_and_few_are_asked_for(good, more, last):
    limit, asked = good + more, []

    def fits(end):
        asked.append(end)
        return end <= max(last, good)

    found = longest_run(good, limit, fits)

    assert found == min(max(last, good), limit)
    assert all(good < end <= limit for end in asked)
    assert len(set(asked)) == len(asked) <= 2 * log2(more + 2) + 2


def test_where_fitting_comes_and_goes_it_ends_on_one_that_fits():
    fits = {4, 8, 9, 10, 12, 13, 30}.__contains__
    found = longest_run(4, 40, fits)
    assert fits(found)
    assert not fits(found + 1)
