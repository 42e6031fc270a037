"""What a learner has done: lessons, cases to practise on, final tests and questions that came back.

It is plain data that two places can both add to: `merge` gives the same whatever comes first and however often, and
where two places kept different first answers to the same question, the worse one counts. How it is written and read is
in `progress_text`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from sim.teach.lesson_record import Lesson
from sim.teach.practice_answers import Verdict

_K = TypeVar("_K")
_V = TypeVar("_V")


@dataclass(frozen=True)
class LessonProgress:
    """One lesson.

    predicted: the first prediction, counted from 1 as in the file; None before it
    prediction_right: whether it was right;  first: the name of each question answered -> whether the first answer was
    right;  last_s: when anything was answered last [s since 1970]
    """

    predicted: int | None = None
    prediction_right: bool = False
    first: Mapping[str, bool] = field(default_factory=dict)
    last_s: int = 0


@dataclass(frozen=True)
class OwnVerdict:
    """What was right of a reading that somebody set up."""

    cuff: bool
    support: bool
    moment: bool


@dataclass(frozen=True, order=True)
class Recall:
    """One answer to a question that came back, and when [s since 1970]."""

    at_s: int
    lesson: str
    question: str
    right: bool


@dataclass(frozen=True)
class Progress:
    """All of it.

    lessons: by the lesson's name;  cases, own: first answers by the case's number
    tests: seed of a final test -> number of a case -> answer;  recalls: sorted
    """

    lessons: Mapping[str, LessonProgress] = field(default_factory=dict)
    cases: Mapping[int, Verdict] = field(default_factory=dict)
    own: Mapping[int, OwnVerdict] = field(default_factory=dict)
    tests: Mapping[int, Mapping[int, Verdict]] = field(default_factory=dict)
    recalls: tuple[Recall, ...] = ()

    def lesson(self, name: str) -> LessonProgress:
        """A lesson's part, empty where nothing was done."""
        return self.lessons.get(name, LessonProgress())


def questions(lesson: Lesson) -> tuple[str, ...]:
    """The names of all questions of "Check yourself", the fresh case among them."""
    checks = tuple(f"check-{number}" for number in range(len(lesson.checks)))
    return (*checks, "case") if lesson.case is not None else checks


def begun(progress: Progress, lesson: Lesson) -> bool:
    """Whether a prediction was made or a question answered."""
    here = progress.lesson(lesson.name)
    return here.predicted is not None or bool(answered(progress, lesson))


def done(progress: Progress, lesson: Lesson) -> bool:
    """Whether the prediction was made and all questions were answered."""
    predicted = progress.lesson(lesson.name).predicted is not None
    return predicted and len(answered(progress, lesson)) == len(questions(lesson))


def answered(progress: Progress, lesson: Lesson) -> dict[str, bool]:
    """The questions that the lesson has now and that were answered: whether the first answer was right."""
    first = progress.lesson(lesson.name).first
    return {name: first[name] for name in questions(lesson) if name in first}


def first_tries(progress: Progress, lesson: Lesson) -> tuple[bool, ...]:
    """Of each question that was answered, the prediction first, whether the first answer was right."""
    here = progress.lesson(lesson.name)
    predicted = () if here.predicted is None else (here.prediction_right,)
    return (*predicted, *answered(progress, lesson).values())


def with_prediction(progress: Progress, lesson: str, choice: int, right: bool, now_s: int) -> Progress:
    """After a prediction; only the first one is kept."""
    here = progress.lesson(lesson)
    if here.predicted is not None:
        return progress
    made = replace(here, predicted=choice, prediction_right=right, last_s=max(here.last_s, now_s))
    return replace(progress, lessons={**progress.lessons, lesson: made})


def with_answer(progress: Progress, lesson: str, question: str, right: bool, now_s: int) -> Progress:
    """After an answer to a question of a lesson; only the first one is kept."""
    here = progress.lesson(lesson)
    if question in here.first:
        return progress
    made = replace(here, first={**here.first, question: right}, last_s=max(here.last_s, now_s))
    return replace(progress, lessons={**progress.lessons, lesson: made})


def with_case(progress: Progress, number: int, judged: Verdict | OwnVerdict) -> Progress:
    """After an answer to a case to practise on; only the first one is kept."""
    if isinstance(judged, OwnVerdict):
        return replace(progress, own={number: judged, **progress.own})
    return replace(progress, cases={number: judged, **progress.cases})


def with_test_answer(progress: Progress, seed: int, number: int, judged: Verdict) -> Progress:
    """After an answer to a case of a final test; only the first one is kept."""
    test = {number: judged, **progress.tests.get(seed, {})}
    return replace(progress, tests={**progress.tests, seed: test})


def with_recall(progress: Progress, recall: Recall) -> Progress:
    """After an answer to a question that came back."""
    return replace(progress, recalls=tuple(sorted({*progress.recalls, recall})))


def merge(one: Progress, other: Progress) -> Progress:
    """Both together."""
    return Progress(
        lessons=_both(one.lessons, other.lessons, _lesson),
        cases=_both(one.cases, other.cases, _worse),
        own=_both(one.own, other.own, _worse_own),
        tests=_both(one.tests, other.tests, lambda a, b: _both(a, b, _worse)),
        recalls=tuple(sorted({*one.recalls, *other.recalls})),
    )


def _both(one: Mapping[_K, _V], other: Mapping[_K, _V], join: Callable[[_V, _V], _V]) -> dict[_K, _V]:
    keys: Iterable[_K] = {**one, **other}
    return {k: join(one[k], other[k]) if k in one and k in other else one.get(k, other.get(k)) for k in keys}  # type: ignore[misc]


def _lesson(one: LessonProgress, other: LessonProgress) -> LessonProgress:
    made = [(p.prediction_right, p.predicted) for p in (one, other) if p.predicted is not None]
    right, predicted = min(made, default=(False, None))
    return LessonProgress(
        predicted=predicted,
        prediction_right=right,
        first=_both(one.first, other.first, lambda a, b: a and b),
        last_s=max(one.last_s, other.last_s),
    )


def _worse(one: Verdict, other: Verdict) -> Verdict:
    def rank(v: Verdict) -> tuple[Any, ...]:
        right = (v.mistakes, v.direction, v.band, v.following)
        return sum(right), right, v.found, v.missed, v.false

    return min(one, other, key=rank)


def _worse_own(one: OwnVerdict, other: OwnVerdict) -> OwnVerdict:
    def rank(v: OwnVerdict) -> tuple[Any, ...]:
        right = (v.cuff, v.support, v.moment)
        return sum(right), right

    return min(one, other, key=rank)
