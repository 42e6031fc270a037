"""Readings of the same arm: what stays the same from one to the next, and what does not."""

import numpy as np
import pytest

from sim import Instrument, Subject, Technique
from sim.body.responses import responses
from sim.explain.same_arm import READINGS, SameArm, same_arm
from sim.setup import Setup

RIGHT = Instrument(bladder="13.5x26")
PERSON = Subject(sbp=132, dbp=80)


def made(seed=1, **technique) -> SameArm:
    return same_arm(Setup(PERSON, Technique(**technique), RIGHT), seed)


def test_the_person_responds_as_people_do_on_average_in_every_reading():
    """Ordinary talk 5.3/6.2: Zheng D, et al. 2012, DOI 10.1038/jhh.2011.53; its spread, 3.7/3.2, is told."""
    silent, talking = made(), made(talking="conversation")
    r = responses()["talking"]["conversation"]
    rise = talking.every.truth.at_measurement - silent.every.truth.at_measurement
    assert rise.sbp == pytest.approx(np.full(READINGS, r.sbp), abs=0.1)
    assert rise.dbp == pytest.approx(np.full(READINGS, r.dbp), abs=0.1)
    (part,) = [c for c in talking.mean.contributions if c.field == "talking"]
    assert part.spread is not None
    assert (part.spread[0][0], part.spread[1][0]) == pytest.approx((r.sd_sbp, r.sd_dbp))


def test_breathing_beats_noise_cloth_and_movement_differ_from_reading_to_reading():
    at_rest = made().every.reading.sbp
    assert np.unique(at_rest.round(3)).size == READINGS
    assert made(sleeve_mm=4).every.reading.sbp.std() > 1.5 * at_rest.std()
    assert np.nanstd(made(movement_mmhg=2).every.reading.dbp) > 1.2 * made().every.reading.dbp.std()


@pytest.mark.parametrize(
    "technique",
    [
        {},
        {"cuff_below_heart_cm": 9, "legs": "knees", "slack_cm": 3},
        {"sleeve_mm": 4, "sleeve_rolled_up": "yes", "movement_mmhg": 0.5, "talking": "conversation"},
    ],
)
def test_the_means_contributions_add_up_to_the_means_difference(technique):
    found = made(**technique)
    assert not found.mean.reason
    for name in ("sbp", "dbp"):
        total = sum(getattr(c, name)[0] for c in found.mean.contributions)
        shown = getattr(found.mean.result.reading, name)[0]
        ok = found.every.reading.ok
        assert shown == pytest.approx(getattr(found.every.reading, name)[ok].mean())
        assert total == pytest.approx(shown - getattr(PERSON, name), abs=1e-9)


def test_what_falls_out_differently_is_counted_with_its_mistake_and_not_as_chance():
    """The scatter that cloth adds belongs to the cloth: chance scatters as it does on the bare arm."""
    bare, thick = made().found.contributions[-1], made(sleeve_mm=4).found.contributions[-1]
    assert thick.sbp.std() == pytest.approx(bare.sbp.std(), rel=0.1)
    (cloth,) = [c for c in made(sleeve_mm=4).found.contributions if c.field == "sleeve_mm"]
    assert cloth.sbp.std() > 5


def test_readings_without_numbers_are_counted_and_left_out_of_the_mean():
    found = made(movement_mmhg=4)
    missing = int((~found.every.reading.ok).sum())
    assert 0 < missing == sum(found.refused.values()) == found.count - found.with_numbers
    assert np.isfinite(found.mean.result.reading.sbp[0])
    none = made(movement_mmhg=20)
    assert none.with_numbers == 0
    assert none.mean.result.reading.reason[0]
    assert none.mean.reason


def test_the_same_seed_gives_the_same_and_without_chance_there_is_one():
    assert (made(3).every.reading.sbp == made(3).every.reading.sbp).all()
    assert not (made(3).every.reading.sbp == made(4).every.reading.sbp).any()
    assert same_arm(Setup(PERSON, Technique(), RIGHT), 3, number=7, ideal=True).count == 1
