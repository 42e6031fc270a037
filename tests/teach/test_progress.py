"""Progress of a learner: what counts, what two browsers make together, and text that is read as far as it goes."""

import json

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sim.teach import progress as records
from sim.teach.lesson import load_all
from sim.teach.practice_answers import Verdict
from sim.teach.progress import LessonProgress, OwnVerdict, Progress, Recall, merge, questions
from sim.teach.progress_text import MARK, NoProgressError, brought, from_code, from_text, to_code, to_text
from tests.teach.learners import LEARNERS, finished

LESSONS, _ = load_all()
LESSON = LESSONS[0]
RIGHT = Verdict((), (), (), True, True, True)
WRONG = Verdict((), (), ("Talking",), False, True, True)
FULL = Progress(
    lessons={LESSON.name: finished(LESSON), "02-cuff-size": LessonProgress(2, False, {"check-0": True}, 7)},
    cases={1001: RIGHT, 2001: WRONG},
    own={4001: OwnVerdict(True, False, True)},
    tests={7: {1500: RIGHT}},
    recalls=(Recall(9, LESSON.name, "check-1", True),),
)


# What counts


def test_a_lesson_is_done_with_the_prediction_and_all_questions_the_fresh_case_among_them():
    progress = Progress()
    assert not records.begun(progress, LESSON)
    for name in questions(LESSON):
        progress = records.with_answer(progress, LESSON.name, name, True, 5)
    assert "case" in questions(LESSON)
    assert records.begun(progress, LESSON)
    assert not records.done(progress, LESSON)
    assert records.done(records.with_prediction(progress, LESSON.name, 1, False, 6), LESSON)


def test_only_the_first_answer_is_kept():
    progress = records.with_prediction(Progress(), "a", 2, False, 5)
    progress = records.with_prediction(progress, "a", 3, True, 6)
    progress = records.with_answer(progress, "a", "check-0", False, 7)
    progress = records.with_answer(progress, "a", "check-0", True, 8)
    assert progress.lesson("a") == LessonProgress(2, False, {"check-0": False}, 7)
    progress = records.with_case(records.with_case(progress, 1001, WRONG), 1001, RIGHT)
    assert progress.cases[1001] == WRONG
    progress = records.with_test_answer(records.with_test_answer(progress, 3, 1001, WRONG), 3, 1001, RIGHT)
    assert progress.tests[3] == {1001: WRONG}


# Two browsers


@given(LEARNERS, LEARNERS, LEARNERS)
@settings(deadline=None)
def test_it_does_not_matter_in_which_order_or_how_often_progress_comes_together(a, b, c):
    assert merge(a, b) == merge(b, a)
    assert merge(merge(a, b), c) == merge(a, merge(b, c))
    assert merge(a, a) == a
    assert merge(a, Progress()) == a
    assert merge(merge(a, b), b) == merge(a, b)


@given(LEARNERS, LEARNERS)
@settings(deadline=None)
def test_nothing_is_lost_and_nothing_gets_better_where_two_come_together(a, b):
    both = merge(a, b)
    for one in (a, b):
        assert set(one.cases) <= set(both.cases)
        assert set(one.recalls) <= set(both.recalls)
        for name, lesson in one.lessons.items():
            assert set(lesson.first) <= set(both.lesson(name).first)
            assert all(not both.lesson(name).first[q] for q, right in lesson.first.items() if not right)
            assert both.lesson(name).last_s >= lesson.last_s


# Text


@given(LEARNERS)
@settings(deadline=None)
def test_text_code_and_file_bring_the_same_progress_back(progress):
    text = to_text(progress)
    assert json.loads(text)[MARK] == 1
    assert from_text(text) == progress
    assert to_text(from_text(text)) == text
    assert from_code(to_code(progress)) == progress
    if progress != Progress():
        assert brought(text) == brought(f"  {to_code(progress)}\n") == progress


