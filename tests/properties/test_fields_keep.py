"""What was checked stays so: fields are copies, which nobody can write to."""

import copy
import pickle

import numpy as np
import pytest

from sim import FieldError, Instrument, Subject, Technique
from sim.fields import Limit

FIELDS = [(record, name) for record in (Subject, Technique, Instrument) for name in record.LIMITS]
FIELDS.append((Instrument, "bladder"))


def _given(record, name):
    """Two values that the field takes, as an array of the caller's, and one that it does not take."""
    if name == "bladder":
        return np.array(["adult", "thigh"], dtype="U20"), "huge"
    limit = record.LIMITS[name]
    if isinstance(limit, Limit):
        return np.array([limit.default, limit.default]), limit.high + 1000
    return np.array([limit.default, limit.default], dtype="U40"), "sideways"


@pytest.mark.parametrize(("record", "name"), FIELDS)
def test_who_gave_an_array_cannot_change_the_field_by_it(record, name):
    given, wrong = _given(record, name)
    before = given.tolist()
    made = record(**{name: given})
    given[0] = wrong
    assert getattr(made, name).tolist() == before


@pytest.mark.parametrize(("record", "name"), FIELDS)
def test_nobody_can_write_to_a_field(record, name):
    given, wrong = _given(record, name)
    made = record(**{name: given})
    kept = [
        made,
        record(),
        made.spread(2),
        record().spread(3),
        made.take([1, 0]),
        made.take(slice(0, 1)),
        made.take(0),
        made.replace(**{name: given[:1]}),
        pickle.loads(pickle.dumps(made)),
        copy.deepcopy(made),
    ]
    for one in kept:
        with pytest.raises(ValueError, match="read-only"):
            getattr(one, name)[...] = wrong


def test_a_value_outside_its_limits_has_no_way_in():
    pressures = np.array([120.0, 130.0])
    subject = Subject(sbp=pressures)
    pressures[0] = 900
    assert subject.sbp.tolist() == [120, 130]
    with pytest.raises(FieldError, match="sbp = 900: must be from 60 to 260 mmHg"):
        Subject(sbp=pressures)
