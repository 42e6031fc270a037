"""Agreement with several readings of each person, against the examples of the papers that the methods come from."""

import dataclasses

import numpy as np
import pytest
from scipy import stats

from sim.fields import FieldError
from sim.study.agreement import score
from sim.study.bland_altman import ALL_ALIKE, CONSTANT, SINGLE, VARYING, all_alike, bland_altman, replicated
from sim.study.compare import compare
from sim.study.components import components
from sim.study.intervals import share
from sim.study.origin import Origin
from sim.study.readings import Readings
from sim.study.tables import comparison_table, tables
from tests.study.cardiac_output import IC, RV, SUBJECT
from tests.study.test_agreement import table

# What Zou's intervals are held to: the first four people, whose figures a test of an R package for agreement gives as
# "examples from Zou" (SimplyAgree, its tests of agree_nest and agree_reps; the paper itself was not seen).
FOUR = SUBJECT <= 4


def test_the_example_where_the_true_value_varies():
    """Bland and Altman 2007: bias 0.6021667, SD 0.99062408, limits -1.3394565 and 2.5437899."""
    parts = components(RV - IC, SUBJECT)
    assert (parts.mean, parts.total) == pytest.approx((0.6021667, 0.99062408), abs=1e-7)
    assert all_alike(parts) == pytest.approx((0.6021667, -1.3394565, 2.5437899), abs=1e-6)


def test_the_example_where_the_true_value_is_constant():
    """Bland and Altman 1999: within-person variances 0.1072 and 0.1379, bias 0.7092, SD 1.0517, limits -1.3521 and
    2.7705: rounded on the way, which leaves 0.0004."""
    found = replicated(RV, SUBJECT, IC, SUBJECT)
    assert found.method == CONSTANT
    assert components(RV, SUBJECT).within ** 2 == pytest.approx(0.1072, abs=5e-5)
    assert components(IC, SUBJECT).within ** 2 == pytest.approx(0.1379, abs=5e-5)
    assert (found.bias.value, found.sd.value) == pytest.approx((0.7092, 1.0517), abs=4e-4)
    assert (found.lower.value, found.upper.value) == pytest.approx((-1.3521, 2.7705), abs=4e-4)


def test_intervals_where_the_true_value_varies():
    found = bland_altman((RV - IC)[FOUR], SUBJECT[FOUR])
    assert found.method == VARYING
    assert found.bias.value == pytest.approx(0.7255, abs=5e-5)
    assert dataclasses.astuple(found.lower) == pytest.approx((-2.14, -9.83, -0.33), abs=0.006)
    assert dataclasses.astuple(found.upper) == pytest.approx((3.59, 1.77, 11.27), abs=0.011)


def test_intervals_where_the_true_value_is_constant():
    """Two of the second method's readings are missing there."""
    there = np.flatnonzero(FOUR)[~np.isin(np.arange(FOUR.sum()), (4, 8))]
    found = replicated(RV[FOUR], SUBJECT[FOUR], IC[there], SUBJECT[there])
    assert dataclasses.astuple(found.lower) == pytest.approx((-2.23, -9.76, -0.48), abs=0.01)
    assert dataclasses.astuple(found.upper) == pytest.approx((3.66, 1.91, 11.20), abs=0.01)


def test_a_truth_known_without_error_makes_both_methods_one():
    """One true value a person, without scatter: unpaired readings then say what pairs say."""
    rng = np.random.default_rng(8)
    who = np.repeat(np.arange(20), rng.integers(1, 5, 20))
    truth = rng.normal(120, 10, 20)
    read = truth[who] + rng.normal(0, 4, 20)[who] + rng.normal(0, 3, len(who))
    constant, pairs = replicated(read, who, truth, np.arange(20)), bland_altman(read - truth[who], who)
    for name in ("bias", "sd", "lower", "upper"):
        ours, theirs = (dataclasses.astuple(getattr(found, name)) for found in (constant, pairs))
        assert ours == pytest.approx(theirs)


def test_readings_of_other_people_are_refused():
    with pytest.raises(FieldError, match="second_subject = 3 people: must be the same people"):
        replicated(RV[FOUR], SUBJECT[FOUR], IC[:15], SUBJECT[:15])


