"""Published effects beside the model's: what is worked out, over whom, and what is said where there is no figure."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from sim import measure
from sim.fields import FieldError
from sim.teach.evidence import DERIVED, WIDENED, compare, drawn_people, published_of
from sim.teach.lesson import load_all
from sim.teach.parts import Figure

LESSONS = {lesson.name: lesson for lesson in load_all()[0]}


def entry(lesson, start):
    return next(e for e in LESSONS[lesson].evidence if e.label.startswith(start))


def test_an_interval_is_worked_out_from_sd_and_n():
    """Against scipy's own interval of a mean. Adiyaman A, et al. Blood Press Monit 2006: +6.1 ± 4.6, n = 128."""
    published = published_of(Figure(6.1, sd=4.6), 128)
    assert published is not None
    low, high = stats.t.interval(0.95, 127, loc=6.1, scale=4.6 / np.sqrt(128))
    assert (published.low, published.high) == pytest.approx((low, high))
    assert published.basis == DERIVED


@pytest.mark.parametrize(
    ("figure", "n", "low", "basis"),
    [
        (Figure(4.8, 3.0, 6.6), 195, 3.0, "95 % confidence interval of the mean"),
        (Figure(None, 2.1, 11.2, "studies"), None, 2.1, "range over studies"),
        (Figure(None, -1.0, 1.0, "within"), 799, -1.0, "observed means lay within this"),
        (Figure(2.0, sd=10.0), None, None, ""),
        (Figure(1.8), 195, None, ""),
    ],
)
def test_what_the_bounds_are_is_said(figure, n, low, basis):
    published = published_of(figure, n)
    assert published is not None
    assert (published.value, published.low, published.basis) == (figure.value, low, basis)


def test_bounds_of_observed_means_move_outwards_by_what_chance_leaves_open():
    """Against scipy's own interval of a mean at either bound. Li Y, et al. Intern Med J 2021: within 1.0, n = 300."""
    published = published_of(Figure(None, -1.0, 1.0, "within", sd=10.0), 300)
    assert published is not None
    low = stats.t.interval(0.95, 299, loc=-1.0, scale=10 / np.sqrt(300))[0]
    high = stats.t.interval(0.95, 299, loc=1.0, scale=10 / np.sqrt(300))[1]
    assert (published.low, published.high) == pytest.approx((low, high))
    assert published.high == pytest.approx(2.1, abs=0.05)
    assert published.basis == WIDENED


def test_bounds_of_observed_means_alone_are_not_held_against_the_model():
    lesson, evidence = LESSONS["03-clothing"], entry("03-clothing", "One millimetre")
    alone = replace(evidence, sbp=Figure(None, -1.0, 1.0, "within"))
    found = compare(alone, lesson, np.random.default_rng(1), people=8)
    assert found.sbp.model is not None
    assert found.sbp.inside is None
    assert found.dbp.inside is not None


def test_what_is_not_comparable_is_shown_and_not_judged():
    lesson, evidence = LESSONS["06-cuff-turned"], entry("06-cuff-turned", "The same cuff on the largest arm")
    assert "one arm" in evidence.not_comparable
    found = compare(evidence, lesson, np.random.default_rng(1), people=8).sbp
    assert found.published is not None
    assert found.model is not None
    assert (found.inside, found.comparable) == (None, False)
    judged = compare(replace(evidence, not_comparable=""), lesson, np.random.default_rng(1), people=8).sbp
    assert (judged.inside, judged.comparable) == (False, True)


def test_people_differ_as_stated_and_within_limits():
    """a and b lognormal with 30 % spread, place uniform from 0.25 to 0.5, form factor 0.395 ± 0.025."""
    people = drawn_people(LESSONS["01-arm-height"].scenario.subject, 400, np.random.default_rng(1))
    assert people.size == 400
    for name, default in (("artery_a_mmhg", 4.0), ("artery_b_mmhg", 20.0)):
        values = getattr(people, name)
        assert np.median(values) == pytest.approx(default, rel=0.01)
        assert values.std() / values.mean() == pytest.approx(0.30, abs=0.01)
    assert (people.artery_radius_ratio.min(), people.artery_radius_ratio.max()) == pytest.approx((0.25, 0.5), abs=1e-3)
    assert people.form_factor.mean() == pytest.approx(0.395, abs=1e-3)
    assert people.form_factor.std() == pytest.approx(0.025, abs=1e-3)
    assert abs(np.corrcoef(people.artery_a_mmhg, people.artery_b_mmhg)[0, 1]) < 0.15
    assert (people.sbp == 128).all()


