"""People: held to the survey they were worked out from, to what else is published, and to the standard's rules."""

import numpy as np
import pytest

from sim.body.subject import Subject
from sim.fields import FieldError
from sim.study.calibrate import PEOPLE, SEED
from sim.study.cohort import cohort
from sim.study.iso_cohort import iso_cohort
from sim.study.iso_rules import distribution
from sim.study.person import Person
from sim.study.reference import reference_cohort
from sim.study.seeds import CALIBRATION_SEEDS, calibration_seed, scoring_generator, scoring_seed
from tests.study.survey import survey


@pytest.fixture(scope="module")
def people():
    return cohort(40_000, np.random.default_rng(1))


def _figures(sbp, dbp, rate):
    known = rate[np.isfinite(rate)]
    pulse = sbp - dbp
    return np.array(
        [sbp.mean(), sbp.std(), dbp.mean(), dbp.std(), pulse.mean(), pulse.std(), known.mean(), known.std()]
    )


def test_the_survey_is_the_one_that_is_cited():
    """4,681 adults: systolic 125.2 ± 19.2, diastolic 72.1 ± 11.5, correlation 0.472, pulse pressure 53.1 ± 17.1."""
    s = survey()
    sbp, dbp = s.sbp.mean(axis=1), s.dbp.mean(axis=1)
    assert len(sbp) == 4681
    found = [sbp.mean(), sbp.std(), dbp.mean(), dbp.std(), (sbp - dbp).mean(), (sbp - dbp).std()]
    assert found == pytest.approx([125.2, 19.2, 72.1, 11.5, 53.1, 17.1], abs=0.05)
    assert np.corrcoef(sbp, dbp)[0, 1] == pytest.approx(0.472, abs=0.001)


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize(("low", "high"), [(18, 30), (30, 40), (40, 50), (50, 60), (60, 70), (70, 80), (80, 91)])
def test_pressures_and_heart_rate_by_age_and_sex_are_those_of_the_survey(people, sex, low, high):
    """Means and SDs of systolic, diastolic, pulse pressure and heart rate: within 3.5 mmHg, or 3 of the survey's own
    standard errors where it has few people."""
    s = survey()
    there = (s.age >= low) & (s.age < min(high, 81)) & (s.male == (sex == "male"))
    mine = (people.age_years >= low) & (people.age_years < high) & (people.sex == sex)
    expected = _figures(s.sbp[there].mean(axis=1), s.dbp[there].mean(axis=1), s.heart_rate[there])
    found = _figures(people.sbp[mine], people.dbp[mine], people.heart_rate[mine])
    error = expected[1::2].repeat(2) / np.sqrt(there.sum())
    assert (np.abs(found - expected) < np.maximum(3.5, 3 * error)).all(), np.round([found, expected], 1)


def test_pressures_as_a_whole_are_those_of_the_survey(people):
    s = survey()
    for mine, theirs in (
        (people.sbp, s.sbp.mean(axis=1)),
        (people.dbp, s.dbp.mean(axis=1)),
        (people.sbp - people.dbp, (s.sbp - s.dbp).mean(axis=1)),
        (people.heart_rate, s.heart_rate[np.isfinite(s.heart_rate)]),
        (np.minimum(people.age_years, 80), s.age),
    ):
        at = [5, 25, 50, 75, 95]
        assert np.percentile(mine, at) == pytest.approx(np.percentile(theirs, at), abs=2.0)
    theirs = np.corrcoef(s.sbp.mean(axis=1), s.dbp.mean(axis=1))[0, 1]
    assert np.corrcoef(people.sbp, people.dbp)[0, 1] == pytest.approx(theirs, abs=0.1)
    mine = np.corrcoef(people.age_years, people.sbp - people.dbp)[0, 1]
    assert mine == pytest.approx(np.corrcoef(s.age, (s.sbp - s.dbp).mean(axis=1))[0, 1], abs=0.1)


def test_arms_are_those_published(people):
    """US adults 2007-10: 34.2 and 31.9 cm, 42.9 and 25.3 % of men and women need a large cuff (PMC9681024). With
    hypertension 34.2, without 32.4 cm (Ostchega Y, et al. 2018, DOI 10.1097/MBP.0000000000000349): there treatment
    counts as hypertension, so that a good half of the difference is what untreated pressures should show."""
    arm, man = people.arm_circumference_cm, people.sex == "male"
    assert arm[man].mean() == pytest.approx(34.2, abs=0.3)
    assert arm[~man].mean() == pytest.approx(31.9, abs=0.3)
    assert (arm[man] > 35).mean() == pytest.approx(0.429, abs=0.03)
    assert (arm[~man] > 35).mean() == pytest.approx(0.253, abs=0.03)
    high = (people.sbp >= 140) | (people.dbp >= 90)
    assert 0.8 < arm[high].mean() - arm[~high].mean() < 1.8