def _some_lost(lost):
    rng = np.random.default_rng(3)
    reason = np.full((40, 3), "", dtype="<U20")
    reason[:lost, 2] = "too weak"
    return table(rng.normal(0, 4, (40, 1)) + rng.normal(0, 3, (40, 3)), reason=reason)


@pytest.mark.parametrize(
    ("lost", "against", "method", "older"),
    [(0, "at_measurement", VARYING, False), (6, "at_measurement", VARYING, True), (6, "resting", CONSTANT, False)],
)
def test_every_table_names_its_method(lost, against, method, older):
    """The method of 2007 stands beside where people have different numbers of readings: it finds something else."""
    found = score(_some_lost(lost), Origin(1), against=against)
    (limits,) = [t for t in tables(found) if t.title.startswith("Bland-Altman")]
    assert method in limits.note
    names = [row[0] for row in limits.rows]
    assert ("bias; limits, where every reading weighs the same" in names) is older
    assert (ALL_ALIKE in limits.note) is older
    assert found.sbp.spread.readings == 120 - lost  # the layers of the same readings, not of the complete people


def test_one_reading_each_is_named_so():
    one = score(table(np.random.default_rng(3).normal(0, 4, (40, 1))), Origin(1), against="resting")
    assert one.sbp.agreement.method == SINGLE


def test_readings_of_one_person_count_less_than_those_of_many():
    """The 24 lost readings of 8 people: three times as wide as those of 24 people would be, squared."""
    people = np.repeat(np.arange(100), 3)
    together, apart = np.isin(people, range(8)), np.arange(300) % 12 == 0
    clustered, spread = share(together, people), share(apart, np.arange(300))
    assert clustered.value == pytest.approx(0.08)
    assert (clustered.high - clustered.low) / (spread.high - spread.low) == pytest.approx(np.sqrt(3), rel=0.06)


def _two(n, k, rng):
    people = rng.normal(0, 4, (n, 1))
    return people + 1 + rng.normal(0, 4, (n, k)), 0.8 * people + rng.normal(0, 3, (n, k))


@pytest.fixture(scope="module")
def paired():
    a, b = _two(85, 3, np.random.default_rng(21))
    tables_ = [table(a, name="a"), table(b, name="b")]
    both = Readings({k: np.concatenate([t[k] for t in tables_]) for k in tables_[0]})
    return a, b, compare(both, "a", "b", Origin(1))


def test_a_comparison_is_that_of_a_bootstrap_over_people(paired):
    """scipy.stats.bootstrap (BCa) draws people with all their readings: bias, SDs, shares within 5 mmHg."""
    a, b, found = paired
    wanted = {
        "mean_error": lambda x, y: x.mean((-2, -1)) - y.mean((-2, -1)),
        "mean_absolute": lambda x, y: np.abs(x).mean((-2, -1)) - np.abs(y).mean((-2, -1)),
        "sd_apart": lambda x, y: x.std((-2, -1)) - y.std((-2, -1)),
        "sd": lambda x, y: x.std((-2, -1)) / y.std((-2, -1)),
        "within": lambda x, y: (np.abs(x) <= 5).mean((-2, -1)) - (np.abs(y) <= 5).mean((-2, -1)),
    }
    for name, statistic in wanted.items():
        ours = getattr(found.sbp, name)
        drawn = stats.bootstrap(
            (np.arange(85),),
            lambda rows, axis, s=statistic: s(a[rows], b[rows]),
            n_resamples=1500,
            batch=500,
            random_state=np.random.default_rng(5),  # as older versions call it, too
        ).confidence_interval
        width = drawn.high - drawn.low
        assert ours.value == pytest.approx(statistic(a, b)), name
        # An end of 1500 draws is itself uncertain by some 3 % of the width.
        assert (ours.low, ours.high) == pytest.approx((drawn.low, drawn.high), abs=0.1 * width), name


def test_the_comparison_table_has_bias_spread_and_share(paired):
    rows = {row[0]: row[1:] for row in comparison_table(paired[2]).rows}
    assert rows["SD of errors, first minus second, mmHg"][0].startswith("+")
    assert rows["within 5 mmHg, first minus second, % of recordings"][0].startswith("−")
