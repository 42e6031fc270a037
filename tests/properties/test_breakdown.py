"""The contributions of a breakdown add up to the reading less the resting pressure, exactly."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import Instrument, Subject, Technique, breakdown, measure
from tests.properties.strategies import instruments, people, seeds, techniques


@settings(max_examples=20)
@given(people(), techniques(), instruments(), seeds, st.integers(1, 3), st.booleans())
def test_contributions_add_up(subject, technique, instrument, seed, n, ideal):
    found = breakdown(subject, technique, instrument, rng=np.random.default_rng(seed), n=n, ideal=ideal)
    if found.reason:
        assert found.contributions == ()
        return
    bias = found.result.bias
    for part in ("sbp", "dbp"):
        total = sum(getattr(c, part) for c in found.contributions)
        np.testing.assert_allclose(total, getattr(bias, part), rtol=0, atol=1e-9)
    mean = found.mean()
    for part in ("sbp", "dbp"):
        total = sum(getattr(c, part) for c in mean.contributions)
        np.testing.assert_allclose(total, np.nanmean(getattr(bias, part)), rtol=0, atol=1e-9)


@settings(max_examples=8)
@given(people(), techniques(), seeds)
def test_its_readings_are_those_of_measure(subject, technique, seed):
    found = breakdown(subject, technique, rng=np.random.default_rng(seed), n=2).result.reading
    plain = measure(subject, technique, rng=np.random.default_rng(seed), n=2).reading
    np.testing.assert_array_equal(found.sbp, plain.sbp)
    np.testing.assert_array_equal(found.dbp, plain.dbp)


def test_eight_mistakes_at_once_add_up():
    """More mistakes than every order is counted for."""
    technique = Technique(
        cuff_below_heart_cm=8, slack_cm=2, cuff_turned_deg=60, sleeve_mm=2, talking="conversation", legs="knees"
    )
    instrument = Instrument(bladder="small adult", zero_error_mmhg=2)
    found = breakdown(Subject(arm_circumference_cm=32), technique, instrument, rng=np.random.default_rng(3), n=2)
    assert not found.reason
    assert len(found.contributions) == 8 + 2
    total = sum(c.sbp for c in found.contributions)
    np.testing.assert_allclose(total, found.result.bias.sbp, rtol=0, atol=1e-9)


def test_without_mistakes_and_chance_only_the_algorithm_is_left():
    found = breakdown(Subject(), ideal=True)
    nonzero = {c.kind for c in found.contributions if abs(c.sbp[0]) > 1e-9 or abs(c.dbp[0]) > 1e-9}
    assert nonzero == {"algorithm"}


def test_one_mistake_alone_is_the_difference_that_it_makes():
    technique = Technique(cuff_below_heart_cm=10)
    found = breakdown(Subject(), technique, ideal=True)
    (height,) = (c for c in found.contributions if c.field == "cuff_below_heart_cm")
    with_it, without = measure(Subject(), technique, ideal=True).reading, measure(Subject(), ideal=True).reading
    assert height.kind == "measuring error"
    assert height.sbp[0] == pytest.approx(with_it.sbp[0] - without.sbp[0], abs=1e-6)
