"""The recommended path through the lessons (path.toml), and which lesson comes next for a learner."""

from __future__ import annotations

from collections.abc import Sequence

from sim.data import data
from sim.teach.lesson_record import Lesson
from sim.teach.progress import Progress, begun, done


def named() -> dict[str, list[str]]:
    """The names of the lessons in each part of the path: "essentials" and "advanced"."""
    return data("sim.teach", "path.toml")


def parts(lessons: Sequence[Lesson]) -> tuple[list[Lesson], list[Lesson], list[Lesson]]:
    """The essential lessons, the others, each in the order of the path, and those of one's own.

    A built-in lesson that the path does not name comes last among the others.
    """
    there = {lesson.name: lesson for lesson in lessons if not lesson.local}
    essentials = [there[name] for name in named()["essentials"] if name in there]
    advanced = [there[name] for name in named()["advanced"] if name in there]
    rest = [lesson for lesson in there.values() if lesson not in essentials + advanced]
    return essentials, advanced + rest, [lesson for lesson in lessons if lesson.local]


def following(lessons: Sequence[Lesson], progress: Progress) -> Lesson | None:
    """The lesson to go on with: the one begun last, else the first of the path; None where all are done."""
    left = [lesson for part in parts(lessons) for lesson in part if not done(progress, lesson)]
    open_ = [lesson for lesson in left if begun(progress, lesson)]
    if open_:
        return max(open_, key=lambda lesson: progress.lesson(lesson.name).last_s)
    return left[0] if left else None


def number(lesson: Lesson) -> str:
    """The number that file, command and handout have; "" where a lesson has none, as those of one's own."""
    if lesson.local:
        return ""
    first = lesson.name.partition("-")[0].lstrip("0")
    return first if first.isdecimal() else ""