@given(st.text())
@example("{}")
@example("[[[[" * 5000)
@example('{"cuffbias_progress":1,"lessons":' + "9" * 6000)
@settings(deadline=None)
def test_any_text_is_read_without_an_error(text):
    assert isinstance(from_text(text), Progress)
    with pytest.raises(NoProgressError):
        brought("P1-" + text)


_ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


@given(
    st.fixed_dictionaries(
        {MARK: _ANYTHING}, optional=dict.fromkeys(("lessons", "cases", "own", "tests", "recalls"), _ANYTHING)
    )
)
@settings(deadline=None)
def test_what_has_the_right_keys_and_anything_in_them_is_read_and_can_be_written_again(table):
    found = from_text(json.dumps(table))
    assert from_text(to_text(found)) == found


def _places(table, path=()):
    """The paths to everything inside nested tables and lists."""
    for key in table if isinstance(table, dict) else range(len(table)) if isinstance(table, list) else ():
        yield (*path, key)
        yield from _places(table[key], (*path, key))


@pytest.mark.parametrize("junk", [None, "x", -1, 1.5, [], {}, True, 10**30])
def test_one_damaged_place_leaves_the_rest(junk):
    whole = json.loads(to_text(FULL))
    for path in _places(whole):
        table = json.loads(to_text(FULL))
        inside = table
        for key in path[:-1]:
            inside = inside[key]
        inside[path[-1]] = junk
        found = from_text(json.dumps(table))
        parts = ("lessons", "cases", "own", "tests", "recalls")
        assert [p for p in parts if p != path[0] and getattr(found, p) != getattr(FULL, p)] == [], path


def test_a_text_that_breaks_off_is_read_up_to_there():
    text = to_text(FULL)
    assert from_text(text[: text.index('"cases"')]).lessons == FULL.lessons
    inside = from_text(text[: text.index('"2001"') + 20])
    assert (inside.lessons, inside.cases) == (FULL.lessons, {1001: RIGHT})
    for end in range(len(text)):
        found = from_text(text[:end])
        assert set(found.cases) <= set(FULL.cases)


def test_a_store_of_another_version_is_read_as_far_as_it_is_known_and_a_foreign_one_not_at_all():
    table = json.loads(to_text(FULL)) | {MARK: 2, "new": [1]}
    table["lessons"][LESSON.name]["mood"] = "good"
    assert from_text(json.dumps(table)) == FULL
    assert from_text(json.dumps({MARK: 0, "lessons": table["lessons"]})).lessons == FULL.lessons
    assert from_text(json.dumps({"lessons": table["lessons"]})) == Progress()


def test_names_of_mistakes_that_are_not_known_are_left_out():
    table = json.loads(to_text(FULL))
    table["cases"]["2001"]["missed"] = ["<script>", "Talking", "Talking", 5]
    assert from_text(json.dumps(table)).cases[2001].missed == ("Talking",)


@given(LEARNERS, st.data())
@settings(deadline=None)
def test_a_code_with_a_changed_or_missing_letter_is_refused(progress, data):
    code = to_code(progress)
    place = data.draw(st.integers(0, len(code) - 1))
    other = data.draw(st.sampled_from("aZ7-_.").filter(lambda letter: letter != code[place]))
    for damaged in (code[:place] + other + code[place + 1 :], code[:place] + code[place + 1 :]):
        with pytest.raises(NoProgressError):
            from_code(damaged)


def test_a_code_that_would_unpack_to_very_much_is_cut_off():
    import base64
    import hashlib
    import zlib

    packed = base64.urlsafe_b64encode(zlib.compress(b"9" * 50_000_000, 9)).decode().rstrip("=")
    check = hashlib.sha256(packed.encode()).hexdigest()[:8]
    assert from_code(f"P1-{packed}.{check}") == Progress()


@pytest.mark.parametrize("text", ["", "hello", "{}", '{"cuffbias_progress":1}', to_code(Progress())])
def test_what_holds_no_progress_is_said_so(text):
    with pytest.raises(NoProgressError, match="no progress"):
        brought(text)
