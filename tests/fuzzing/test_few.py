"""A few changed inputs of every kind; `python -m tests.fuzzing` tries as many as one wants."""

import pytest

from tests.fuzzing.kinds import KINDS
from tests.fuzzing.trying import tried

FEW = 60


@pytest.mark.filterwarnings("ignore")  # `tried` turns them into faults itself
@pytest.mark.parametrize("kind", KINDS)
def test_whatever_is_wrong_with_an_input_is_told_in_one_line(kind):
    found = tried(kind, FEW, seed=2)
    assert found.foreign == {}
    assert found.read > 0
    assert found.refused > 0
