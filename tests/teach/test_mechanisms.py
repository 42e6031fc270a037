"""Each mechanism of the model, switched off."""

import numpy as np
import pytest

from sim import measure
from sim.setup import Setup
from sim.teach.evidence import PEOPLE
from sim.teach.lesson import load_all
from sim.teach.mechanisms import MECHANISMS, apart_mmhg, switched_off, without
from sim.teach.verdicts import comparable_figures, findings

FIELDS = {"cuff_below_heart_cm": 10, "sleeve_mm": 4, "arm_circumference_cm": 45, "arm_slant_degrees": 84}


def reading():
    setup = Setup.of(**FIELDS, bladder="12x23", cuff_turned_deg=90)
    return float(measure(setup, rng=np.random.default_rng(1)).reading.sbp[0])


@pytest.mark.parametrize("mechanism", MECHANISMS, ids=lambda each: each.name)
def test_it_does_something_and_is_back_afterwards(mechanism):
    before = reading()
    with switched_off(mechanism):
        without_it = reading()
    assert abs(without_it - before) > 0.1
    assert reading() == before


def test_it_is_back_after_an_error():
    before = reading()
    with pytest.raises(ZeroDivisionError), switched_off(MECHANISMS[0]):
        reading() / 0
    assert reading() == before


@pytest.fixture(scope="module")
def found():
    return list(findings(load_all()[0]))


@pytest.mark.parametrize("mechanism", MECHANISMS, ids=lambda each: each.name)
def test_without_it_the_model_is_further_from_what_was_published(mechanism, found):
    """What earns a mechanism its place."""
    assert without(mechanism, found, people=PEOPLE).apart_mmhg > apart_mmhg(comparable_figures(found).values())
