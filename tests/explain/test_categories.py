"""Categories against the published tables, written out here a second time row by row."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.explain.categories import categorise, schemes
from sim.fields import FieldError

# Lowest and highest pair of each row as printed: whichever number is in the higher row counts.
# ACC/AHA 2017: Whelton PK, et al. Hypertension 2018;71:e13, DOI 10.1161/HYP.0000000000000065; the
# same in 2025: Jones DW, et al. Hypertension 2025;82:e212, DOI 10.1161/HYP.0000000000000249 (quoted):
# <120 and <80; 120-129 and <80; 130-139 or 80-89; >=140 or >=90.
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
# ESH 2023: Mancia G, et al. J Hypertens 2023;41:1874, DOI 10.1097/HJH.0000000000003480 (quoted):
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
TABLES = {"acc-aha-2017": ACC_AHA, "acc-aha-2025": ACC_AHA, "esc-2024": ESC, "esh-2023": ESH}

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
        assert scheme.sure in {"seen", "quoted"}


@settings(deadline=None)
@given(names, pressures, pressures, st.floats(min_value=0, max_value=100), st.floats(min_value=0, max_value=100))
def test_a_category_never_falls_when_a_number_rises(scheme, sbp, dbp, sbp_more, dbp_more):
    order = [c.name for c in schemes()[scheme].categories]
    before = order.index(str(categorise(sbp, dbp, scheme)))
    after = order.index(str(categorise(sbp + sbp_more, dbp + dbp_more, scheme)))
    assert after >= before


@settings(deadline=None)
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
    with pytest.raises(
        FieldError, match=r"scheme = 'none': must be one of acc-aha-2017, acc-aha-2025, esc-2024, esh-2023"
    ):
        categorise(120, 80, "none")


# At home. ACC/AHA 2017, home equivalents of the office's 120/80, 130/80, 140/90: 120/80, 130/80, 135/85 (seen).
# ESC 2024: hypertension from 135/85 (quoted), elevated from 120/70 (from memory). ESH 2023: hypertension from 135/85.
AT_HOME = [
    ("acc-aha-2017", 119, 79, "normal"),
    ("acc-aha-2017", 129, 79, "elevated"),
    ("acc-aha-2017", 130, 79, "hypertension, stage 1"),
    ("acc-aha-2017", 134, 84, "hypertension, stage 1"),
    ("acc-aha-2017", 135, 79, "hypertension, stage 2"),
    ("acc-aha-2017", 119, 85, "hypertension, stage 2"),
    ("acc-aha-2025", 119, 79, "normal"),
    ("acc-aha-2025", 129, 79, "elevated"),
    ("acc-aha-2025", 130, 79, "hypertension, stage 1"),
    ("acc-aha-2025", 134, 84, "hypertension, stage 1"),
    ("acc-aha-2025", 135, 79, "hypertension, stage 2"),
    ("acc-aha-2025", 119, 85, "hypertension, stage 2"),
    ("esc-2024", 119, 69, "non-elevated"),
    ("esc-2024", 134, 84, "elevated"),
    ("esc-2024", 135, 69, "hypertension"),
    ("esc-2024", 119, 85, "hypertension"),
    ("esh-2023", 134, 84, "no hypertension"),
    ("esh-2023", 135, 84, "hypertension"),
    ("esh-2023", 134, 85, "hypertension"),
]


@pytest.mark.parametrize(("scheme", "sbp", "dbp", "expected"), AT_HOME)
def test_rows_of_the_tables_at_home(scheme, sbp, dbp, expected):
    assert categorise(sbp, dbp, scheme, place="home") == expected


def test_every_category_at_home_is_reached():
    for name, scheme in schemes().items():
        assert {c.name for c in scheme.home} == {row[3] for row in AT_HOME if row[0] == name}
        assert scheme.home_sure in {"seen", "derived", "quoted", "from memory"}


@settings(deadline=None)
@given(names, pressures, pressures, st.floats(min_value=0, max_value=100), st.floats(min_value=0, max_value=100))
def test_a_category_at_home_never_falls_when_a_number_rises(scheme, sbp, dbp, sbp_more, dbp_more):
    order = [c.name for c in schemes()[scheme].home]
    before, after = (
        order.index(str(categorise(*pair, scheme, place="home")))
        for pair in ((sbp, dbp), (sbp + sbp_more, dbp + dbp_more))
    )
    assert after >= before


def test_equivalents_put_home_no_higher_than_office():
    """White-coat and first readings make the office higher: no guideline's home threshold lies above its office one."""
    for scheme in schemes().values():
        assert scheme.equivalents
        for pair in scheme.equivalents:
            assert pair.home[0] <= pair.office[0]
            assert pair.home[1] <= pair.office[1]
            assert pair.sure in {"seen", "derived", "quoted", "from memory"}


def test_american_equivalents():
    """120/80, 130/80, 140/90, 160/100 in the office are 120/80, 130/80, 135/85, 145/90 at home (ACC/AHA 2017, seen)."""
    found = [(pair.office, pair.home) for pair in schemes()["acc-aha-2017"].equivalents]
    office, home = [(120, 80), (130, 80), (140, 90), (160, 100)], [(120, 80), (130, 80), (135, 85), (145, 90)]
    assert found == list(zip(office, home, strict=True))


def test_the_schemes_say_their_year_and_the_first_stays_the_usual_one():
    assert list(schemes()) == ["acc-aha-2017", "acc-aha-2025", "esc-2024", "esh-2023"]
    for name, scheme in schemes().items():
        year = name[-4:]
        assert scheme.label.endswith(year)
        assert year in scheme.note
    new, old = (schemes()[name] for name in ("acc-aha-2025", "acc-aha-2017"))
    assert (new.categories, new.home) == (old.categories, old.home)


def test_an_unknown_place_is_named():
    with pytest.raises(FieldError, match="place = 'shop': must be one of home, office, study"):
        categorise(120, 80, "esc-2024", place="shop")
