"""Nothing but the pulses tells what the pressure is: not where a recording begins or ends, its length or its place.

An algorithm that reads those instead would score well on recordings that an instrument made by feeling for the pulse.
"""

import numpy as np
import pytest

from sim import Instrument
from sim.files.dataset import dataset
from sim.record import record
from sim.results import Reading
from sim.setup import Setup
from sim.study.agreement import agreement
from sim.study.cohort import cohort
from sim.study.contract import check
from sim.study.iso_cohort import iso_cohort

PEOPLE = 600


def first_and_last(recording):
    """Starts 40 above systolic, ends 35 below diastolic: so it would be, had the cuff felt for the pulse."""
    rows = np.arange(len(recording))
    first, last = recording.pressure_mmhg[:, 0], recording.pressure_mmhg[rows, recording.samples - 1]
    return reading(first - 41.8, last + 33.0)


def constant(recording):
    return reading(np.full(len(recording), 125.0), np.full(len(recording), 72.0))


def length(recording):
    """The longer the fall, the higher the pressure."""
    seconds = recording.samples / recording.sampling_hz
    return reading(125.0 + seconds - 65.0, 72.0 + (seconds - 65.0) / 2)


def reading(sbp, dbp):
    dbp = np.minimum(dbp, sbp - 5)
    return Reading(sbp, dbp, (sbp + dbp) / 2, np.full(len(sbp), 70.0), np.full(len(sbp), ""))


CHEATS = {"first and last sample": first_and_last, "a constant": constant, "the length": length}


@pytest.fixture(scope="module", params=["a population", "as the standard asks"])
def people(request):
    draw = cohort if request.param == "a population" else iso_cohort
    return draw(PEOPLE, np.random.default_rng(11))


@pytest.fixture(scope="module")
def data(people):
    setup = Setup(people).spread(PEOPLE)
    return dataset(*record(setup, np.random.default_rng(12)), setup, seed=12)


def explained(table, truth):
    """Share of the variance of `truth` that a regression on the columns of `table` and their squares explains, less
    what columns of pure chance would explain."""
    columns = np.column_stack([np.ones(len(truth)), table, table**2])
    left = truth - columns @ np.linalg.lstsq(columns, truth, rcond=None)[0]
    freedom = len(truth) - columns.shape[1]
    return 1 - (left @ left / freedom) / truth.var(ddof=1)


@pytest.mark.parametrize("pressure", ["sbp", "dbp"])
def test_start_end_length_and_place_tell_next_to_nothing(data, pressure):
    """Each alone explains under 5 % of the variance: that somebody was filled a second time says a little.

    All together, under 10 %: how far the cuff fell in its time, first sample less last, holds a little of the artery's
    own volume, as any recording does.
    """
    recording, truth = data.recording, getattr(data.truth.at_cuff, pressure)
    rows = np.arange(PEOPLE)
    first, last = recording.pressure_mmhg[:, 0], recording.pressure_mmhg[rows, recording.samples - 1]
    columns = [(c - c.mean()) / c.std() for c in (first, last, recording.samples.astype(float), rows.astype(float))]
    assert max(explained(column[:, None], truth) for column in columns) < 0.05
    assert explained(np.column_stack(columns), truth) < 0.10


def test_the_contents_of_a_data_set_name_the_truth_once_and_nothing_else(data):
    """No field but the truth itself and the person's own pressures goes with it."""
    named = {f"subject.{name}" for name in ("sbp", "dbp")}
    # What goes with pressure in people (age, arm, rate) may be there; what the instrument did may not.
    for name, values in data.inputs.items():
        if name.startswith("instrument.") and name not in named and values.dtype.kind == "f":
            assert len(np.unique(values)) == 1, name


@pytest.mark.parametrize("cheat", CHEATS)
def test_a_cheat_scores_no_better_than_the_spread_of_people(people, cheat):
    score = agreement(CHEATS[cheat], people, np.random.default_rng(13), readings=1, against="at_cuff")
    for found, pressure in zip(score.scores, ("sbp", "dbp"), strict=True):
        assert found.agreement.sd.value > 0.95 * getattr(people, pressure).std(), (cheat, pressure)
    assert not score.passed


@pytest.mark.parametrize("cheat", CHEATS)
def test_the_contract_catches_a_cheat(cheat):
    broken = {finding.name for finding in check(CHEATS[cheat]).broken}
    assert {"reads the pulses", "no pulse"} & broken, broken


def test_a_cuff_that_feels_for_the_pulse_does_give_the_pressure_away_and_says_so(people):
    """The instrument that one opts into: there the cheat is as good as it looks, and every report names the filling."""
    device = Instrument(filling="by-pulse")
    score = agreement(first_and_last, people, np.random.default_rng(13), readings=1, instrument=device)
    assert score.sbp.agreement.sd.value < 5
    assert "by-pulse" in str(score.origin)
