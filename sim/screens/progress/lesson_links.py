"""Links to lessons that open where the learner left them, in this session or before it."""

from __future__ import annotations

from sim.say import say
from sim.screens import page_links
from sim.screens.lesson import address, lesson_state
from sim.screens.own_patient import in_link
from sim.screens.progress import learner
from sim.screens.words import plain
from sim.teach import path
from sim.teach.lesson import Lesson


def query(lesson: Lesson) -> dict[str, str]:
    """The query parameters of the lesson as it was left."""
    left, lesson = lesson_state.state_if_any(lesson), in_link.for_lesson(lesson)
    state = left if left is not None and left.predicted is not None else learner.resumed(lesson)
    return in_link.linked(address.write(state, lesson))


def named(lesson: Lesson) -> str:
    """ "lesson 1: The height of the arm", or the title alone where a lesson has no number."""
    number = path.number(lesson)
    return say("lesson {number}: {title}", number=number, title=lesson.title) if number else lesson.title


def show(lesson: Lesson, before: str = "", label: str = "") -> None:
    """A link; what it says is the lesson's number and title, unless `label` says it."""
    words = label or before + named(lesson)
    words = words[:1].upper() + words[1:]
    page_links.link(
        page_links.page("lesson"), label=plain(words), icon=":material/arrow_forward:", query_params=query(lesson)
    )
