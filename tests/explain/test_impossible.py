"""A reading that cannot be right: the person first, the truth always possible, never a corrected number."""

import re

import numpy as np
import pytest

from sim import Instrument, Subject, Technique
from sim.explain.impossible import ALONE, ALWAYS, OPEN, OTHER_WAY, PART, REALLY, first_words, judge, words
from sim.fields import FieldError
from sim.parameters import HYDROSTATIC_MMHG_PER_CM

PERSON = Subject(arm_circumference_cm=29)
RIGHT = Instrument(bladder="adult")


def judged(display, expected, technique=None, instrument=RIGHT, people=16):
    return judge(
        display, expected, PERSON, technique or Technique(), instrument, rng=np.random.default_rng(1), people=people
    )


@pytest.mark.parametrize("display", [(118, 76), (165, 95), (185, 100), (150, 122), (84, 50)])
@pytest.mark.parametrize("expected", [None, (120, 78)])
def test_the_person_comes_first_and_the_truth_is_always_among_the_explanations(display, expected):
    found = judged(display, expected)
    assert found.first[0].startswith("How does the person feel?")
    assert "emergency services at once" in found.first[0]
    assert any("180/120" in line for line in found.first) == (display[0] >= 180 or display[1] >= 120)
    assert any("Under 90" in line for line in found.first) == (display[0] < 90)
    last = found.explanations[-1]
    assert (last.cause, last.verdict) == (REALLY, ALWAYS)
    assert found.steps == tuple(words()["repeat"]["steps"])


def test_ten_centimetres_make_eight_mmhg_and_no_more():
    """Hydrostatics: 7.8 mmHg. A gap of 6 it can make, one of 40 not."""
    low = Technique(cuff_below_heart_cm=10)
    small, large = judged((126, 84), (120, 78), low), judged((160, 118), (120, 78), low)
    assert small.explanations[0].verdict == ALONE
    assert large.explanations[0].verdict == PART
    assert small.explanations[0].sbp.mean == pytest.approx(10 * HYDROSTATIC_MMHG_PER_CM, abs=0.6)


def test_a_mistake_that_lowers_the_number_does_not_explain_a_high_one():
    found = judged((160, 100), (120, 78), Technique(cuff_below_heart_cm=-12))
    assert found.explanations[0].verdict == OTHER_WAY


def test_without_an_expected_pressure_there_is_no_gap():
    found = judged((160, 100), None, Technique(cuff_below_heart_cm=10))
    assert (found.gap_sbp, found.gap_dbp) == (None, None)
    assert {e.verdict for e in found.explanations} == {OPEN, ALWAYS}


def test_several_mistakes_are_also_taken_together_and_with_chance():
    found = judged((172, 98), (132, 82), Technique(cuff_below_heart_cm=12, legs="knees"))
    kinds = [e.kind for e in found.explanations]
    assert kinds == ["mistake", "mistake", "all mistakes", "chance", "both", "truth"]
    together, both = found.explanations[2], found.explanations[4]
    assert together.sbp.mean > max(e.sbp.mean for e in found.explanations[:2])
    assert both.sbp.high > together.sbp.high
    assert both.sbp.low < together.sbp.low


def test_no_corrected_number_is_ever_said():
    """Neither the display less the gap of the mistakes nor anything else that looks like a pressure to take instead."""
    found = judged((172, 98), (132, 82), Technique(cuff_below_heart_cm=12))
    said = " ".join([*found.first, *found.steps, *(e.cause for e in found.explanations)])
    mean = found.explanations[0].sbp.mean
    assert str(round(172 - mean)) not in re.findall(r"\d+", said)
    assert not re.search(r"correct(ed)? (value|number|reading)|subtract|instead of the display", said)


@pytest.mark.parametrize(
    ("display", "said"), [((90, 95), "is not above diastolic"), ((92, 86), "only 6 above"), ((120, 80), "")]
)
def test_numbers_that_are_no_pressure_are_called_so(display, said):
    assert said in judged(display, (120, 78)).impossible
    assert bool(judged(display, (120, 78)).impossible) == bool(said)


def test_the_words_have_a_source():
    assert words()["people"]["source"]
    assert words()["repeat"]["source"]
    assert len(first_words(120, 80)) == 1


def test_a_display_that_no_device_shows_is_named():
    with pytest.raises(FieldError, match="display sbp = 400: must be from 30 to 300 mmHg"):
        judged((400, 90), None)
