"""What a learner's progress leads to: the next lesson, questions that come back, the final test, summary, checklist."""

from dataclasses import replace

import pytest

from sim.fields import FieldError
from sim.teach import path
from sim.teach.document import body, to_html, to_text
from sim.teach.final_test import CASES, NO_CERTIFICATE, finished, numbers, result
from sim.teach.lesson import load_all
from sim.teach.practice import possible
from sim.teach.practice_answers import Verdict
from sim.teach.progress import LessonProgress, Progress, Recall
from sim.teach.recall import DAY_S, due
from sim.teach.safety import NO_DEVICE
from sim.teach.summary import checklist, missed, status, summary
from tests.teach import learners

LESSONS, _ = load_all()
FIRST, SECOND = path.parts(LESSONS)[0][:2]
LEAST = Verdict((), ("Talking",), (), True, True, True)


def answers(seed, *verdicts):
    """The first cases of a test answered so, the others rightly."""
    right = Verdict((), (), (), True, True, True)
    return dict(zip(numbers(seed), [*verdicts, *[right] * (CASES - len(verdicts))], strict=True))


# The path


def test_the_path_names_lessons_that_exist_each_once_and_leaves_none_out():
    named = [name for part in path.named().values() for name in part]
    assert len(named) == len(set(named))
    assert set(named) <= {lesson.name for lesson in LESSONS}
    essentials, others, _ = path.parts(LESSONS)
    assert sorted(lesson.name for lesson in essentials + others) == [lesson.name for lesson in LESSONS]
    assert [lesson.name for lesson in essentials[:4]] == ["01-arm-height", "02-cuff-size", "03-clothing", "04-talking"]


def test_a_lesson_that_the_path_does_not_name_comes_last():
    own = replace(FIRST, name="my-own")
    assert path.parts([own, *LESSONS])[1][-1] is own
    assert (path.number(own), path.number(FIRST)) == ("", "1")


def test_the_lesson_begun_last_goes_on_and_then_the_first_one_that_is_left():
    assert path.following(LESSONS, Progress()) is FIRST
    begun = {SECOND.name: LessonProgress(1, True, {}, 5), LESSONS[-1].name: LessonProgress(1, True, {}, 6)}
    assert path.following(LESSONS, Progress(lessons=begun)) is LESSONS[-1]
    assert path.following(LESSONS, Progress(lessons={FIRST.name: learners.finished(FIRST)})) is SECOND
    all_ = {lesson.name: learners.finished(lesson) for lesson in LESSONS}
    assert path.following(LESSONS, Progress(lessons=all_)) is None


# Questions that come back


def test_a_question_comes_back_after_a_day_or_after_another_lesson():
    one = Progress(lessons={FIRST.name: learners.finished(FIRST, at_s=1000)})
    assert due(LESSONS, one, 1000 + DAY_S - 1) == []
    assert len(due(LESSONS, one, 1000 + DAY_S)) == len(FIRST.checks)
    assert len(due(LESSONS, one, 1000 - DAY_S)) == len(FIRST.checks)  # the clock was ahead, and is right again
    two = Progress(lessons={**one.lessons, SECOND.name: learners.finished(SECOND, at_s=1001)})
    assert {each.lesson.name for each in due(LESSONS, two, 1002)} == {FIRST.name}
    unfinished = Progress(lessons={FIRST.name: LessonProgress(1, True, {"check-0": False}, 0)})
    assert due(LESSONS, unfinished, 10 * DAY_S) == []


def test_the_least_well_answered_question_comes_first_and_an_answer_counts():
    begun = Progress(lessons={FIRST.name: learners.finished(FIRST, wrong=("check-2",), at_s=0)})
    later = 5 * DAY_S
    assert due(LESSONS, begun, later)[0].name == "check-2"
    wrong = replace(begun, recalls=(Recall(later, FIRST.name, "check-2", False),))
    assert "check-2" not in [each.name for each in due(LESSONS, wrong, later + 1)]
    assert due(LESSONS, wrong, later + DAY_S)[0].name == "check-2"
    right = replace(
        begun, recalls=(Recall(later, FIRST.name, "check-2", True), Recall(9 * DAY_S, FIRST.name, "check-0", False))
    )
    assert due(LESSONS, right, 20 * DAY_S)[0].name == "check-2"  # wrong, then right: half
    better = replace(right, recalls=(*right.recalls, Recall(12 * DAY_S, FIRST.name, "check-2", True)))
    assert [each.name for each in due(LESSONS, better, 20 * DAY_S)][:2] == ["check-0", "check-2"]


