"""The batch of small fits against scipy's, one by one."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from sim.estimate.least_squares import minimise, standard_errors

X = np.linspace(0, 4, 25)
LOW, HIGH = np.array([0.1, 0.1, -1.0]), np.array([10.0, 1.5, 1.0])


def decay(parameters):
    """Height, rate, floor: (n, 3) to values (n, m) and derivatives (n, m, 3)."""
    height, rate, floor = (parameters[:, k : k + 1] for k in range(3))
    fading = np.exp(-rate * X)
    slopes = np.stack([fading, -height * X * fading, np.ones_like(fading)], axis=2)
    return height * fading + floor, slopes


def problems(n=40):
    rng = np.random.default_rng(8)
    # Rates up to 2.5, while 1.5 is the bound: some of the fits stand on it.
    true = np.column_stack([rng.uniform(1, 6, n), rng.uniform(0.3, 2.5, n), rng.uniform(-0.5, 0.5, n)])
    return decay(true)[0] + 0.05 * rng.standard_normal((n, len(X)))


def batch(data):
    def residual(parameters, rows):
        values, slopes = decay(parameters)
        return values - data[rows], slopes

    start = np.tile([2.0, 1.0, 0.0], (len(data), 1))
    return minimise(residual, start, LOW, HIGH, np.full(3, 1e-8), most_steps=200)


def test_each_fit_is_the_one_that_scipy_finds():
    data = problems()
    found, _ = batch(data)
    on_bound = 0
    for row in range(len(data)):
        one = least_squares(
            lambda p, row=row: decay(p[None])[0][0] - data[row],
            [2.0, 1.0, 0.0],
            bounds=(LOW, HIGH),
            xtol=1e-12,
            ftol=1e-12,
        )
        assert found[row] == pytest.approx(one.x, abs=2e-4)
        on_bound += found[row, 1] == HIGH[1]
    assert on_bound > 5


def test_a_fit_does_not_depend_on_the_others():
    data = problems()
    together, _ = batch(data)
    for row in range(0, len(data), 7):
        assert (batch(data[row : row + 1])[0] == together[row]).all()


def test_standard_errors_are_those_of_the_scatter_over_repeated_data():
    rng = np.random.default_rng(9)
    true = np.tile([3.0, 0.8, 0.2], (800, 1))
    data = decay(true)[0] + 0.05 * rng.standard_normal((800, len(X)))
    found, normal = batch(data)
    told = standard_errors(normal / 0.05**2, found, LOW, HIGH)
    assert told.mean(axis=0) == pytest.approx(found.std(axis=0), rel=0.08)


def test_a_parameter_whose_bounds_are_equal_stays():
    data = problems(3)

    def residual(parameters, rows):
        values, slopes = decay(parameters)
        return values - data[rows], slopes

    low, high = LOW.copy(), HIGH.copy()
    low[2] = high[2] = 0.0
    found, normal = minimise(residual, np.tile([2.0, 1.0, 0.5], (3, 1)), low, high, np.full(3, 1e-8))
    assert (found[:, 2] == 0).all()
    assert (standard_errors(normal, found, low, high)[:, 2] == 0).all()
