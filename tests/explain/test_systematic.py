"""Bias and scatter of a technique, as the engine shows them."""

import numpy as np
import pytest

from sim import Instrument, Subject, Technique, breakdown, measure
from sim.explain.systematic import corrected, effects, people_like, systematic
from sim.fields import FieldError
from sim.parameters import HYDROSTATIC_MMHG_PER_CM
from sim.setup import Setup

PERSON = Subject(sbp=130, dbp=80)
RIGHT = Instrument(bladder="13.5x26")


def rng(seed=1):
    return np.random.default_rng(seed)


def test_correct_technique_leaves_the_algorithm_and_nothing_else():
    found = systematic(PERSON, Technique(), RIGHT, rng=rng(), n=24)
    assert (found.sbp, found.dbp) == (found.algorithm_sbp, found.algorithm_dbp)
    assert (found.person_sbp, found.person_dbp, found.extra_sbp, found.extra_dbp) == (0, 0, 0, 0)


def test_a_low_arm_is_a_bias_and_no_scatter():
    """10 cm of blood: 7.8 mmHg by hydrostatics, the same in every reading."""
    found = systematic(PERSON, Technique(cuff_below_heart_cm=10), RIGHT, rng=rng(), n=24)
    for name in ("sbp", "dbp"):
        added = getattr(found, name) - getattr(found, f"algorithm_{name}")
        assert added == pytest.approx(10 * HYDROSTATIC_MMHG_PER_CM, abs=0.6)
        assert getattr(found, f"person_{name}") < 0.3
    assert found.extra_sbp < 2


def test_how_people_respond_is_theirs_and_no_scatter_of_readings():
    """Conversation: 5.3/6.2 with 3.7/3.2 between people in the table of responses."""
    found = systematic(PERSON, Technique(talking="conversation"), RIGHT, rng=rng(), n=60)
    assert found.sbp - found.algorithm_sbp == pytest.approx(5.3, abs=1.6)
    assert found.person_sbp == pytest.approx(3.7, rel=0.3)
    assert found.person_dbp == pytest.approx(3.2, rel=0.3)


def test_effects_of_single_mistakes_are_those_of_the_breakdown():
    """One mistake alone: its effect is the step from correct technique, in a breakdown as here."""
    technique = Technique(cuff_below_heart_cm=6, legs="knees")
    device = RIGHT.replace(start_mmhg=200, end_mmhg=25)  # the same fall in both
    (sbp, dbp), _ = effects(PERSON, technique, device, rng(), [["cuff_below_heart_cm"], None])
    alone = breakdown(PERSON, Technique(cuff_below_heart_cm=6), device, ideal=True)
    height = next(c for c in alone.contributions if c.field == "cuff_below_heart_cm")
    assert sbp == pytest.approx(height.sbp, abs=0.05)
    assert dbp == pytest.approx(height.dbp, abs=0.05)


def test_corrected_puts_everything_right_but_what_is_kept():
    wrong = Setup(PERSON, Technique(cuff_below_heart_cm=6, legs="knees"), Instrument(bladder="18x36")).spread(2)
    _, technique, instrument = corrected(wrong, keep=["legs"])
    assert (technique.cuff_below_heart_cm == 0).all()
    assert (technique.legs == "knees").all()
    assert (instrument.bladder != "18x36").all()


def test_people_like_someone_share_pressure_and_arm_only():
    group = people_like(PERSON, 50, rng())
    assert (group.sbp == 130).all()
    assert (group.arm_circumference_cm == PERSON.arm_circumference_cm).all()
    assert len(np.unique(group.artery_b_mmhg)) == 50


def test_readings_of_a_technique_that_gives_none_are_named():
    with pytest.raises(FieldError, match="technique = no reading in most people"):
        systematic(PERSON, Technique(movement_mmhg=20), RIGHT, rng=rng(), n=12)


def test_the_mean_of_many_readings_comes_to_the_bias():
    """The engine's own readings, noise and breathing included, average to what is called systematic."""
    technique = Technique(cuff_below_heart_cm=10)
    found = systematic(PERSON, technique, RIGHT, rng=rng(), n=40)
    many = measure(PERSON, technique, RIGHT, rng=rng(9), n=80).bias
    assert np.nanmean(many.sbp) == pytest.approx(found.sbp, abs=4 * many.sbp.std() / 80**0.5 + 0.3)