def test_arteries_stiffen_with_age_and_go_with_the_pulse(people):
    b, age = people.artery_b_mmhg, people.age_years
    assert b[age > 70].mean() > 1.2 * b[age < 30].mean()
    middle = (age > 45) & (age < 55)
    assert 0.15 < np.corrcoef(np.log(b[middle]), np.log((people.sbp - people.dbp)[middle]))[0, 1] < 0.4
    assert np.log(b).std() == pytest.approx(np.sqrt(np.log1p(0.3**2)), abs=0.02)


def test_fibrillation_is_for_the_old(people):
    """3.8 % at 60 and more, 9.0 % at 80 and more: Go AS, et al. JAMA 2001;285:2370 (from memory)."""
    irregular = people.rhythm == "atrial-fibrillation"
    assert irregular[people.age_years < 50].mean() < 0.004
    assert irregular[people.age_years >= 60].mean() == pytest.approx(0.045, abs=0.015)
    assert irregular[people.age_years >= 80].mean() == pytest.approx(0.090, abs=0.02)
    assert (cohort(50, np.random.default_rng(1), fibrillation=1.0).rhythm == "atrial-fibrillation").all()


def test_a_cohort_can_be_narrowed():
    people = cohort(500, np.random.default_rng(2), age_years=(65, 70), arm_cm=(26, 30), female=1.0)
    assert ((people.age_years >= 65) & (people.age_years <= 70)).all()
    assert ((people.arm_circumference_cm >= 26) & (people.arm_circumference_cm <= 30)).all()
    assert (people.sex == "female").all()


def test_people_are_subjects_that_keep_age_and_sex():
    people = cohort(6, np.random.default_rng(3))
    assert isinstance(people, Subject)
    assert people.take([1, 1, 2]).age_years.tolist() == people.age_years[[1, 1, 2]].tolist()
    with pytest.raises(FieldError, match="age_years = 12: must be from 18 to 110 years"):
        Person(age_years=12)


@pytest.mark.parametrize("n", [40, 41, 50, 63, 85, 99, 128, 255, 400])
def test_the_standards_cohort_keeps_its_rules_by_construction(n):
    for seed in range(3):
        people = iso_cohort(n, np.random.default_rng([n, seed]))
        assert people.size == n
        rules = distribution(people.sbp, people.dbp, people.arm_circumference_cm, people.sex)
        assert not [str(rule) for rule in rules if not rule.ok]


def test_rules_that_are_broken_are_told():
    people = cohort(400, np.random.default_rng(1), female=0.9)
    rules = distribution(people.sbp, people.dbp, people.arm_circumference_cm, people.sex)
    broken = {rule.name for rule in rules if not rule.ok}
    assert {"men", "diastolic 100 mmHg or more"} <= broken
    (men,) = [rule for rule in rules if rule.name == "men"]
    assert men.reached == (people.sex == "male").mean()
    assert str(men) == f"men: {men.reached:.1%}, at least 30.0%: not reached"
    assert all(("not reached" in str(rule)) == (not rule.ok) for rule in rules)


def test_too_few_people_for_the_quotas():
    with pytest.raises(FieldError, match="n = 20: must be at least 40 people"):
        iso_cohort(20, np.random.default_rng(1))


def test_who_calibrates_does_not_score():
    assert SEED in CALIBRATION_SEEDS
    assert calibration_seed(SEED) == SEED
    for seed in (SEED, 29_999):
        with pytest.raises(FieldError, match=f"seed = {seed}: must be outside 20000 to 29999"):
            scoring_seed(seed)
        with pytest.raises(FieldError, match="must be outside"):
            scoring_generator(np.random.default_rng(seed))
        with pytest.raises(FieldError, match="must be outside"):
            scoring_generator(np.random.default_rng(seed).spawn(1)[0])
    with pytest.raises(FieldError, match="to calibrate with"):
        calibration_seed(1)
    assert scoring_generator(np.random.default_rng(7)) == 7
    with pytest.raises(FieldError, match="seed = -1"):
        scoring_seed(-1)


def test_the_calibrations_people_are_no_ones_neighbours():
    """No value that the calibration drew comes again in cohorts of other seeds."""
    calibrated = reference_cohort(PEOPLE, np.random.default_rng(SEED))
    drawn = np.concatenate([cohort(500, np.random.default_rng(seed)).sbp for seed in (1, 2, SEED + 10_000)])
    assert not set(calibrated.sbp) & set(drawn)
