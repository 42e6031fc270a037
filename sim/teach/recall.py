"""Which question of an earlier lesson comes back, so that what was learnt is kept.

A question is due once its lesson is done and either a day has gone by since it was last answered, or another lesson has
been done since. The one that was answered least well comes first, and of those the one that was seen longest ago. That
being asked again after a pause helps to remember: Cepeda NJ, et al. Psychol Bull 2006;132:354, from memory. The rule
itself is assumed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sim.teach.lesson_record import Lesson
from sim.teach.parts import Check
from sim.teach.progress import Progress, done

DAY_S = 86_400


@dataclass(frozen=True, eq=False)
class Due:
    """A question that comes back: of which lesson, under which name."""

    lesson: Lesson
    name: str
    check: Check


def due(lessons: Sequence[Lesson], progress: Progress, now_s: int) -> list[Due]:
    """All questions that are due, the least well answered first."""
    finished = [lesson for lesson in lessons if done(progress, lesson)]
    ranked = []
    for place, lesson in enumerate(finished):
        others = [progress.lesson(other.name).last_s for other in finished if other is not lesson]
        for number, check in enumerate(lesson.checks):
            name = f"check-{number}"
            seen_s = _seen_s(progress, lesson, name)
            # A day to either side: a clock that was wrong for a while, or is put back, keeps no question away.
            if abs(now_s - seen_s) >= DAY_S or max(others, default=0) > seen_s:
                ranked.append((_well(progress, lesson, name), seen_s, place, number, Due(lesson, name, check)))
    return [each[-1] for each in sorted(ranked, key=lambda each: each[:-1])]


def _answers(progress: Progress, lesson: Lesson, name: str) -> list[bool]:
    """Whether each answer was right, from the first to the last."""
    again = [r.right for r in progress.recalls if (r.lesson, r.question) == (lesson.name, name)]
    return [progress.lesson(lesson.name).first[name], *again]


def _well(progress: Progress, lesson: Lesson, name: str) -> float:
    """How well a question was answered, 0 to 1: the last answer weighs as much as all before it."""
    *before, last = _answers(progress, lesson, name)
    return (last + sum(before) / len(before)) / 2 if before else float(last)


def _seen_s(progress: Progress, lesson: Lesson, name: str) -> int:
    again = [r.at_s for r in progress.recalls if (r.lesson, r.question) == (lesson.name, name)]
    return max([progress.lesson(lesson.name).last_s, *again])
