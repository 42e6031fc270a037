"""Learners who have done any number of things."""

from __future__ import annotations

from hypothesis import strategies as st

from sim.teach.final_test import numbers
from sim.teach.practice import possible
from sim.teach.practice_answers import Verdict
from sim.teach.progress import LessonProgress, OwnVerdict, Progress, Recall

NAMES = st.sampled_from(["01-arm-height", "02-cuff-size", "my-own", "äöü_7"])
QUESTIONS = st.sampled_from(["check-0", "check-1", "check-2", "case"])
TIMES = st.integers(0, 10**10)
_mistakes = st.lists(st.sampled_from([m.name for m in possible()]), max_size=3, unique=True).map(tuple)
VERDICTS = st.builds(
    Verdict,
    found=_mistakes,
    missed=_mistakes,
    false=_mistakes,
    direction=st.booleans(),
    band=st.booleans(),
    following=st.booleans(),
)
_first = st.dictionaries(QUESTIONS, st.booleans(), max_size=4)
LESSONS = st.one_of(
    st.builds(
        LessonProgress,
        predicted=st.integers(1, 5),
        prediction_right=st.booleans(),
        first=_first,
        last_s=TIMES,
    ),
    st.builds(LessonProgress, first=_first.filter(bool), last_s=TIMES),
)
RECALLS = st.builds(Recall, at_s=TIMES, lesson=NAMES, question=QUESTIONS, right=st.booleans())
LEARNERS = st.builds(
    Progress,
    lessons=st.dictionaries(NAMES, LESSONS, max_size=3),
    cases=st.dictionaries(st.integers(1000, 3999), VERDICTS, max_size=3),
    own=st.dictionaries(
        st.integers(4000, 4999), st.builds(OwnVerdict, st.booleans(), st.booleans(), st.booleans()), max_size=2
    ),
    tests=st.dictionaries(
        st.integers(1, 9999), st.dictionaries(st.sampled_from(numbers(1)), VERDICTS, min_size=1, max_size=3), max_size=2
    ),
    recalls=st.lists(RECALLS, max_size=4).map(lambda found: tuple(sorted(set(found)))),
)


def finished(lesson, wrong=(), at_s=1000):
    """The part of a lesson that was done: which questions were answered wrongly at first."""
    from sim.teach.progress import questions

    return LessonProgress(1, True, {name: name not in wrong for name in questions(lesson)}, at_s)