# The final test


def test_a_seed_is_ten_different_cases_the_same_every_time():
    assert numbers(7) == numbers(7) != numbers(8)
    for seed in (1, 7, 9999):
        drawn = numbers(seed)
        assert len(set(drawn)) == CASES == 10
        assert [number // 1000 for number in drawn] == [1] * 4 + [2] * 3 + [3] * 3
    for bad in (0, 10_000, True, "7"):
        with pytest.raises(FieldError):
            numbers(bad)  # type: ignore[arg-type]


def test_the_result_counts_by_kind_of_mistake_and_leaves_out_cases_of_other_tests():
    given = answers(7, LEAST, Verdict(("Talking",), (), ("Legs crossed",), False, True, True))
    found = result(7, {**given, 1001 if 1001 not in numbers(7) else 1002: LEAST})
    assert (found.answered, found.mistakes) == (10, 8)
    counts = {count.what: count for count in found.counts}
    assert (counts["Talking"].right, counts["Talking"].asked) == (1, 2)
    assert (counts["Legs crossed"].asked, counts["Legs crossed"].falsely) == (0, 1)
    assert (counts["Direction"].right, counts["Direction"].asked) == (9, 10)
    assert (found.missed, found.false) == (("Talking",), ("Legs crossed",))


def test_nothing_is_said_of_a_test_before_its_last_case():
    given = answers(7, LEAST)
    part = dict(list(given.items())[:9])
    assert not finished(7, part)
    early = Progress(tests={7: part})
    assert missed(early) == {}
    words = to_text(summary(early, LESSONS, "", ""))
    assert "9 of 10 cases answered" in words
    assert "Talking: " not in words
    assert missed(Progress(tests={7: given})) == {"Talking": 1}
    assert "Talking: 0 of 1" in to_text(summary(Progress(tests={7: given}), LESSONS, "", ""))


# Summary and checklist


def test_the_words_on_a_lesson_say_how_far_it_is():
    assert status(Progress(), FIRST) == ""
    begun = Progress(lessons={FIRST.name: LessonProgress(2, False, {"check-0": True}, 5)})
    total = len(FIRST.checks) + 2
    assert status(begun, FIRST) == f"Begun · 2 of {total} questions answered"
    done = Progress(lessons={FIRST.name: learners.finished(FIRST, wrong=("case",))})
    assert status(done, FIRST) == f"Done · {total - 1} of {total} right at the first try"


def test_the_summary_says_what_was_done_by_whom_and_when_and_that_it_is_no_certificate():
    progress = Progress(
        lessons={FIRST.name: learners.finished(FIRST)}, recalls=(Recall(1, FIRST.name, "check-0", True),)
    )
    made = summary(progress, LESSONS, "A <b>Learner</b>", "2026-11-27")
    text = to_text(made)
    for words in ("A <b>Learner</b>", "2026-11-27", FIRST.title, f"1 of {len(LESSONS)} lessons done", "1 of 1 right"):
        assert words in text
    joined = " ".join(text.split())
    assert NO_CERTIFICATE in joined
    assert NO_DEVICE in joined
    assert SECOND.title not in text
    page = to_html(made)
    assert "<b>Learner" not in page
    assert "A &lt;b&gt;Learner" in page
    assert "<button" not in page
    assert body(made, 2).startswith("<h2>")
    assert "____" in to_text(summary(Progress(), LESSONS, " ", ""))


def test_the_checklist_puts_right_what_was_missed_or_named_falsely_the_most_often_first():
    put_right = {m.name: m.put_right for m in possible()}
    false = Verdict((), (), ("Cold room",), True, True, True)
    progress = Progress(cases={1001: false, 1002: LEAST, 1003: LEAST})
    assert missed(progress) == {"Talking": 2, "Cold room": 1}
    text = " ".join(to_text(checklist(progress, "")).split())
    assert text.index(put_right["Talking"]) < text.index(put_right["Cold room"])
    assert text.count("[ ]") == 2
    assert NO_DEVICE in text
    assert "Your local protocol comes first" in text
    assert "Nothing was missed so far" in to_text(checklist(Progress(), ""))
