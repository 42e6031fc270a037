"""The law of a mean: normal theory, and the simulation of the same readings."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chi2, norm

from sim.explain.averaging import NONE, Law, Systematic, error_of, mean_error, reading_error, simulate
from sim.explain.schedules import Layout, Schedule, schedules
from sim.explain.variation import Spread, Variation, usual
from sim.fields import FieldError

READINGS_ONLY = Variation("home", Spread(0, 0, 0, 6), Spread(0, 0, 0, 4), 0.6, 0.1)
WRONG = Systematic(sbp=7.5, dbp=4, person_sbp=3, person_dbp=2, extra_sbp=2, extra_dbp=1)
PEOPLE = 4000


@pytest.mark.parametrize("n", [1, 2, 4, 9])
def test_mean_of_n_readings_has_the_standard_error_of_the_textbook(n):
    law = mean_error(Schedule(1, 1, n), READINGS_ONLY)
    assert (law.sbp, law.sd_sbp, law.sd_dbp) == pytest.approx((0, 6 / sqrt(n), 4 / sqrt(n)))


def test_readings_of_one_day_share_that_day():
    """s^2 / k for k days, whatever the number of readings a day: the textbook's cluster sampling."""
    days_only = Variation("home", Spread(0, 5, 0, 0), Spread(0, 5, 0, 0), 0.6, 0.1)
    for readings in (1, 5):
        assert mean_error(Schedule(4, 2, readings), days_only).sd_sbp == pytest.approx(2.5)


@pytest.mark.parametrize("name", schedules())
@pytest.mark.parametrize("over", ["months", "weeks"])
def test_the_simulation_agrees_with_the_closed_form(name, over):
    plan = schedules()[name]
    law = mean_error(plan, usual(plan.place), WRONG, over=over, people=True)
    drawn = simulate(
        plan, usual(plan.place), WRONG, rng=np.random.default_rng(5), people=PEOPLE, over=over, differ=True
    )
    for pressure in ("sbp", "dbp"):
        means, sd = drawn.mean(pressure), getattr(law, f"sd_{pressure}")
        assert abs(means.mean() - getattr(law, pressure)) < 4 * sd / sqrt(PEOPLE)
        low, high = chi2.ppf([1e-5, 1 - 1e-5], PEOPLE - 1) / (PEOPLE - 1)
        assert low < means.var(ddof=1) / sd**2 < high
        within = law.within(5, pressure)
        assert abs((np.abs(means) <= 5).mean() - within) < 4 * sqrt(within * (1 - within) / PEOPLE)
    found = np.arctanh(np.corrcoef(drawn.mean("sbp"), drawn.mean("dbp"))[0, 1])
    assert abs(found - np.arctanh(law.correlation)) < 4 / sqrt(PEOPLE - 3)


@settings(deadline=None)
@given(st.integers(1, 30), st.integers(1, 3), st.integers(1, 4), st.floats(-30, 30))
def test_a_bias_stays_however_often_it_is_repeated(days, sessions, readings, bias):
    plan = Schedule(days, sessions, readings)
    with_, without = (mean_error(plan, usual("home"), s) for s in (Systematic(sbp=bias), NONE))
    assert with_.sbp - without.sbp == pytest.approx(bias)
    assert with_.sd_sbp == without.sd_sbp


@settings(deadline=None)
@given(st.integers(1, 20), st.integers(1, 3), st.integers(1, 3))
def test_more_days_scatter_less_and_never_less_than_the_period(days, sessions, readings):
    few, more = (mean_error(Schedule(d, sessions, readings), usual("home")) for d in (days, days + 1))
    assert usual("home").sbp.period < more.sd_sbp < few.sd_sbp


@settings(deadline=None)
@given(st.permutations(range(28)))
def test_the_order_of_readings_does_not_matter(order):
    layout = Schedule(7, 2, 2, drop_days=1).layout()
    order = np.array(order)
    mixed = Layout(layout.day[order], layout.session[order], layout.number[order], layout.kept[order])
    one, other = (error_of(each, usual("home")) for each in (layout, mixed))
    assert (one.sbp, one.sd_sbp, one.correlation) == pytest.approx((other.sbp, other.sd_sbp, other.correlation))


def test_probability_and_interval_are_those_of_the_normal_law():
    law = Law(2, 0, 4, 0)
    assert law.within(5) == pytest.approx(norm.cdf(0.75) - norm.cdf(-1.75))
    assert law.interval(0.95) == pytest.approx((2 - 1.959964 * 4, 2 + 1.959964 * 4))
    assert law.within(0, "dbp") == 1
    assert law.rms() == pytest.approx(sqrt(20))


def test_first_readings_and_first_days_are_in_the_mean_as_long_as_they_count():
    spread = Spread(0, 0, 0, 3, first_readings=(4, 2), first_day=6)
    variation = Variation("home", spread, spread, 0.6, 0.1)
    assert mean_error(Schedule(1, 1, 4), variation).sbp == pytest.approx((4 + 2) / 4 + 6)
    assert mean_error(Schedule(3, 1, 4), variation).sbp == pytest.approx(1.5 + 2)
    assert mean_error(Schedule(3, 1, 4, drop_days=1, drop_readings=1), variation).sbp == pytest.approx(2 / 3)
    assert reading_error(variation).sbp == 10


def test_the_fan_narrows_around_the_wrong_value():
    """Running means of people measured with a bias: their scatter falls, their centre stays."""
    variation = replace(READINGS_ONLY, place="office")
    plan = Schedule(25, place="office")
    drawn = simulate(plan, variation, Systematic(sbp=8), usual_sbp=120.0, rng=np.random.default_rng(2), people=PEOPLE)
    running = drawn.running()
    for n in (1, 4, 25):
        assert running[:, n - 1].std() == pytest.approx(6 / sqrt(n), rel=0.05)
        assert abs(running[:, n - 1].mean() - 128) < 4 * 6 / sqrt(n * PEOPLE)


def test_each_person_may_have_their_own_pressure():
    level = np.array([100.0, 150.0])
    drawn = simulate(Schedule(40), READINGS_ONLY, usual_sbp=level, rng=np.random.default_rng(3), people=2)
    assert drawn.sbp.shape == (2, 40)
    assert np.abs(drawn.mean() - level).max() < 4


def test_same_seed_same_readings():
    drawn = [simulate(Schedule(3), READINGS_ONLY, rng=np.random.default_rng(1), people=5).sbp for _ in range(2)]
    assert (drawn[0] == drawn[1]).all()


def test_what_does_not_go_together_is_named():
    with pytest.raises(FieldError, match="place = 'home': must be office, where the schedule is kept"):
        mean_error(Schedule(1, place="office"), usual("home"))
    with pytest.raises(FieldError, match="over = 'years': must be one of months, weeks"):
        mean_error(Schedule(1), usual("home"), over="years")
    with pytest.raises(FieldError, match="people = 0: must be 1 or more"):
        simulate(Schedule(1), usual("home"), rng=np.random.default_rng(1), people=0)
    nothing = Layout(np.zeros(1, int), np.zeros(1, int), np.ones(1, int), np.zeros(1, bool))
    with pytest.raises(FieldError, match="readings = 0: must be at least one that counts"):
        error_of(nothing, usual("home"))
