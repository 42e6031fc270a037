"""Every field takes what its limits say, and nothing else; what it takes can be measured."""

from __future__ import annotations

import pickle
from typing import Any

import numpy as np
import pytest

from sim import FieldError, Instrument, Subject, Technique, measure
from sim.fields import Choice, Limit

RECORDS: tuple[Any, ...] = (Subject, Technique, Instrument)
NUMBERS = [(record, name) for record in RECORDS for name, limit in record.LIMITS.items() if isinstance(limit, Limit)]
CHOICES = [(record, name) for record in RECORDS for name, limit in record.LIMITS.items() if isinstance(limit, Choice)]

# What another field has to be so that the first may stand at its limit.
BESIDE = {
    ("sbp", "low"): {"dbp": 40},
    ("dbp", "high"): {"sbp": 200},
    ("end_mmhg", "high"): {"start_mmhg": 330},
    ("start_mmhg", "high"): {},
}


def made(record, name, value, which=""):
    return record(**{name: value, **BESIDE.get((name, which), {})})


@pytest.mark.parametrize("which", ["low", "high"])
@pytest.mark.parametrize(("record", "name"), NUMBERS)
def test_a_number_at_its_limit_is_taken_and_measured(record, name, which):
    value = getattr(record.LIMITS[name], which)
    built = made(record, name, value, which)
    assert getattr(built, name) == value
    subject, technique, instrument = (built if isinstance(built, kind) else kind() for kind in RECORDS)
    reading = measure(subject, technique, instrument, rng=np.random.default_rng(0)).reading
    numbers = np.array([reading.sbp, reading.dbp, reading.map, reading.pulse_rate])
    assert np.isfinite(numbers).all() == (reading.reason[0] == "")
    assert np.isnan(numbers).all() == (reading.reason[0] != "")


@pytest.mark.parametrize("which", ["low", "high"])
@pytest.mark.parametrize(("record", "name"), NUMBERS)
def test_a_number_just_outside_is_refused_in_words(record, name, which):
    limit = record.LIMITS[name]
    value = getattr(limit, which) + {"low": -1, "high": 1}[which] * 1e-3 * max(1.0, limit.step)
    with pytest.raises(FieldError) as caught:
        made(record, name, value, which)
    assert caught.value.field == name
    assert f"{limit.low:g} to {limit.high:g}" in str(caught.value)
    assert f"{value:g}" in str(caught.value)


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf, "high", None, [1.0, np.nan]])
@pytest.mark.parametrize(("record", "name"), NUMBERS)
def test_what_is_no_number_is_refused(record, name, value):
    with pytest.raises(FieldError, match=name):
        record(**{name: value})


@pytest.mark.parametrize(("record", "name"), CHOICES)
def test_a_choice_takes_its_options_and_nothing_else(record, name):
    limit = record.LIMITS[name]
    for option in limit.options:
        assert str(getattr(record(**{name: option}), name)) == option
    with pytest.raises(FieldError) as caught:
        record(**{name: "sideways"})
    assert caught.value.field == name
    assert all(option in str(caught.value) for option in limit.options)


@pytest.mark.parametrize(
    "bladder", ["adult", "small adult", "large adult", "thigh", "12x23", "13.5 x 26", "5x8", "30x60"]
)
def test_bladders_that_are_taken(bladder):
    assert Instrument(bladder=bladder).bladder_width_cm > 0


@pytest.mark.parametrize(
    "bladder", ["huge", "", "12", "12x", "4.9x20", "30.1x40", "12x7.9", "12x60.1", "nanx20", "-12x20"]
)
def test_bladders_that_are_refused(bladder):
    with pytest.raises(FieldError) as caught:
        Instrument(bladder=bladder)
    assert caught.value.field == "bladder"


def test_pulse_pressure_too_small_is_refused_and_the_least_is_taken():
    with pytest.raises(FieldError, match="dbp"):
        Subject(sbp=100, dbp=90.5)
    assert Subject(sbp=100, dbp=90).dbp == 90


def test_fields_of_different_lengths_are_refused():
    with pytest.raises(FieldError, match="values"):
        Subject(sbp=[120, 130, 140], dbp=[80, 85])
    with pytest.raises(FieldError):
        measure(Subject(sbp=[120, 130, 140]), Technique(slack_cm=[1, 2]), ideal=True)
    with pytest.raises(FieldError):
        Subject(sbp=[[120, 130]])


@pytest.mark.parametrize(("start", "end"), [(100, 95), (60, 80), (150, 150)])
def test_a_deflation_without_room_is_refused(start, end):
    with pytest.raises(FieldError) as caught:
        measure(Subject(), instrument=Instrument(start_mmhg=start, end_mmhg=end), ideal=True)
    assert caught.value.field in ("start_mmhg", "end_mmhg")


def test_no_readings_are_refused():
    with pytest.raises(FieldError, match="n = 0"):
        measure(Subject(), rng=np.random.default_rng(0), n=0)
    with pytest.raises(FieldError, match="rng"):
        measure(Subject())


def test_an_error_and_a_record_survive_pickling():
    error = FieldError("sbp", 300, "from 60 to 260 mmHg")
    again = pickle.loads(pickle.dumps(error))
    assert (again.field, str(again)) == ("sbp", str(error))
    assert pickle.loads(pickle.dumps(Subject(sbp=[120, 130]))).sbp.tolist() == [120, 130]
