"""Which lessons are shown to a room, one after the other: as the address names them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sim.say import mark, say
from sim.teach.lesson import Lesson

# A name beyond this length is none that was ever written, and is not repeated in full.
_LONGEST = 40


def wanted(parameters: Mapping[str, str], lessons: Sequence[Lesson]) -> tuple[tuple[Lesson, ...], list[str]]:
    """The lessons of `lessons=NAME,NAME` or `lesson=NAME`, and a line for each name that is no lesson here.

    A lesson that is named twice comes once. An address that names none asks for the first one there is.
    """
    known = {lesson.name: lesson for lesson in lessons}
    key = "lessons" if "lessons" in parameters else "lesson"
    names = [name.strip() for name in parameters.get(key, "").split(",")]
    names = list(dict.fromkeys(name for name in names if name)) or list(known)[:1]
    told = mark("{key} = {name}: there is no lesson of this name.")
    wrong = [say(told, key=key, name=_short(name)) for name in names if name not in known]
    return tuple(known[name] for name in names if name in known), wrong


def query(lessons: Sequence[Lesson]) -> dict[str, str]:
    """The query parameters that `wanted` turns back into these lessons."""
    names = ",".join(lesson.name for lesson in lessons)
    return {"lesson" if len(lessons) == 1 else "lessons": names}


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST else name[:_LONGEST] + "…"
