"""Categories against the published tables, written out here a second time row by row."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.explain.categories import categorise, schemes
from sim.fields import FieldError

# Lowest and highest pair of each row as printed: whichever number is in the higher row counts.
# ACC/AHA 2017: Whelton PK, et al. Hypertension 2018;71:e13, DOI 10.1161/HYP.0000000000000065, table 6
# (the table's number from memory): <120 and <80; 120-129 and <80; 130-139 or 80-89; >=140 or >=90.
ACC_AHA = [
    (119, 79, "normal"),
    (120, 79, "elevated"),
    (129, 79, "elevated"),
    (130, 79, "hypertension, stage 1"),
    (119, 80, "hypertension, stage 1"),
    (139, 89, "hypertension, stage 1"),
    (140, 79, "hypertension, stage 2"),
    (119, 90, "hypertension, stage 2"),
    (200, 120, "hypertension, stage 2"),
]
# ESC 2024: McEvoy JW, et al. Eur Heart J 2024;45:3912, DOI 10.1093/eurheartj/ehae178:
# <120 and <70; 120-139 or 70-89; >=140 or >=90.
ESC = [
    (119, 69, "non-elevated"),
    (120, 69, "elevated"),
    (119, 70, "elevated"),
    (139, 89, "elevated"),
    (140, 69, "hypertension"),
    (119, 90, "hypertension"),
]
# ESH 2023: Mancia G, et al. J Hypertens 2023;41:1874, DOI 10.1097/HJH.0000000000003480 (from memory):
# <120 and <80; 120-129 and/or 80-84; 130-139 and/or 85-89; 140-159 and/or 90-99; 160-179 and/or 100-109;
# >=180 and/or >=110.
ESH = [
    (119, 79, "optimal"),
    (120, 79, "normal"),
    (129, 84, "normal"),
    (119, 80, "normal"),
    (130, 84, "high-normal"),
    (129, 85, "high-normal"),
    (139, 89, "high-normal"),
    (140, 89, "hypertension, grade 1"),
    (139, 90, "hypertension, grade 1"),
    (159, 99, "hypertension, grade 1"),
    (160, 99, "hypertension, grade 2"),
    (159, 100, "hypertension, grade 2"),
    (179, 109, "hypertension, grade 2"),
    (180, 109, "hypertension, grade 3"),
    (179, 110, "hypertension, grade 3"),
]
TABLES = {"acc-aha-2017": ACC_AHA, "esc-2024": ESC, "esh-2023": ESH}

pressures = st.floats(min_value=20, max_value=320)
names = st.sampled_from(sorted(TABLES))


def test_every_scheme_is_checked_and_every_category_reached():
    assert set(schemes()) == set(TABLES)
    for name, scheme in schemes().items():
        assert {c.name for c in scheme.categories} == {row[2] for row in TABLES[name]}


@pytest.mark.parametrize(
    ("scheme", "sbp", "dbp", "expected"), [(name, *row) for name, table in TABLES.items() for row in table]
)
def test_rows_of_the_published_tables(scheme, sbp, dbp, expected):
    assert categorise(sbp, dbp, scheme) == expected


def test_every_scheme_names_its_source_and_how_sure_it_is():
    for scheme in schemes().values():
        assert scheme.doi.startswith("10.")
        assert scheme.source
        assert scheme.sure in {"seen", "quoted", "from memory"}


@given(names, pressures, pressures, st.floats(min_value=0, max_value=100), st.floats(min_value=0, max_value=100))
def test_a_category_never_falls_when_a_number_rises(scheme, sbp, dbp, sbp_more, dbp_more):
    order = [c.name for c in schemes()[scheme].categories]
    before = order.index(str(categorise(sbp, dbp, scheme)))
    after = order.index(str(categorise(sbp + sbp_more, dbp + dbp_more, scheme)))
    assert after >= before


@given(names, pressures, pressures)
def test_the_number_in_the_higher_category_counts(scheme, sbp, dbp):
    order = [c.name for c in schemes()[scheme].categories]
    alone = [order.index(str(c)) for c in categorise([sbp, 40], [30, dbp], scheme)]
    assert order.index(str(categorise(sbp, dbp, scheme))) == max(alone)


def test_numbers_count_as_displayed():
    found = categorise([119.4, 119.6, 100, 100], [60, 60, 79.4, 79.6], "acc-aha-2017")
    assert list(found) == ["normal", "elevated", "normal", "hypertension, stage 1"]


def test_a_missing_number_has_no_category():
    assert list(categorise([np.nan, 120, 120], [80, np.nan, 70], "esh-2023")) == ["", "", "normal"]


def test_one_number_goes_with_many():
    assert categorise(np.full((2, 3), 150.0), 70, "esc-2024").shape == (2, 3)


def test_an_unknown_scheme_is_named():
    with pytest.raises(FieldError, match=r"scheme = 'none': must be one of acc-aha-2017, esc-2024, esh-2023"):
        categorise(120, 80, "none")
