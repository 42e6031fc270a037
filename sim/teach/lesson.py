"""Lessons: read from files, each a question, a prediction, levers, evidence and what to do.

`lessons/README.md` describes the format. A faulty file is reported and the others still load.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

import sim
from sim.say import ENGLISH
from sim.teach.keys import LessonFault
from sim.teach.lesson_record import Lesson
from sim.teach.parse import parse

__all__ = [
    "OWN_FOLDER",
    "Lesson",
    "LessonFault",
    "lesson_files",
    "load",
    "load_all",
    "load_folder",
    "place",
    "read_file",
]

# The environment variable by which the app's server is told of a folder with lessons of one's own.
OWN_FOLDER = "CUFFBIAS_LESSONS"
# A lesson is ten to thirty thousand bytes.
LONGEST = 500_000


def place() -> Traversable:
    """The folder of the lessons: inside the installed package, or beside it in a source tree."""
    inside = resources.files("sim").joinpath("_lessons")
    return inside if inside.is_dir() else Path(str(sim.__file__)).resolve().parent.parent / "lessons"


def load(path: str | Path | Traversable, local: bool = False) -> Lesson:
    """The lesson of one file. Raises its first LessonFault where it is faulty. local: a lesson of one's own"""
    lesson, faults = read_file(Path(path) if isinstance(path, str) else path, local)
    if lesson is None:
        raise faults[0]
    return lesson


def load_all(*own: str | Path, language: str = ENGLISH) -> tuple[tuple[Lesson, ...], tuple[LessonFault, ...]]:
    """All lessons in the order of their names, and all faults of the files that are no lesson.

    The built-in ones come first, then those of each folder in `own`, which are marked as local.
    language: each lesson is the one of the same name in the folder's folder of this language, where that is one
    """
    lessons, faults = load_folder(place(), language=language)
    for folder in own:
        more, found = load_folder(Path(folder), True, [lesson.name for lesson in lessons], language)
        lessons, faults = lessons + more, faults + found
    return lessons, faults


def load_folder(
    folder: Path | Traversable, local: bool = False, taken: Sequence[str] = (), language: str = ENGLISH
) -> tuple[tuple[Lesson, ...], tuple[LessonFault, ...]]:
    """The lessons of one folder and its faults: every .md file in it is a lesson, except README.md.

    taken: names that lessons elsewhere have;  language: as in `load_all`
    """
    lessons: list[Lesson] = []
    faults: list[LessonFault] = []
    try:
        files = sorted(lesson_files(folder), key=lambda f: f.name)
    except OSError:
        return (), (LessonFault(str(folder), "", "a folder of lessons", local=local),)
    for file in files:
        lesson, found = read_file(file, local, taken)
        faults += found
        lessons += [_translated(lesson, folder.joinpath(language), language)] if lesson else []
    return tuple(lessons), tuple(faults)


def _translated(lesson: Lesson, folder: Traversable, language: str) -> Lesson:
    """The lesson in another language; as it is where there is none, or where its file is faulty."""
    file = folder.joinpath(f"{lesson.name}.md")
    if language == ENGLISH or not file.is_file():
        return lesson
    found, _ = read_file(file, lesson.local)
    return replace(found, language=language) if found else lesson


def lesson_files(folder: Path | Traversable) -> list[Path | Traversable]:
    """The files of a folder that are meant as lessons. Raises OSError where it is no folder."""
    return [f for f in folder.iterdir() if f.name.endswith(".md") and f.name != "README.md" and f.name[0] != "."]


def read_file(
    file: Path | Traversable, local: bool = False, taken: Sequence[str] = ()
) -> tuple[Lesson | None, list[LessonFault]]:
    """The lesson of one file, or None and what is wrong with it."""
    name = file.name
    if name.removesuffix(".md") in taken:
        return None, [LessonFault(name, "file name", "a name that no other lesson has", name, local=local)]
    try:
        data = file.read_bytes() if file.is_file() else b""
        if not file.is_file() or len(data) > LONGEST:
            expected = f"a file that can be read, at most {LONGEST // 1000} kB"
            return None, [LessonFault(name, "", expected, f"{len(data) // 1000} kB" if data else "", local=local)]
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        return None, [LessonFault(name, "", "text in UTF-8", "other bytes", line, local)]
    except OSError as error:
        return None, [LessonFault(name, "", "a file that can be read", error.strerror or "none", local=local)]
    lesson, faults = _parsed(name, text, local)
    return lesson, list(faults)


# The app reads all files again every few seconds; what has not changed is not gone through again.
@lru_cache(maxsize=200)
def _parsed(name: str, text: str, local: bool) -> tuple[Lesson | None, tuple[LessonFault, ...]]:
    lesson, faults = parse(name, text, local)
    return lesson, tuple(faults)
