"""A small study reads as it did when its readings were kept, whichever versions of Python, numpy and scipy read it."""

from __future__ import annotations

import numpy as np
import pytest

from sim import PARAMETERS_VERSION
from tests.numbers.golden import NUMBERS, kept, made_with, rows

# How far a number may lie from the kept one [mmHg, per min]. Other versions on the same processor gave the same digits
# (Python 3.11 to 3.13, numpy 2.0 to 2.5, scipy 1.13 to 1.18). Without the newer instructions of a processor (AVX2 and
# above) single precision ends differently: 0.014, 0.019, 0.063 and 0.039 were seen. A display's digit is 1 mmHg.
ALIKE = {"fixed-ratio": 0.03, "slope": 0.03, "corrected-ratio": 0.1, "model-fit": 0.1}
TRUTH_MMHG = 1e-4


@pytest.fixture(scope="module")
def found():
    return rows()


def test_the_kept_readings_are_of_these_parameters():
    versions, _ = kept()
    assert list(versions) == list(made_with())
    assert versions["parameters"] == PARAMETERS_VERSION, "make them anew: python -m tests.numbers.golden"


def test_most_are_readings(found):
    assert sum(row["reason"] == "" for row in found) > 0.8 * len(found)


def test_as_kept(found):
    versions, expected = kept()
    assert len(found) == len(expected)
    off: dict[str, float] = {}
    for row, before in zip(found, expected, strict=True):
        name = row["estimator"]
        assert (str(row["person"]), name, row["reason"]) == (before["person"], before["estimator"], before["reason"])
        numbers, kept_numbers = ([float(one[part]) for part in NUMBERS] for one in (row, before))
        assert np.isnan(numbers).tolist() == np.isnan(kept_numbers).tolist()
        off[name] = max(off.get(name, 0.0), float(np.nanmax(np.abs(np.subtract(numbers, kept_numbers)), initial=0.0)))
        for part in ("true_sbp", "true_dbp"):
            assert row[part] == pytest.approx(float(before[part]), abs=TRUTH_MMHG)
    print(f"made with {versions}, now {made_with()}: off by at most {off}")
    assert all(off[name] < ALIKE[name] for name in ALIKE), off
