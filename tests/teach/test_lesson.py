"""The lessons as they are, and what a lesson can be asked."""

from importlib import resources
from pathlib import Path

import numpy as np
import pytest

import sim
from sim import measure
from sim.explain.mistakes import mistakes
from sim.fields import FieldError
from sim.setup import RECORDS
from sim.teach.lesson import load, load_all, place
from sim.teach.parts import SURE
from tests.teach.files import GOOD

LESSONS, FAULTS = load_all()
by_name = pytest.mark.parametrize("lesson", LESSONS, ids=[lesson.name for lesson in LESSONS])


def test_every_lesson_loads():
    assert [str(fault) for fault in FAULTS] == []
    files = sorted(p.stem for p in (Path(sim.__file__).parent.parent / "lessons").glob("[0-9]*.md"))
    assert [lesson.name for lesson in LESSONS] == files
    assert files[:4] == ["01-arm-height", "02-cuff-size", "03-clothing", "04-talking"]


def test_lessons_inside_the_package_come_first(tmp_path, monkeypatch):
    (tmp_path / "_lessons").mkdir()
    (tmp_path / "_lessons" / "01-good.md").write_text(GOOD, encoding="utf-8")
    monkeypatch.setattr(resources, "files", lambda package: tmp_path)
    assert [lesson.name for lesson in load_all()[0]] == ["01-good"]


def test_lessons_beside_the_package_otherwise():
    assert place() == Path(sim.__file__).resolve().parent.parent / "lessons"


@by_name
def test_levers_name_fields_that_exist(lesson):
    for lever in lesson.levers:
        assert lever.name in RECORDS[lever.group].LIMITS
        assert lever.field == f"{lever.group}.{lever.name}"
        assert lever.help


@by_name
def test_every_wrong_choice_is_answered_with_words_of_its_own(lesson):
    replies = [choice.reply for choice in lesson.predict.choices if not choice.right]
    assert len(lesson.predict.choices) in (3, 4)
    assert all(len(reply) > 80 for reply in replies)
    assert len(set(replies)) == len(replies)
    assert 3 <= len(lesson.checks) <= 4
    for check in lesson.checks:
        assert all(choice.reason for choice in check.choices)
        assert sum(choice.right for choice in check.choices) == 1


@by_name
def test_the_right_choice_is_not_always_in_the_same_place(lesson):
    places = {[c.right for c in check.choices].index(True) for check in lesson.checks}
    assert len(places) > 1


@by_name
def test_evidence_says_where_it_comes_from(lesson):
    for entry in lesson.evidence:
        assert entry.source
        assert entry.identifier
        assert entry.sure in SURE
        assert entry.model or entry.why


@by_name
def test_a_takeaway_never_corrects_a_number(lesson):
    """What a patient is told never invites to take something off a reading."""
    for text in (lesson.takeaway.text, *lesson.takeaway.steps):
        for word in ("subtract", "deduct", "minus", "add "):
            assert word not in text.lower()
    assert any("measure again" in step.lower() for step in (lesson.takeaway.text, *lesson.takeaway.steps))


@by_name
def test_what_is_not_known_says_what_truth_is_and_that_errors_were_studied_one_by_one(lesson):
    text = " ".join(lesson.sections["What is not known"].split())
    assert "no study of several errors" in text
    assert "10.1016/j.jacc.2017.05.064" in text


@by_name
def test_the_scenario_is_measured_correctly(lesson):
    subject, technique, _ = lesson.inputs(lesson.correct)
    assert subject.sbp == lesson.scenario.subject.sbp
    for name, limit in technique.LIMITS.items():
        assert getattr(technique, name) == limit.default
    assert mistakes(lesson.scenario.spread(1)) == []


@by_name
def test_the_tempting_positions_are_mistakes(lesson):
    for lever in lesson.levers:
        inputs = lesson.inputs({lever.field: lever.tempting})
        record = dict(zip(("subject", "technique", "instrument"), inputs, strict=True))[lever.group]
        assert getattr(record, lever.name) == lever.tempting
        assert lever.tempting != lever.correct


# Lessons whose case holds no mistake, so that the number is simply true.
NO_MISTAKE_IN_THE_CASE = {"15-two-algorithms", "16-cannot-be-right"}


