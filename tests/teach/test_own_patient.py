"""A patient and cuffs of one's own: the link, the person in a lesson, words that no longer hold, cases."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.cuff.bladder import choose, fits, named, printed
from sim.explain.same_arm import FIRST_SEED, same_arm
from sim.fields import FieldError
from sim.study.cohort import cohort, usual_artery_b_mmhg
from sim.teach import own_setup
from sim.teach.claims import check
from sim.teach.lesson import load_all
from sim.teach.own_claims import in_words, parted
from sim.teach.own_lesson import own_person, with_patient
from sim.teach.own_patient import NOBODY, NUMBERS, OwnPatient, read, write
from sim.teach.practice import case, cupboard

LESSONS, _ = load_all()
EACH = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
MINE = OwnPatient(sbp=150, dbp=86, heart_rate=64, arm_circumference_cm=38, age_years=72, cuffs=("regular", "large"))
NAMES = [size.name for size in named()]


def whole(low, high):
    return st.none() | st.integers(low, high).map(float)


@given(
    st.builds(
        OwnPatient,
        sbp=whole(130, 260),
        dbp=whole(30, 120),
        heart_rate=whole(35, 180),
        arm_circumference_cm=st.none() | st.integers(32, 120).map(lambda half: half / 2),
        age_years=whole(18, 110),
        cuffs=st.sets(st.sampled_from(NAMES)).map(lambda some: tuple(n for n in NAMES if n in some)),
    )
)
@settings(max_examples=50, deadline=None)
def test_what_is_written_into_a_link_is_read_back(patient):
    assert read(write(patient) | {"lesson": "01-arm-height", "predicted": "2"}) == (patient, [])


@given(st.dictionaries(st.sampled_from([f"my.{name}" for name in (*NUMBERS, "cuffs", "else")]), st.text(max_size=90)))
@settings(max_examples=100, deadline=None)
def test_whatever_stands_in_a_link_gives_a_patient_and_at_most_a_line_for_each_value(parameters):
    patient, problems = read(parameters)
    assert len(problems) <= len(parameters) + 1
    assert read(write(patient)) == (patient, [])


@pytest.mark.parametrize("name", list(NUMBERS))
def test_a_number_out_of_range_is_named_with_its_range_and_the_rest_is_kept(name):
    limit = NUMBERS[name]
    patient, (problem,) = read({"my.cuffs": "regular", f"my.{name}": f"{limit.high + 1:g}"})
    assert problem == f"my.{name} = {limit.high + 1:g}: must be {limit.allowed}. It is left out."
    assert patient == OwnPatient(cuffs=("regular",))


@pytest.mark.parametrize("text", ["regular,large", "13.5x26,16x32", " large , regular ", "16x32,regular,large"])
def test_cuffs_may_be_given_by_name_or_by_size(text):
    assert read({"my.cuffs": text}) == (OwnPatient(cuffs=("regular", "large")), [])


@pytest.mark.parametrize("text", ["12x23", "fitting", "", "regular,,large", "9" * 5000])
def test_what_is_no_named_size_is_refused_in_one_line(text):
    patient, problems = read({"my.cuffs": text})
    assert patient == NOBODY
    assert len(problems) == 1
    assert len(problems[0]) < 400


def test_the_stiffness_of_an_age_is_that_of_the_cohorts_people_of_that_age():
    for age in (30, 70):
        people = cohort(20_000, np.random.default_rng(5), age_years=(age - 1, age + 1))
        mean = float(np.exp(np.log(people.artery_b_mmhg).mean()))
        assert usual_artery_b_mmhg(age) == pytest.approx(mean, rel=0.04)


def test_nothing_set_leaves_a_lesson_as_it_is():
    assert with_patient(LESSONS[0], NOBODY).lesson is LESSONS[0]


@EACH
def test_a_lesson_takes_the_patient_or_says_what_it_does_not_take(lesson):
    made = with_patient(lesson, MINE)
    subject, moved = made.lesson.scenario.subject, {lever.name for lever in lesson.levers}
    for name, value in MINE.changes.items():
        taken = float(getattr(subject, name)) == pytest.approx(value)
        assert taken or (name in moved and any("lies outside" in note for note in made.notes)), name
    for lever in made.lesson.levers:
        given = getattr(getattr(made.lesson.scenario, lever.group), lever.name).item()
        assert lever.check(given) == lever.correct
        assert lever.check(lever.tempting) == lever.tempting
    assert str(made.lesson.scenario.instrument.bladder) in MINE.cuffs
    made.lesson.inputs(made.lesson.tempting)
    if made.lesson.predict.shows:
        made.lesson.inputs(made.lesson.predict.shows.at)


@EACH
def test_the_words_the_evidence_and_the_case_stay_the_lessons_own(lesson):
    made = with_patient(lesson, MINE).lesson
    assert (made.name, made.evidence, made.case, made.body) == (lesson.name, lesson.evidence, lesson.case, lesson.body)
    assert [choice.text for choice in made.predict.choices] == [choice.text for choice in lesson.predict.choices]
    assert f"{float(lesson.scenario.subject.sbp):g}/" in own_person(lesson)


@EACH
def test_with_the_lessons_own_numbers_no_sentence_is_said_to_fail(lesson):
    subject = lesson.scenario.subject
    same = OwnPatient(sbp=float(subject.sbp), dbp=float(subject.dbp))
    assert parted(with_patient(lesson, same).lesson) == ()


def test_a_sentence_that_fails_is_said_with_what_the_readings_show():
    """A size too small is the lesson's; here only a size too large is there to be tried: the reading falls."""
    patient = OwnPatient(arm_circumference_cm=24, cuffs=("small adult", "large"))
    lesson = with_patient(LESSONS[1], patient).lesson
    right = next(choice.text for choice in lesson.predict.choices if choice.right)
    said = next(each for each in parted(lesson) if each.sentence == right)
    assert lesson.predict.shows is not None
    mean = same_arm(lesson.inputs(lesson.predict.shows.at), FIRST_SEED).mean.result
    off = float(mean.reading.sbp[0] - mean.truth.resting.sbp[0])
    assert off < -1.5
    assert f"−{abs(off):.1f} mmHg" in said.words
    assert "systolic is higher than the resting pressure" in said.words
    assert "\n" not in said.words


