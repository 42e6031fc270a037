"""Lessons: read from files, each a question, a prediction, levers, evidence and what to do.

`lessons/README.md` describes the format. A faulty file is reported and the others still load.
"""

from __future__ import annotations

from dataclasses import replace
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

import sim
from sim.say import ENGLISH
from sim.teach.keys import LessonFault
from sim.teach.lesson_record import Lesson
from sim.teach.parse import parse

__all__ = ["Lesson", "LessonFault", "load", "load_all", "place"]


def place() -> Traversable:
    """The folder of the lessons: inside the installed package, or beside it in a source tree."""
    inside = resources.files("sim").joinpath("_lessons")
    return inside if inside.is_dir() else Path(str(sim.__file__)).resolve().parent.parent / "lessons"


def load(path: str | Path | Traversable) -> Lesson:
    """The lesson of one file. Raises its first LessonFault where it is faulty."""
    lesson, faults = _read(Path(path) if isinstance(path, str) else path)
    if lesson is None:
        raise faults[0]
    return lesson


def load_all(
    folder: str | Path | Traversable | None = None, language: str = ENGLISH
) -> tuple[tuple[Lesson, ...], tuple[LessonFault, ...]]:
    """All lessons of a folder in the order of their names, and all faults of the files that are no lesson.

    folder: `place()` unless given. Every .md file in it is a lesson, except README.md.
    language: each lesson is the one of the same name in the folder's folder of this language, where that is one
    """
    source = place() if folder is None else Path(folder) if isinstance(folder, str) else folder
    if not source.is_dir():
        return (), (LessonFault(str(source), "", "a folder of lessons"),)
    lessons: list[Lesson] = []
    faults: list[LessonFault] = []
    for file in sorted(source.iterdir(), key=lambda f: f.name):
        if file.name.endswith(".md") and file.name != "README.md":
            lesson, found = _read(file)
            faults += found
            lessons += [_translated(lesson, source.joinpath(language), language)] if lesson else []
    return tuple(lessons), tuple(faults)


def _translated(lesson: Lesson, folder: Traversable, language: str) -> Lesson:
    """The lesson in another language; as it is where there is none, or where its file is faulty."""
    file = folder.joinpath(f"{lesson.name}.md")
    if language == ENGLISH or not file.is_file():
        return lesson
    found, _ = _read(file)
    return replace(found, language=language) if found else lesson


def _read(file: Path | Traversable) -> tuple[Lesson | None, list[LessonFault]]:
    """The lesson of one file, or None and what is wrong with it."""
    try:
        text = file.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return None, [LessonFault(file.name, f"byte {error.start}", "text in UTF-8", "other bytes")]
    except OSError as error:
        return None, [LessonFault(file.name, "", "a file that can be read", error.strerror or "none")]
    return parse(file.name, text)
