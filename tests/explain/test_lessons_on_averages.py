"""What the lessons on averages and categories say of the simulation and of the page of averages, held against them.

Each test names the sentence that would be untrue if it failed.
"""

import numpy as np
import pytest

from sim.explain.averaging import Law, mean_error
from sim.explain.choosing import dropped
from sim.explain.population import effect, population, published
from sim.explain.probabilities import category_chances, given_one_reading
from sim.explain.schedules import Schedule, schedule
from sim.explain.variation import usual
from tests.teach.bench import LESSONS, readings
from tests.teach.bench import effect as lever_effect

WEEK, LINE = LESSONS["20-a-week-at-home"], LESSONS["21-either-side-of-a-line"]


def test_week_the_arm_in_the_lap_adds_about_nine_and_readings_scatter_around_that():
    """'About 9 too high'; 'they scatter, but not around 131.'"""
    assert lever_effect(WEEK, cuff_below_heart_cm=12)[0] == pytest.approx(9, abs=0.8)
    found = readings(WEEK, 40, 3, cuff_below_heart_cm=12).reading.sbp
    assert found.mean() > 131 + 5
    assert found.std() > 1


def test_week_more_days_help_more_than_more_readings_in_one_morning():
    """'more days help more than more readings in one morning'; twelve on three days against twelve in one morning."""
    one_morning, three_days = (
        mean_error(s, usual("home"), over="weeks").sd_sbp for s in (Schedule(1, 1, 10), Schedule(3))
    )
    assert three_days < one_morning
    assert mean_error(schedule("home-3-days"), usual("home"), over="weeks").sd_sbp < three_days


def test_week_leaving_out_the_first_day_buys_little_and_costs_precision():
    """'It makes it less precise'; 'A little less of what first days are too high by'; 'Both are small.'"""
    found = dropped(schedule("home-week-drop"))
    assert 0 < found.less_bias < 1
    assert 0 < found.more_sd < 1


def test_week_one_odd_reading_in_28_moves_the_mean_by_little():
    """'One in 28 moves the mean by little.'"""
    assert (168 - 132) / 28 < 1.5


def test_line_new_readings_fall_on_both_sides():
    """'they fall on both sides of 130, although the resting pressure does not change.'"""
    result = readings(LINE, 40, 5)
    assert (result.reading.sbp < 129.5).sum() >= 5
    assert (result.reading.sbp >= 129.5).sum() >= 5
    assert len(np.unique(result.truth.resting.sbp)) == 1


def test_line_131_says_roughly_where():
    """'with 131, a resting pressure of 170 is most unlikely.'"""
    known = given_one_reading(131, 78)
    assert known.interval(0.99)[1] < 170
    assert max(c.probability for c in category_chances(known, "acc-aha-2017")) < 0.6


def test_line_a_coefficient_of_8_6_percent_is_11_at_130():
    """'at 130 that is 11 mmHg.'"""
    assert usual("office", 130, 78).sbp.total == pytest.approx(11, abs=0.5)


def test_line_a_survey_comes_to_between_two_thirds_and_three_quarters_of_the_published_millions():
    jones = published()["jones-2003"]
    sbp, dbp = population("us-2017").draw(200_000, np.random.default_rng(6))
    for shift, share, million in ((5.0, "wrongly", 27), (-5.0, "missed", 21)):
        found = effect(sbp, dbp, shift, shift, Law(0, 0, 0, 0), (140, 90), np.random.default_rng(7)).bias
        ratio = getattr(found, share).value * jones["adults_million"] / million
        assert 0.65 < ratio < 0.78