@by_name
def test_the_case_is_somebody_else_with_one_or_two_things_to_find(lesson):
    """The two may be of this lesson and of an earlier one; the case mostly has a display to look at."""
    assert lesson.case is not None
    subject, _, _ = setup = lesson.case.inputs.spread(40)
    assert (subject.sbp[0], subject.dbp[0]) != (lesson.scenario.subject.sbp, lesson.scenario.subject.dbp)
    found = mistakes(setup)
    assert len(found) <= 2
    assert bool(found) != (lesson.name in NO_MISTAKE_IN_THE_CASE)
    assert measure(setup, rng=np.random.default_rng(3)).reading.ok.mean() > 0.5
    assert len(lesson.case.choices) in (3, 4)
    assert all(len(choice.reason) > 80 for choice in lesson.case.choices)


def test_inputs_put_the_levers_where_they_are_told():
    height, size = LESSONS[0], LESSONS[1]
    _, technique, _ = height.inputs({"technique.cuff_below_heart_cm": "7"})
    assert technique.cuff_below_heart_cm == 7
    _, technique, instrument = size.inputs({"instrument.bladder": "10.5x21", "technique.slack_cm": np.float64(2)})
    assert (technique.slack_cm, instrument.bladder) == (2, "10.5x21")


@pytest.mark.parametrize(
    ("field", "value", "allowed"),
    [
        ("technique.talking", "no", "a lever of this lesson"),
        ("technique.cuff_below_heart_cm", 31, "from -20 to 20"),
        ("technique.cuff_below_heart_cm", "high", "from -20 to 20"),
        ("technique.cuff_below_heart_cm", float("nan"), "from -20 to 20"),
        ("technique.cuff_below_heart_cm", None, "from -20 to 20"),
    ],
)
def test_inputs_refuse_what_is_no_position(field, value, allowed):
    with pytest.raises(FieldError, match=allowed):
        LESSONS[0].inputs({field: value})
    with pytest.raises(FieldError, match=r"one of 10\.5x21"):
        LESSONS[1].inputs({"instrument.bladder": "adult"})


def test_a_lesson_without_some_optional_parts(tmp_path):
    path = tmp_path / "09-height.md"
    path.write_text(GOOD, encoding="utf-8")
    lesson = load(str(path))
    assert lesson.predict.choices[1].reply == ""
    assert lesson.compare_with == ""
    assert lesson.sections == {"Why it happens": "Weight.", "What to do": "Rest it.", "What is not known": "Much."}
    assert lesson.correct == {"technique.cuff_below_heart_cm": 0, "instrument.bladder": "13.5x26"}


def test_a_lesson_with_case_and_second_estimator(tmp_path):
    path = tmp_path / "09-height.md"
    path.write_text(GOOD.replace("minutes = 5", 'minutes = 5\ncompare_with = "slope"'), encoding="utf-8")
    lesson = load(path)
    assert lesson.compare_with == "slope"
    assert lesson.case is not None
    subject, technique, instrument = lesson.case.inputs
    assert (subject.sbp, technique.cuff_below_heart_cm, instrument.bladder) == (150, -10, "13.5x26")
    assert [choice.right for choice in lesson.case.choices] == [True, False]


def test_a_lesson_without_a_case_loads(tmp_path):
    path = tmp_path / "09-height.md"
    start, end = GOOD.index("[case]"), GOOD.index("[[evidence]]")
    path.write_text(GOOD[:start] + GOOD[end:], encoding="utf-8")
    assert load(path).case is None


def test_levers_and_scenario_take_fields_of_the_subject_and_the_course_of_the_cuff(tmp_path):
    path = tmp_path / "09-height.md"
    text = GOOD.replace(
        '"instrument.bladder"\nlabel = "Bladder"\noptions = [{ value = "10.5x21", label = "small" }, '
        '{ value = "13.5x26", label = "regular" }]\ncorrect = "13.5x26"\ntempting = "10.5x21"',
        '"subject.rhythm"\nlabel = "Rhythm"\noptions = [{ value = "regular", label = "regular" }, '
        '{ value = "atrial-fibrillation", label = "irregular" }]\ncorrect = "regular"\n'
        'tempting = "atrial-fibrillation"',
    )
    path.write_text(text.replace('bladder = "13.5x26"', 'course = "steps"', 1), encoding="utf-8")
    lesson = load(path)
    subject, _, instrument = lesson.inputs({"subject.rhythm": "atrial-fibrillation"})
    assert (subject.rhythm, instrument.course) == ("atrial-fibrillation", "steps")