def test_the_effect_is_that_of_pairs_of_ideal_readings():
    """Where nothing responds and no sleeve lies, the same as measuring the same people twice through the front door."""
    lesson, evidence = LESSONS["02-cuff-size"], entry("02-cuff-size", "Regular cuff where a large one")
    found = compare(evidence, lesson, np.random.default_rng(3), people=12)
    people = drawn_people(lesson.sides(evidence)[0].subject, 12, np.random.default_rng(3))
    right, mistake = lesson.sides(evidence)
    before, after = (measure(people, s.technique, s.instrument, ideal=True).reading.sbp for s in (right, mistake))
    effect = after - before
    assert found.sbp.model is not None
    assert found.sbp.model.mean == pytest.approx(effect.mean(), abs=1e-9)
    assert found.sbp.model.low == pytest.approx(np.percentile(effect, 10))
    assert found.sbp.model.high == pytest.approx(np.percentile(effect, 90))
    assert found.people == 12


def test_both_sides_of_a_finding_measure_the_same_person():
    lesson, evidence = LESSONS["02-cuff-size"], entry("02-cuff-size", "Regular cuff where an extra large one")
    (before, _, fitting), (after, _, regular) = lesson.sides(evidence)
    assert (before.arm_circumference_cm, after.arm_circumference_cm) == (44, 44)
    assert (before.sbp, after.sbp) == (124.5, 124.5)
    assert (fitting.bladder, regular.bladder) == ("18x40", "13.5x26")


def test_few_people_give_a_steady_mean():
    """Two draws of people differ by much less than the intervals that they are held against."""
    for lesson, label in (("02-cuff-size", "Regular cuff where an extra"), ("03-clothing", "Thick sleeve")):
        found = [compare(entry(lesson, label), LESSONS[lesson], np.random.default_rng(s)).sbp.model for s in (1, 2)]
        assert found[0] is not None
        assert found[1] is not None
        assert abs(found[0].mean - found[1].mean) < 0.3


def test_people_respond_differently_and_sleeves_lie_differently():
    talk = compare(entry("04-talking", "Ordinary"), LESSONS["04-talking"], np.random.default_rng(1)).sbp.model
    sleeve = compare(entry("03-clothing", "Thick"), LESSONS["03-clothing"], np.random.default_rng(1)).sbp.model
    assert talk is not None
    assert sleeve is not None
    assert talk.high - talk.low > 5
    assert sleeve.high - sleeve.low > 10


def test_same_seed_same_comparison():
    arguments = entry("04-talking", "Ordinary"), LESSONS["04-talking"]
    first, second = (compare(*arguments, np.random.default_rng(5), people=8) for _ in range(2))
    assert first == second


def test_no_figure_of_the_model_has_its_reason():
    found = compare(entry("01-arm-height", "Desk too low"), LESSONS["01-arm-height"], np.random.default_rng(1))
    assert found.sbp.model is None
    assert found.sbp.inside is None
    assert found.sbp.published is not None
    assert found.people == 0
    assert "how much too low" in found.reason


def test_people_without_a_reading_leave_a_reason_and_no_numbers():
    """An artery that hardly moves the cuff: no reading on either side, and no NaN passed on."""
    lesson, evidence = LESSONS["01-arm-height"], entry("01-arm-height", "Hand in the lap")
    still = replace(evidence, people={"subject": {"artery_scale": 0.05}})
    found = compare(still, lesson, np.random.default_rng(1), people=6)
    assert found.sbp.model is None
    assert "too weak" in found.reason


def test_ranges_over_studies_and_lone_values_are_not_held_against_the_model():
    lesson = LESSONS["02-cuff-size"]
    ranged = compare(entry("02-cuff-size", "A larger cuff"), lesson, np.random.default_rng(1), people=8)
    assert ranged.sbp.published is not None
    assert ranged.sbp.model is not None
    assert ranged.sbp.inside is None
    lone = compare(entry("02-cuff-size", "Regular cuff where a large"), lesson, np.random.default_rng(1), people=8)
    assert lone.sbp.inside is True
    assert lone.dbp.inside is None


def test_too_few_people_are_refused():
    with pytest.raises(FieldError, match="people = 1: must be 2 or more"):
        compare(entry("01-arm-height", "Hand"), LESSONS["01-arm-height"], np.random.default_rng(1), people=1)


def test_every_finding_of_every_lesson_has_finite_figures_or_a_reason():
    rng = np.random.default_rng(1)
    for comparison in (compare(e, lesson, rng, people=4) for lesson in LESSONS.values() for e in lesson.evidence):
        assert (comparison.sbp.model is None) == bool(comparison.reason)
        for effect in (comparison.sbp, comparison.dbp):
            numbers = [] if effect.model is None else [effect.model.low, effect.model.mean, effect.model.high]
            assert np.isfinite(numbers).all()
