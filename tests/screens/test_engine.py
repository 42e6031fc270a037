"""The engine in processes of its own gives what it gives here."""

import os
import signal

import numpy as np
import pytest

from sim.explain.same_arm import same_arm
from sim.fields import FieldError
from sim.say import language, spoken
from sim.screens.engine import Engine
from sim.setup import Setup

LOW = Setup.of(cuff_below_heart_cm=12)


@pytest.fixture(scope="module")
def apart():
    """An engine in another process."""
    engine = Engine()
    engine.begin(1)
    return engine


def test_it_works_elsewhere_to_the_same_bits(apart):
    here, there = (engine.work(same_arm, LOW, 3, n=4) for engine in (Engine(), apart))
    assert Engine().work(os.getpid) == os.getpid() != apart.work(os.getpid)
    np.testing.assert_array_equal(here.every.recording.pressure_mmhg, there.every.recording.pressure_mmhg)
    for one, other in zip(here.found.contributions, there.found.contributions, strict=True):
        assert (one.cause, one.sbp.tolist(), one.dbp.tolist()) == (other.cause, other.sbp.tolist(), other.dbp.tolist())


def test_it_speaks_the_language_of_the_page(apart):
    for engine in (Engine(), apart):
        assert engine.work(language) == "en"
        with spoken("es"):
            assert engine.work(language) == "es"
            assert engine.work(same_arm, LOW, 3, n=1).found.contributions[0].cause.startswith("el ")


def test_what_it_refuses_is_refused_here(apart):
    uneven = LOW.replace(sampling_hz=[100.0, 200.0])
    for engine in (Engine(), apart):
        with pytest.raises(FieldError, match="sampling_hz"):
            engine.work(same_arm, uneven, 3, n=2)


def test_where_its_process_is_killed_it_works_here():
    engine = Engine()
    engine.begin(1)
    os.kill(engine.work(os.getpid), signal.SIGKILL)
    assert engine.work(os.getpid) == os.getpid()
    assert engine.work(os.getpid) == os.getpid()