@EACH
def test_every_claim_has_plain_words(lesson):
    for each in check(lesson):
        said = in_words(each.claim)
        assert "different by" not in said
        assert "same than" not in said


def test_pressures_that_do_not_go_with_the_lessons_leave_its_person_and_say_so():
    made = with_patient(LESSONS[0], OwnPatient(sbp=70))
    assert made.lesson is LESSONS[0]
    assert "do not go with this lesson's" in made.notes[0]


def test_where_no_cuff_fits_the_nearest_is_taken_and_it_is_said():
    made = with_patient(LESSONS[0], OwnPatient(arm_circumference_cm=50, cuffs=("small", "regular")))
    assert str(made.lesson.scenario.instrument.bladder) == "regular"
    assert printed(str(choose(50))) in made.notes[0]


@EACH
def test_an_arm_alone_is_measured_with_a_bladder_that_fits_it(lesson):
    made = with_patient(lesson, OwnPatient(arm_circumference_cm=44.0)).lesson.scenario
    assert fits(made.instrument.bladder[None], made.subject.arm_circumference_cm[None])[0]


@pytest.mark.parametrize("number", [1003, 2001, 3005])
def test_a_case_follows_from_number_and_patient(number):
    first = case(number, MINE)
    case.cache_clear()
    again = case(number, read(write(MINE))[0])
    assert (first.setup.key(), first.words, first.bias_mmhg) == (again.setup.key(), again.words, again.bias_mmhg)
    assert float(first.setup.subject.sbp) == 150
    assert str(first.setup.instrument.bladder) in MINE.cuffs
    assert first.setup.key() != case(number).setup.key()


def test_with_cuffs_alone_come_people_whom_one_of_them_fits():
    own = OwnPatient(cuffs=("regular",))
    for number in range(1001, 1013):
        setup = case(number, own).setup
        assert str(setup.instrument.bladder) == "regular"
        assert fits(setup.instrument.bladder[None], setup.subject.arm_circumference_cm[None])[0]


def test_in_a_room_of_ones_own_the_cuffs_are_the_clinics_and_what_fits_is_judged_by_them():
    found = own_setup.room(4001, MINE)
    assert found.sizes == cupboard(MINE)
    cuffs = {name: own_setup.remarks(found, own_setup.Chosen(name, "table", "five"))[0] for name in MINE.cuffs}
    assert (cuffs["large"].right, cuffs["regular"].right) == (True, False)
    assert printed("large") in cuffs["regular"].words


def test_the_fields_are_those_of_a_subject_or_an_age():
    assert {f.name for f in dataclasses.fields(OwnPatient)} == {*NUMBERS, "cuffs"}
    with pytest.raises(FieldError):
        case(999, MINE)
