"""Numbers as people read them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.figures.numbers import adding_up, signed
from sim.texts import decimal

parts = st.lists(st.floats(min_value=-60, max_value=60), max_size=9)


@given(parts)
def test_rounded_parts_add_up_to_the_rounded_sum_and_none_is_off_by_a_step(values):
    rounded = adding_up(values)
    assert abs(math.fsum(rounded) - math.fsum(values)) <= 0.05 + 1e-9
    for found, value in zip(rounded, values, strict=True):
        assert abs(found - value) < 0.1 + 1e-9
        assert found == pytest.approx(round(found, 1), abs=1e-12)


@given(parts)
def test_what_is_shown_adds_up(values):
    shown = [decimal(signed(part)) for part in adding_up(values)]
    assert signed(math.fsum(shown)) == signed(math.fsum(adding_up(values)))


def test_a_missing_part_leaves_the_others_alone():
    found = adding_up([1.26, math.nan])
    assert found[0] == 1.26
    assert math.isnan(found[1])
