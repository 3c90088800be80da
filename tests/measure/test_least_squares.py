"""Gauss-Newton against sums with a closed form."""

import numpy as np
import pytest

from gasketcut.measure.least_squares import slopes_of, solved


def test_a_weighted_mean_and_its_variance():
    # Closed form: sum(x / s^2) / sum(1 / s^2), and 1 / sum(1 / s^2).
    read, sigma = np.array([10.02, 9.97, 10.11]), np.array([0.01, 0.02, 0.1])
    found = solved(lambda one: (one[0] - read) / sigma, np.zeros(1), steps=3)

    weights = 1 / sigma**2
    assert found.numbers[0] == pytest.approx(weights @ read / weights.sum(), abs=1e-9)
    assert found.covariance[0, 0] == pytest.approx(1 / weights.sum(), rel=1e-6)
    assert abs(found.step[0]) < 1e-9


def test_a_straight_line_with_the_known_slopes():
    # y = 2 + 3 x, and the covariance of a fit by least squares: (A^T A)^-1.
    x = np.linspace(-1, 4, 6)
    matrix = np.column_stack([np.ones(6), x])
    found = solved(lambda one: matrix @ one - (2 + 3 * x), np.zeros(2), steps=1, slopes=lambda _: matrix)

    assert found.numbers == pytest.approx([2, 3], abs=1e-12)
    assert found.covariance == pytest.approx(np.linalg.inv(matrix.T @ matrix), rel=1e-12)


def test_slopes_by_differences_are_those_of_the_formula():
    found = slopes_of(lambda one: np.array([one[0] ** 2, one[0] * one[1], np.sin(one[1])]), np.array([300.0, 0.5]))
    assert found == pytest.approx(np.array([[600.0, 0.0], [0.5, 300.0], [0.0, np.cos(0.5)]]), rel=1e-5, abs=1e-6)


def test_a_number_that_nothing_depends_on_stays_where_it_is():
    found = solved(lambda one: np.array([one[0] - 1.0]), np.array([0.0, 7.0]), steps=2)
    assert found.numbers == pytest.approx([1.0, 7.0], abs=1e-9)
